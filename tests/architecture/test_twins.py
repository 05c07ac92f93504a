"""Whatever a page lets a person do or see, a program can do or see through the API."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.api.application import api
from tankside.web.access import Access
from tankside.web.application import Desk
from tankside.web.every_page import every_page
from tests.unit.web.desk import IdleQueue, place_over

TWINS = {
    "GET /": "GET /work",
    "GET /parts": "GET /work",
    "POST /parts": "POST /parts",
    "POST /parts/example": "POST /parts/example",
    "POST /parts/{id}/unit": "POST /parts",
    "GET /parts/{id}": "GET /work/{id}/result",
    "GET /plans": "GET /work",
    "GET /plans/compare": "GET /plans/compare",
    "GET /plans/kept/{key}/view.bin": "GET /plans/kept/{key}/view",
    "GET /plans/{id}/alternatives": "GET /plans/{id}/alternatives",
    "POST /plans/{id}/alternatives": "POST /plans/{id}/alternatives",
    "GET /first": "GET /first-plans",
    "POST /first": "POST /first-plans",
    "GET /first/{id}": "GET /first-plans/{id}",
    "GET /first/{id}/{name}": "GET /first-plans/{id}/{step}",
    "POST /first/{id}/{name}": "POST /first-plans/{id}/{step}",
    "GET /parts/{id}/plan": "GET /plan-form",
    "POST /parts/{id}/plan": "POST /parts/{id}/plans",
    "GET /plans/{id}": "GET /work/{id}/result",
    "GET /work/{id}/progress": "GET /work/{id}",
    "POST /work/{id}/cancel": "POST /work/{id}/cancel",
    "POST /work/{id}/remove": "DELETE /work/{id}",
    "POST /work/{id}/back": "POST /work/{id}/back",
    "GET /work/{id}/{name}": "GET /work/{id}/files/{name}",
    "GET /runs": "GET /runs",
    "GET /plans/{id}/run": "GET /supplies",
    "POST /plans/{id}/run": "POST /plans/{id}/runs",
    "GET /supplies": "GET /supplies",
    "GET /runs/{id}": "GET /runs/{id}",
    "GET /runs/{id}/now": "GET /runs/{id}",
    "GET /runs/{id}/chart": "GET /runs/{id}/samples",
    "GET /runs/{id}/table": "GET /runs/{id}/samples",
    "POST /runs/{id}/wish": "POST /runs/{id}/wishes",
    "POST /runs/{id}/read": "POST /runs/{id}/readings",
    "POST /runs/{id}/readings": "POST /runs/{id}/readings",
    "GET /runs/{id}/record.pdf": "GET /runs/{id}/record",
    "GET /check": "GET /plan-form/{key}",
    "GET /check/{question}": "GET /quantity",
    "GET /settings": "GET /preferences",
    "POST /settings": "PUT /preferences",
    "GET /shelf": "GET /shelf",
    "POST /shelf/{kind}": "POST /shelf/{kind}",
    "POST /shelf/{kind}/away": "DELETE /shelf/{kind}/{name}",
    "GET /baths": "GET /baths",
    "POST /baths": "POST /baths/take-over",
    "GET /baths/new": "POST /baths/make-up",
    "POST /baths/new": "POST /baths",
    "GET /baths/{id}": "GET /baths/{id}",
    "POST /baths/{id}/notes": "POST /baths/{id}/ledger",
    "POST /baths/{id}/take-back": "POST /baths/{id}/take-back",
    "GET /baths/{id}/record.pdf": "GET /baths/{id}/record",
    "GET /baths/{id}/doses": "POST /baths/{id}/doses",
    "GET /baths/{id}/doses/brief": "GET /baths/{id}/doses",
    "GET /baths/{id}/doses/sheet.pdf": "POST /baths/{id}/doses/sheet",
    "POST /baths/{id}/doses/done": "POST /baths/{id}/doses/done",
    "GET /baths/{id}/due": "GET /baths/{id}/due",
    "GET /baths/{id}/forecast": "POST /baths/{id}/forecast",
    "GET /baths/{id}/measure": "GET /baths/{id}/next",
    "GET /baths/{id}/measure/{what}/plan": "POST /baths/{id}/titrations/{what}",
    "GET /baths/{id}/measure/{what}/plan/sheet.pdf": "POST /baths/{id}/titrations/{what}/sheet",
    "GET /baths/{id}/measure/{way}": "POST /baths/{id}/analyses/{way}",
    "POST /baths/{id}/measure/{way}": "POST /baths/{id}/analyses/{way}/kept",
    "GET /baths/{id}/rinse": "POST /baths/{id}/rinse",
    "GET /baths/{id}/rinse/sheet.pdf": "POST /baths/{id}/rinse/sheet",
    "GET /baths/{id}/retire": "POST /baths/{id}/retirement",
    "GET /baths/{id}/retire/sheet.pdf": "POST /baths/{id}/retirement/sheet",
    "GET /baths/{id}/retire/hand-over.pdf": "POST /baths/{id}/retirement/hand-over",
    "POST /baths/{id}/away": "DELETE /baths/{id}",
    "POST /baths/{id}/in-use": "POST /baths/{id}/back",
    "GET /check/bath/{name}": "GET /bath-forms/{name}",
    "GET /labels": "POST /labels",
    "GET /labels/sheet.pdf": "POST /labels/sheet",
    "GET /safe": "POST /safe",
    "GET /runs/{id}/log": "POST /runs/{id}/log/preview",
    "POST /runs/{id}/log": "POST /runs/{id}/log/take",
    "POST /runs/{id}/log/file": "PUT /runs/{id}/log",
    "GET /runs/{id}/audit": "GET /runs/{id}/audits/last",
    "POST /runs/{id}/audit": "POST /runs/{id}/audits",
    "POST /runs/{id}/photos": "POST /runs/{id}/photos",
    "GET /photos/{id}": "GET /photos/{id}",
    "POST /runs/{id}/teach": "POST /runs/{id}/audits/last/teach",
    "GET /costs": "GET /costs",
    "POST /costs/prices": "PUT /prices",
    "GET /costs.csv": "GET /costs/entries",
    "GET /runs/{id}/costs": "GET /runs/{id}/costs",
    "POST /runs/{id}/costs": "PUT /runs/{id}/costs",
    "GET /shop": "GET /shop",
    "POST /shop/tests/{kind}": "POST /shop/tests/{kind}",
    "POST /shop/forget": "DELETE /shop/tests/{name}",
    "GET /trouble": "POST /trouble",
    "GET /trouble/likely": "GET /trouble/faults",
    "GET /trouble/pictures/{fault}.svg": "GET /trouble/faults/{fault}/picture",
    "GET /trouble/record.pdf": "POST /trouble/record",
    "POST /trouble/correct": "POST /trouble/corrections",
    "GET /trouble/learned": "GET /trouble/learned",
    "GET /trouble/panel": "POST /trouble/panels",
    "POST /trouble/panel/photo": "POST /trouble/panels/photo",
    "POST /trouble/panel/keep": "POST /trouble/panels/kept",
    "GET /rigs": "GET /rigs",
    "POST /rigs": "POST /rigs",
    "POST /parts/{id}/rig": "POST /parts/{id}/rigs",
    "GET /rigs/{id}": "GET /rigs/{id}/fields",
    "POST /rigs/{id}": "PUT /rigs/{id}",
    "POST /rigs/{id}/check": "POST /rigs/{id}/check",
    "GET /rigs/{id}/job.toml": "GET /rigs/{id}",
    "GET /rigs/{id}/parts/{number}/view.bin": "POST /rigs/{id}/check",
    "POST /rigs/{id}/again": "POST /rigs/{id}/versions/{version}",
    "POST /rigs/{id}/name": "PUT /rigs/{id}/name",
    "POST /rigs/{id}/away": "DELETE /rigs/{id}",
    "POST /rigs/{id}/back": "POST /rigs/{id}/back",
    "GET /rigs/{id}/drawing": "GET /rigs/{id}/drawing",
    "GET /rigs/{id}/drawing.svg": "GET /rigs/{id}/drawing",
    "GET /rigs/{id}/search": "GET /rigs/{id}",
    "POST /rigs/{id}/search": "POST /rigs/{id}/searches",
    "GET /searches/{id}": "GET /work/{id}/result",
    "POST /searches/{id}/take": "POST /searches/{id}/rigs/{number}",
}
"""The API's address for each of the pages'."""
ALONE = {
    "GET /help": "a text",
    "GET /share": "the keys are shown on the machine's own screen, and to no program",
}
"""Pages that need no twin, and why."""
LOOKING = (
    "POST /baths/make-up",
    "POST /baths/{id}/analyses/{way}",
    "POST /baths/{id}/doses",
    "POST /baths/{id}/doses/sheet",
    "POST /baths/{id}/forecast",
    "POST /baths/{id}/retirement",
    "POST /baths/{id}/retirement/hand-over",
    "POST /baths/{id}/retirement/sheet",
    "POST /baths/{id}/rinse",
    "POST /baths/{id}/rinse/sheet",
    "POST /baths/{id}/titrations/{what}",
    "POST /baths/{id}/titrations/{what}/sheet",
    "POST /labels",
    "POST /labels/sheet",
    "POST /safe",
    "POST /rigs/{id}/check",
    "POST /runs/{id}/log/preview",
    "POST /trouble",
    "POST /trouble/panels",
    "POST /trouble/panels/photo",
    "POST /trouble/panel/photo",
    "POST /trouble/record",
)
"""What is sent to be looked at, and changes nothing."""


def test_every_page_has_a_twin(pages: set[str]) -> None:
    lacking = pages - set(TWINS) - set(ALONE)
    assert not lacking, f"build these into the API, and name their twins here: {sorted(lacking)}"
    assert pages == set(TWINS) | set(ALONE), "a page is gone; take it out of this table"


def test_every_twin_is_there(answered: set[str]) -> None:
    lacking = set(TWINS.values()) - answered
    assert not lacking, sorted(lacking)


def test_a_twin_changes_where_its_page_changes() -> None:
    for here, there in TWINS.items():
        reads = there.startswith("GET") or there in LOOKING
        assert (here.startswith("GET") or here in LOOKING) is reads, here


@pytest.fixture
def pages(place: Any) -> set[str]:
    """What the pages answer to."""
    desk = Desk(place=place, access=Access.here(), port=1)
    return {"GET /"} | operations(every_page(desk).openapi())


@pytest.fixture
def answered(place: Any) -> set[str]:
    """What the API answers to."""
    return operations(api(place, "test").openapi())


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Any]:
    found = place_over(IdleQueue(tmp_path / "work"))
    yield found
    found.store.close()


def operations(described: dict[str, Any]) -> set[str]:
    """As "POST /parts"."""
    return {
        f"{method.upper()} {path}" for path, ways in described["paths"].items() for method in ways
    }
