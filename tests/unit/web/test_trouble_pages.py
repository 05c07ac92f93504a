"""The pages of a trouble and of a test panel: asked, answered, kept, and learned from."""

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from tankside.app.store_records import BathRecord
from tankside.app.trouble.kept_field import FIELD, Planned, packed
from tankside.app.work.work import WorkKind
from tankside.diagnosis.loading import atlas
from tests.unit.app.trouble.fields import two_faced
from tests.unit.web.desk import IdleQueue, visitor

PANEL = {
    "look0": "burnt", "from0": "0", "to0": "1,2 cm", "look1": "bright", "from1": "1.2", "to1": "7",
    "panel_current": "2 A", "cell": "267 mL", "go": "1",
}  # fmt: skip


@pytest.fixture
def queue(tmp_path: Path) -> IdleQueue:
    return IdleQueue(tmp_path / "work")


@pytest.fixture
def browser(queue: IdleQueue) -> Iterator[Any]:
    with visitor(queue) as client:
        yield client


def asked(browser: Any, *seen: str, **more: object) -> str:
    answer = browser.get("/trouble", params={"seen": list(seen), "go": "1", **more})
    assert answer.status_code == 200
    return unescape(answer.text)


def first_cause(text: str) -> str:
    return re.findall(r"<h3>(.*?)</h3>", text)[0]


def test_every_fault_can_be_picked_by_its_picture(browser: Any) -> None:
    text = browser.get("/trouble").text
    assert all(f'value="{name}"' in text for name in atlas().faults)
    drawing = browser.get("/trouble/pictures/nodules.svg")
    assert drawing.headers["content-type"] == "image/svg+xml"
    assert drawing.text.startswith("<svg")
    assert browser.get("/trouble/pictures/nothing.svg").status_code == 404


def test_words_bring_the_likely_looks_first(browser: Any) -> None:
    for address in ("/trouble/likely", "/trouble"):
        text = browser.get(address, params={"words": "black edges"}).text
        assert re.findall(r'name="seen" value="([a-z-]+)"', text)[0] == "burnt-edges"
    assert "No look of the list fits" in browser.get("/trouble/likely?words=xyzzy").text


def test_an_answer_ranks_causes_with_why_and_asks_on(browser: Any) -> None:
    text = asked(browser, "burnt-edges", "powder", **{"value.temperature": "8 degC"})
    assert first_cause(text) == "The bath is too cold"
    assert "bath temperature: 8 °C" in text
    button = re.search(r'name="answer" value="([a-z-]+):yes"', text)
    assert button is not None
    more = asked(browser, "burnt-edges", "powder", answer=f"{button[1]}:yes")
    assert f'name="answer" value="{button[1]}:yes"' in more  # handed on, unseen
    assert f"{button[1]}:no" not in more  # and asked no more


def test_cautions_stand_before_what_to_do(browser: Any) -> None:
    text = asked(browser, "burnt-edges", "powder", **{"value.temperature": "8 degC"})
    assert text.index("Before you do anything") < text.index("First, on a beaker or coupon")


def test_it_says_that_it_does_not_know(browser: Any) -> None:
    assert "I do not know yet" in asked(browser, "dull-all-over")


def test_numbers_come_in_the_reader_s_units(browser: Any) -> None:
    liked = {"units": "US", "mark": "point", "paper": "a4", "language": "en", "currency": "EUR"}
    assert browser.post("/settings", data=liked).status_code == 200
    text = asked(browser, "burnt-edges", **{"value.temperature": "10 degC"})
    assert "bath temperature: 50 °F" in text


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ({"seen": "nothing", "go": "1"}, "not known"),
        ({"seen": "nodules", "go": "1", "answer": "nonsense"}, "no answer"),
        ({"seen": "nodules", "go": "1", "value.chloride": "much"}, "note bad"),
        ({"seen": "nodules", "go": "1", "place": "edges"}, "needs the plan"),
        ({"seen": "nodules", "go": "1", "plan": "nowhere"}, "note bad"),
        ({"seen": "nodules", "go": "1", "run": "run-nowhere"}, "note bad"),
        ({"seen": "nodules", "go": "1", "bath": "nowhere"}, "note bad"),
    ],
)
def test_what_is_not_understood_is_said_beside_the_form(
    browser: Any, query: dict[str, str], words: str
) -> None:
    answer = browser.get("/trouble", params=query)
    assert answer.status_code == 400
    assert words in unescape(answer.text)
    assert "What is behind it?" in answer.text


def test_nothing_ticked_is_told(browser: Any) -> None:
    assert "Tick one look at least" in browser.get("/trouble?go=1").text


def test_a_place_on_a_plan_speaks(browser: Any, queue: IdleQueue) -> None:
    plan = queue.add(WorkKind.PLAN, "knob", {}, options={"job": "job.toml"})
    queue.finish(plan, b"{}")
    queue.folder.keep(plan.id, {FIELD: packed(Planned(numbers=(), part=two_faced()))})
    assert f'value="{plan.id}"' in browser.get("/trouble").text
    over = asked(browser, "burnt-edges", plan=plan.id, place="10 mm; 0 mm; 0 mm")
    under = asked(browser, "burnt-edges", plan=plan.id, place="-10 mm; 0 mm; 0 mm")
    assert "fraction of copper's limit at that place: 1.2" in over
    assert "fraction of copper's limit at that place: 0.3" in under
    assert first_cause(over) != first_cause(under)


def test_the_record_is_a_pdf(browser: Any) -> None:
    record = browser.get("/trouble/record.pdf?seen=trees&go=1")
    assert record.content.startswith(b"%PDF")


def test_what_it_was_is_kept_and_counts(browser: Any) -> None:
    before = asked(browser, "sandpaper")
    for _ in range(8):
        kept = browser.post(
            "/trouble/correct",
            data={"case": "seen=sandpaper", "cause.particles": "out", "also": "bag-torn"},
        )
    assert "Kept. It counts from now on." in kept.text
    assert "A bag is torn" in kept.text
    after = asked(browser, "sandpaper")
    assert first_cause(after) == "A bag is torn, or there is none" != first_cause(before)


def test_a_correction_that_says_nothing_is_refused(browser: Any) -> None:
    assert browser.post("/trouble/correct", data={"cause.particles": ""}).status_code == 400


def test_a_panel_is_read_with_both_laws_as_they_are(browser: Any) -> None:
    text = unescape(browser.get("/trouble/panel", params=PANEL).text)
    assert "Spoilt above" in text
    assert "agree in the mean and about the middle of the panel only" in text
    assert "tankside bath dose" not in text
    assert "fails here" in text  # the formula, near the edge


def test_a_panel_goes_on_to_the_diagnosis(browser: Any) -> None:
    text = browser.get("/trouble/panel", params=PANEL).text
    handed = re.findall(r'type="hidden" name="(panel[a-z_]*|bath)" value="([^"]*)"', text)[:5]
    text = asked(browser, "burnt-edges", **dict(handed))
    assert "The test panel" in text
    assert "test panel spoilt above" in text


def test_panels_of_a_bath_are_kept_and_compared(browser: Any) -> None:
    store = browser.place.store
    bath = store.baths.add("Blue", BathRecord(family="conventional")).id
    first = {**PANEL, "bath": bath}
    assert "Kept." in browser.post("/trouble/panel/keep", data=first).text
    later = unescape(
        browser.get("/trouble/panel", params={**first, "to0": "2 cm", "from1": "2"}).text
    )
    assert "Beside 1 earlier panels" in later
    assert browser.post("/trouble/panel/keep", data=PANEL).status_code == 400  # of no bath


@pytest.mark.parametrize(
    "wrong",
    [{"look0": "shiny"}, {"to0": ""}, {"to1": "40"}, {"panel_current": "two"}, {"cell": "tub"}],
)
def test_a_panel_not_understood_is_said(browser: Any, wrong: dict[str, str]) -> None:
    answer = browser.get("/trouble/panel", params={**PANEL, **wrong})
    assert answer.status_code == 400
    assert "note bad" in answer.text


def test_a_bath_that_was_taken_over_in_the_pages_speaks_too(browser: Any) -> None:
    """Its family is named as in a job file, which is no family with windows."""
    bath = {"name": "long tank", "volume": "10 L", "copper": "55 ± 1 g/L",
            "sulfuric_acid": "60 ± 1 g/L"}  # fmt: skip
    made = browser.post("/baths", data=bath).url.path.removeprefix("/baths/")
    assert "the estimate of the bath" in asked(browser, "burnt-edges", bath=made)
