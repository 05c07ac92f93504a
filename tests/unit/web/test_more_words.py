"""Pages that are seen after other work, in a language in which every text of the catalogue stands
in brackets: troubles, panels, audits, costs, searches, refused readings and job files."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.work.run_ways import BY_HAND
from tankside.base.wording import Said
from tankside.plan.rigs.starting import StartFigures
from tests.unit.web.desk import IdleQueue, visitor
from tests.unit.web.test_after_a_run import GRAMS, run, weights
from tests.unit.web.test_languages import BATH, bare_texts, bracketed
from tests.unit.web.test_refusals import likes
from tests.unit.web.test_rig_pages import COATED, JOB, begun, searched
from tests.unit.web.test_run_pages import planned
from tests.unit.web.test_trouble_pages import PANEL

__all__ = ["bracketed", "run"]


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path / "work")


@pytest.fixture
def browser(queue: IdleQueue, bracketed: str) -> Iterator[Any]:
    with visitor(queue) as client:
        likes(client, bracketed)
        yield client


def bare(answer: Any) -> list[str]:
    assert "⟦" in answer.text
    return list(bare_texts(answer.text))


def test_a_trouble_is_answered_in_the_reader_s_words(browser: Any) -> None:
    assert bare(browser.get("/trouble")) == []
    assert bare(browser.get("/trouble/learned")) == []
    bath = browser.post("/baths", data=BATH).url.path.removeprefix("/baths/")
    case = {"seen": ["burnt-edges", "dull-low"], "answer": ["tilt:no"], "bath": bath, "go": "1",
            "value.chloride": "20 mg/L", "value.charge_since_carbon": "8 Ah/L",
            "value.voltage_limited_share": "0.2", "panel_current": "2 A",
            "panel": "burnt 0-1.2 cm, bright 1.2-7 cm"}  # fmt: skip
    answer = browser.get("/trouble", params=case)
    assert answer.status_code == 200
    assert bare(answer) == []


def test_a_trouble_nobody_knows_is_answered_so(browser: Any) -> None:
    assert bare(browser.get("/trouble", params={"seen": ["pits"], "go": "1"})) == []


def test_a_panel_is_read_in_the_reader_s_words(browser: Any) -> None:
    assert bare(browser.get("/trouble/panel")) == []
    assert bare(browser.get("/trouble/panel", params=PANEL)) == []


def test_an_audit_is_told_in_the_reader_s_words(browser: Any, run: str) -> None:
    assert bare(browser.get(f"{run}/audit")) == []
    data = weights(0.7 * GRAMS, place0="rim", thickness0="30 um", planned0="120 um", wires="0.4 g")
    assert bare(browser.post(f"{run}/audit", data=data)) == ["rim"]
    taught = bare(browser.post(f"{run}/teach"))
    assert [one for one in taught if not re.fullmatch("[0-9a-f]{1,12}", one)] == []  # a name
    for wrong in ({"before": "41 g"}, {"before": "heavy", "after": "42 g"}, {"place0": "rim"}, {},
                  {"before": "42 g", "after": "41 g"}):  # fmt: skip
        answer = browser.post(f"{run}/audit", data=wrong)
        assert [one for one in bare(answer) if one.lower() != "rim"] == []  # a person's place


def test_costs_are_told_in_the_reader_s_words(browser: Any, run: str) -> None:
    browser.post("/costs/prices", data={"copper": "12 EUR/kg", "electricity": "0.32 EUR/kWh"})
    used = {"heater": "0.4 kWh", "painted": "1.2 dm2", "hands_on": "40 min", "chemicals": "1.2",
            "scrap": "3"}  # fmt: skip
    browser.post(f"{run}/costs", data=used)
    for page in (f"{run}/costs", "/costs"):
        assert set(bare(browser.get(page))) <= {"EUR"}
    for key, text in (("heater", "much"), ("chemicals", "much"), ("painted", "1 h")):
        assert bare(browser.post(f"{run}/costs", data={key: text})) == []


def test_a_search_is_asked_for_and_told_in_the_reader_s_words(
    browser: Any, queue: IdleQueue
) -> None:
    rig = begun(browser, queue)
    assert bare(browser.get(f"{rig}/search")) == []
    work = searched(browser, queue, rig)
    assert bare(browser.get(f"/searches/{work.id}")) == []
    unsaid = {"gains_and_costs": [], "changes": []}
    proposals = [{**one, **unsaid} for one in COATED["proposals"]]
    own = {**COATED["own"], "start_failure": ""}
    result = {**COATED, "proposals": proposals, "own": own, "notes": []}
    queue.finish(work, json.dumps(result).encode())
    invented = {"A rule", "rig-1.toml"}  # of the result above, and a file's name
    assert set(bare(browser.get(f"/searches/{work.id}"))) <= invented


def test_a_start_that_fails_says_why_in_the_reader_s_words() -> None:
    start = StartFigures(
        covered_after=2000.0, covered_share=0.71, allowed=1800.0, delay=0.0, collar_fraction=0.5,
        contact_currents=(),
    )  # fmt: skip
    assert start.failure == "copper covers 71 % of the coat in the 30 min that it may take"
    assert isinstance(start.failure, Said)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('surface = "metal"', "surface = 5"),
        ('surface = "metal"', 'surface = "wood"'),
        ('surface = "metal"', 'seed = { sheet_resistance = "0 ohm" }'),
        ('surface = "metal"', 'seed = { sheet_resistance = "min 80 ohm" }'),
        ('temperature = "', 'temprature = "'),
        ('temperature = "', 'temperature = "-'),
        ("[supply]", "[suply]"),
    ],
)
def test_a_job_that_cannot_be_read_is_refused_in_the_reader_s_words(
    browser: Any, old: str, new: str
) -> None:
    assert old in JOB
    answer = browser.post("/rigs", files={"file": ("cube.toml", JOB.replace(old, new, 1))})
    assert answer.status_code in (400, 404)
    assert [one for one in bare(answer) if "cube" not in one] == []


def test_readings_that_cannot_be_are_refused_in_the_reader_s_words(
    browser: Any, queue: IdleQueue
) -> None:
    run = browser.post(f"/plans/{planned(queue)}/run", data={"supply": BY_HAND}).url.path
    rows: tuple[dict[str, str], ...] = (
        {"volts": "much", "amps": "1"},
        {"volts": "1", "amps": "2", "ago_s": "x"},
        {"volts": "2000", "amps": "1"},
        {"volts": "1", "amps": "2", "bath": "3 m"},
    )
    for row in rows:
        answer = browser.post(f"{run}/readings", json={"readings": [row]})
        assert answer.status_code == 400
        page = f'<meta charset="utf-8"><p>{answer.json()["error"]}</p>'
        assert "⟦" in page
        assert list(bare_texts(page)) == []
