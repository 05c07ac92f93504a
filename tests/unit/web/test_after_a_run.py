"""The pages after a run: audit, photos, what the shop learns, and what it cost."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.job.reading import read_job
from tankside.app.job.schema import Job
from tankside.app.keep.keep_prices import keep_prices, remembered_prices
from tankside.app.work.work import WorkKind
from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tests.unit.web.desk import IdleQueue, visitor
from tests.unit.web.test_rig_pages import handed_in
from tests.unit.web.test_run_pages import planned

PNG = b"\x89PNG\r\n\x1a\n" + bytes(32)
GRAMS = 7200.0 * COPPER_PER_CHARGE_KG_PER_C * 1e3
"""What an hour at 2 A lays down by Faraday's law, about 2.37 g."""


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path / "work")


@pytest.fixture
def browser(queue: IdleQueue) -> Iterator[Any]:
    with visitor(queue) as client:
        yield client


@pytest.fixture
def run(browser: Any, queue: IdleQueue) -> str:
    """The address of a run of an hour at 2 A, from a logger's file."""
    page = browser.post(f"/plans/{planned(queue)}/run", data={"supply": "a logger"})
    log = str(page.url.path)
    rows = "\n".join(f"{60 * k},0.40,2.0" for k in range(61))
    browser.post(f"{log}/file", files={"file": ("l.csv", f"s_time,U_V,I_A\n{rows}\n".encode())})
    assert browser.post(log, data={"start": "2026-03-01 18:30"}).status_code == 200
    return log.removesuffix("/log")


def weights(gain: float, **more: str) -> dict[str, str]:
    return {"before": "41.20 g", "after": f"{41.2 + gain:.2f} g", "scale": "0.01 g", **more}


def test_a_weight_is_held_against_the_charge(browser: Any, run: str) -> None:
    assert "before and after is enough" in browser.get(f"{run}/audit").text
    page = browser.post(f"{run}/audit", data=weights(GRAMS)).text
    assert "2.37 g" in page
    assert "note good" in page
    assert 'value="41.20 g"' in page, "what was typed is there to be mended"


def test_mass_and_charge_that_disagree_are_told(browser: Any, run: str) -> None:
    page = browser.post(f"{run}/audit", data=weights(0.3 * GRAMS)).text
    assert "note bad" in page


def test_what_the_wires_gained_is_taken_off(browser: Any, run: str) -> None:
    page = browser.post(f"{run}/audit", data=weights(GRAMS + 0.4, wires="0.4 g")).text
    assert "2.37 g" in page


def test_callipers_and_what_was_seen_are_kept(browser: Any, run: str) -> None:
    data = weights(
        GRAMS, place0="rim", thickness0="130 um", planned0="120 um", place1="foot",
        thickness1="80 um", **{"seen-rough": "yes", "words": "grains below the rim"},
    )  # fmt: skip
    page = browser.post(f"{run}/audit", data=data).text
    assert 'value="rim"' in page
    assert "Thinnest over mean" in page
    assert 'name="seen-rough" value="yes" checked' in page
    assert "grains below the rim" in page


@pytest.mark.parametrize(
    "data",
    [
        {"before": "41 g"},
        {"before": "heavy", "after": "42 g"},
        {"before": "42 g", "after": "41 g"},
        {"place0": "rim"},
        {},
    ],
)
def test_an_audit_that_cannot_be_is_told_with_what_was_typed(
    browser: Any, run: str, data: dict[str, str]
) -> None:
    answer = browser.post(f"{run}/audit", data=data)
    assert answer.status_code == 400
    assert 'role="alert"' in answer.text
    for value in data.values():
        assert f'value="{value}"' in answer.text


def test_photos_are_kept_and_shown(browser: Any, run: str) -> None:
    files = [("photos", ("a.png", PNG)), ("photos", ("b.png", PNG + b"b"))]
    page = browser.post(f"{run}/photos", files=files).text
    assert page.count('<img src="/photos/') == 2
    address = "/photos/" + page.split('<img src="/photos/')[1].split('"')[0]
    shown = browser.get(address)
    assert (shown.content, shown.headers["content-type"]) == (PNG, "image/png")
    wrong = [("photos", ("c.svg", b"<svg onload='x()'/>"))]
    assert browser.post(f"{run}/photos", files=wrong).status_code == 400
    assert browser.get("/photos/nothing").status_code == 404


def test_the_shop_learns_from_an_audit(browser: Any, run: str) -> None:
    assert "No test yet" in browser.get("/shop").text
    browser.post(f"{run}/audit", data=weights(GRAMS))
    page = browser.post(f"{run}/teach").text
    assert "Efficiency of an audited run" in page
    assert "copper&#39;s share of the current" in page


def test_the_api_teaches_the_shop_as_the_page_does(browser: Any, run: str) -> None:
    teach = f"/api/v1{run}/audits/last/teach"
    assert "audit it first" in browser.post(teach).json()["error"]
    browser.post(f"{run}/audit", data=weights(GRAMS))
    assert browser.post(teach).status_code == 201
    assert len(browser.get("/api/v1/shop").json()["tests"]["audit"]) == 1


def test_a_test_narrows_its_factor_and_is_forgotten(browser: Any) -> None:
    data = {"name": "strip, Monday", "resistance": "50 ohm", "length": "10 cm", "width": "10 mm"}
    page = browser.post("/shop/tests/strip", data=data).text
    assert "strip, Monday" in page
    known = browser.get("/api/v1/shop").json()["known"]["factors"]["sheet_resistance"]
    wide = known["before"]["high"] / known["before"]["low"]
    assert known["after"]["high"] / known["after"]["low"] < wide / 10
    assert known["after"]["best"] == pytest.approx(1.0, rel=0.15), "50 ohm over ten squares: 5"
    assert "No test yet" in browser.post("/shop/forget", data={"name": "strip, Monday"}).text


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        ("strip", {"name": "a", "resistance": "50 V", "length": "10 cm", "width": "10 mm"}),
        ("strip", {"name": "", "resistance": "50 ohm", "length": "10 cm", "width": "10 mm"}),
        ("strip", {"name": "a"}),
        ("sweep", {"name": "a", "gap": "5 cm", "plate": "4 cm", "readings": "1 A; 1 V"}),
        ("sweep", {"name": "a", "gap": "5 cm", "plate": "4 cm x 5 cm", "readings": "1; 2"}),
        ("audit", {"name": "a", "efficiency": "good"}),
    ],
)
def test_a_test_that_cannot_be_read_keeps_nothing(
    browser: Any, kind: str, data: dict[str, str]
) -> None:
    answer = browser.post(f"/shop/tests/{kind}", data=data)
    assert answer.status_code == 400
    assert 'role="alert"' in answer.text
    assert browser.get("/api/v1/shop").json() == {"tests": {}, "known": None}


def test_a_sweep_is_typed_line_by_line(browser: Any) -> None:
    lines = "0.5 A; 0.31 V\n1.0 A 0.55 V\n2 A, 1.0 V"
    data = {"name": "sweep", "gap": "5 cm", "plate": "40 mm x 50 mm", "readings": lines}
    assert browser.post("/shop/tests/sweep", data=data).status_code == 200
    before = browser.get("/api/v1/shop").json()
    gone = browser.post("/shop/forget", data={"name": "sweep"}).text
    typed = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', gone))
    assert browser.get("/api/v1/shop").json()["tests"] == {}
    assert browser.post(f"/shop/tests/{typed.pop('kind')}", data=typed).status_code == 200
    assert browser.get("/api/v1/shop").json() == before, "it is there again as it was"
    held = browser.get("/api/v1/shop").json()["tests"]["sweep"][0]
    assert held["readings"] == [["0.5 A", "0.31 V"], ["1.0 A", "0.55 V"], ["2 A", "1.0 V"]]


def test_costs_of_a_run_by_the_prices_remembered(browser: Any, run: str) -> None:
    assert browser.post(f"{run}/costs", data={}).status_code == 400, "no price names a currency"
    prices = {"copper": "12 EUR/kg", "electricity": "0,32 EUR/kWh", "work": "24 EUR/h"}
    assert 'value="12 EUR/kg"' in browser.post("/costs/prices", data=prices).text
    page = browser.post(f"{run}/costs", data={"hands_on": "30 min", "scrap": "1,50"}).text
    copper, work, scrap = 12 * GRAMS / 1000, 12.0, 1.5
    assert f"{work:.2f}" in page
    total = sum(map(float, browser.get("/api/v1/costs").json()["by_part"]["EUR"].values()))
    assert total == pytest.approx(copper + work + scrap + 0.32 * 0.4 * 2 / 0.75 / 1000, abs=0.02)
    assert "2026-03" in browser.get("/costs").text
    rows = browser.get("/costs.csv").text.splitlines()
    assert rows[0] == "date_utc,of,what,amount,currency,words"
    assert any(row.startswith("2026-03-01,knob,work,12.00,EUR") for row in rows)
    assert not any("price of" in row for row in rows)
    assert 'value="30 min"' in browser.get(f"{run}/costs").text
    browser.post(f"{run}/costs", data={"hands_on": ""})
    assert 'value="30 min"' not in browser.get(f"{run}/costs").text


def test_a_price_said_on_the_command_line_stands_on_the_page(browser: Any) -> None:
    keep_prices(browser.place.store, {"copper": "14 EUR/kg"}, 1e9)
    assert 'value="14 EUR/kg"' in browser.get("/costs").text
    browser.post("/costs/prices", data={"work": "24 EUR/h"})
    assert remembered_prices(browser.place.store)["work"] == "24 EUR/h"
    assert remembered_prices(browser.place.store)["copper"] == "", "the field was emptied"


@pytest.mark.parametrize("price", ["12", "12 EUR/mile", "EUR/kg"])
def test_prices_that_cannot_be_read_are_told(browser: Any, price: str) -> None:
    answer = browser.post("/costs/prices", data={"copper": price})
    assert answer.status_code == 400
    assert f'value="{price}"' in answer.text
    assert browser.get("/api/v1/prices").json()["copper"] == ""


def test_prices_of_two_currencies_cannot_be_added(browser: Any) -> None:
    data = {"copper": "12 EUR/kg", "work": "25 CHF/h"}
    assert "CHF and EUR" in browser.post("/costs/prices", data=data).text


def test_nothing_plated_has_no_audit(browser: Any, queue: IdleQueue) -> None:
    page = browser.post(f"/plans/{planned(queue)}/run", data={"supply": "by hand"})
    assert browser.get(f"{page.url.path}/audit").status_code == 400


def test_a_plan_stands_on_the_shops_tests_where_its_form_says_so(
    browser: Any, queue: IdleQueue
) -> None:
    part = handed_in(queue)
    form = f"/parts/{part.id}/plan"
    refused = browser.post(form, data={"known": "shop"})
    assert refused.status_code == 400
    assert "No test of your own is kept yet" in refused.text
    strip = {"name": "strip", "resistance": "50 ohm", "length": "10 cm", "width": "10 mm"}
    browser.post("/shop/tests/strip", data=strip)
    asked, plain = ordered(browser, queue, form, "shop"), ordered(browser, queue, form, "tables")
    assert asked.names() == ("block.stl", "job.toml", "shop.toml")
    assert b'"50 ohm"' in asked.read("shop.toml", where="")
    assert job_in(asked).shop is not None
    assert plain.names() == ("block.stl", "job.toml")
    assert job_in(plain).shop is None


def ordered(browser: Any, queue: IdleQueue, form: str, known: str) -> Any:
    """The files that a plan was ordered with."""
    assert browser.post(form, data={"known": known}).status_code == 200
    (plan, *_) = [work for work in queue.all() if work.order.kind is WorkKind.PLAN]
    return queue.folder.given(plan.id)


def job_in(given: Any) -> Job:
    return read_job(given.read("job.toml", where="").decode(), name="")
