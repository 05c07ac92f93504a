"""What pages refuse is said in the reader's words: forms filled in wrongly, in a language in which
every text of the catalogue stands in brackets."""

from collections.abc import Iterator
from typing import Any

import pytest
from lxml import html

from tests.unit.web.desk import IdleQueue, visitor
from tests.unit.web.test_languages import BATH, bare_texts, bracketed
from tests.unit.web.test_pages import examined

__all__ = ["bracketed"]

FORMS: tuple[tuple[str, dict[str, str]], ...] = (
    ("/parts", {"unit": "ell"}),
    ("{part}/plan", {"thickness": "120", "liquid_depth": "none", "chloride": "-3 mg/L"}),
    ("{part}/plan", {"temperature": "25 C", "tank_length": "3 h", "sulfuric_acid": "20 %"}),
    ("{part}/plan", {"sulfuric_acid": "900 g/L", "temperature": "95 degC"}),
    ("{part}/rig", {"unit": "ell"}),
    ("/baths", {"name": "knob", "volume": "10 L", "copper": "55 g/L", "sulfuric_acid": "60 g/L"}),
    ("/baths", {"name": "other", "volume": "10", "copper": "55 g/L", "sulfuric_acid": "60 g/L"}),
    ("/baths", {"name": "", "volume": "10 L", "copper": "much", "sulfuric_acid": "60 g/L"}),
    ("/baths/new", {"family": "conventional", "volume": "10 L", "then": "begin"}),
    ("{bath}/notes", {"kind": "evaporation", "level": "deep"}),
    ("{bath}/notes", {"kind": "charge", "charge": "3"}),
    ("{bath}/notes", {"kind": "carbon", "at": "yesterday"}),
    ("{bath}/measure/copper", {"sample": "5 mL", "at": "2999-01-01"}),
    ("{bath}/doses/done", {"way": "way1", "amount0": " "}),
    ("/shelf/shelf", {"name": "", "product": "nectar", "strength": "96"}),
    ("/shelf/shelf", {"name": "pool acid", "product": "hydrochloric acid", "strength": "loud"}),
    ("/shelf/tool", {"name": "spoon", "resolution": "fine"}),
    ("/costs/prices", {"copper": "12"}),
    ("/costs/prices", {"copper": "12 EUR/h"}),
    ("/shop/tests/efficiency", {"name": "x"}),
    ("/shop/tests/unheard", {}),
    ("/settings", {"units": "cubits", "mark": "point", "paper": "a4", "language": "xa"}),
    ("{rig}/name", {"name": ""}),
    ("{rig}/again", {"version": "99"}),
    ("{rig}/search", {"minutes": "soon", "within": "long"}),
)
ADDRESSES = (
    "/parts/part-000000000000", "/plans/plan-000000000000", "/plans/nothing", "/runs/nothing",
    "/baths/nothing", "/rigs/nothing", "/plans/compare?plan=plan-000000000000",
    "{bath}/measure/gold", "{bath}/forecast?go=1&charge=3",
    "{bath}/rinse?go=1&area=wide", "{bath}/retire?go=1&vessel=12", "{bath}/measure/copper?go=1",
    "{bath}/measure/copper/plan?runs=40", "{bath}/measure/pH?go=1&shown=20",
    "{bath}/measure/conductivity?go=1&shown=3", "{bath}/measure/density?go=1&density=1",
    "/labels?go=1&of=bottle%20nectar", "/safe?go=1&vessel=unheard", "/safe?go=1&anode=lead",
    "/trouble?finding=unheard&go=1", "/trouble?go=1&value.copper=much", "/trouble/panel?go=1",
    "/check?key=thickness&value=120", "/check?key=liquid_depth&value=3%20h",
    "/check/concentration?value=20%20%25", "/check/moment?value=soon", "{rig}/drawing.svg?sheet=9",
    "/first/part-000000000000/tank",
)  # fmt: skip


@pytest.fixture(scope="module")
def queue(tmp_path_factory: pytest.TempPathFactory) -> IdleQueue:
    return IdleQueue(tmp_path_factory.mktemp("home") / "work")


@pytest.fixture(scope="module")
def shop(queue: IdleQueue) -> Iterator[tuple[Any, dict[str, str]]]:
    """A browser, and the addresses of a part, a bath and a rig."""
    part = examined(queue)
    with visitor(queue) as browser:
        browser.post("/shelf/example")
        bath = browser.post("/baths", data=BATH).url.path
        rig = browser.post(f"/parts/{part.id}/rig").url.path
        yield browser, {"part": f"/parts/{part.id}", "bath": bath, "rig": rig}


def refused(page: str) -> str:
    """The pieces of a page that say what is refused; the rest is held by test_languages."""
    tree: Any = html.fromstring(f"<div>{page}</div>")
    found = tree.xpath(
        "//*[contains(@class, 'bad') or contains(@class, 'wrong')][normalize-space()]"
    )
    pieces = [html.tostring(one, encoding="unicode", with_tail=False) for one in found]
    return f'<meta charset="utf-8"><main>{"".join(pieces)}</main>'


def likes(browser: Any, language: str) -> None:
    form = {"units": "metric", "mark": "point", "paper": "a4", "language": language}
    assert browser.post("/settings", data=form).status_code == 200


@pytest.mark.parametrize(("address", "typed"), FORMS)
def test_a_form_is_refused_in_the_readers_words(
    shop: tuple[Any, dict[str, str]], bracketed: str, address: str, typed: dict[str, str]
) -> None:
    browser, places = shop
    likes(browser, bracketed)
    answer = browser.post(address.format(**places), data=typed)
    assert answer.status_code in (400, 404, 409, 422), address
    assert "⟦" in refused(answer.text)
    assert list(bare_texts(refused(answer.text))) == []


@pytest.mark.parametrize("address", ADDRESSES)
def test_an_address_is_refused_in_the_readers_words(
    shop: tuple[Any, dict[str, str]], bracketed: str, address: str
) -> None:
    browser, places = shop
    likes(browser, bracketed)
    answer = browser.get(address.format(**places))
    assert "⟦" in refused(answer.text)
    assert list(bare_texts(refused(answer.text))) == []
