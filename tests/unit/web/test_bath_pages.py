"""Shelf and baths: bottles put there, a bath made from them, kept, and mended."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.bath.kept_shelf import KeptShelf, toml_of
from tankside.app.bath.tables import tables_of
from tankside.web.access import Access, Role
from tests.unit.web.desk import IdleQueue, visitor

BOTTLE = {
    "name": "pool acid",
    "substance": "sulfuric acid",
    "strength": "49-51 %",
    "density": "1.40 g/mL",
}


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[Any]:
    with visitor(IdleQueue(tmp_path / "work")) as client:
        yield client


def filled(browser: Any) -> None:
    assert browser.post("/shelf/example").status_code == 200


def made(browser: Any, name: str = "long tank") -> str:
    """A bath of the example shelf; its address."""
    filled(browser)
    form = {"family": "conventional", "volume": "10 L", "then": "begin", "name": name}
    answer = browser.post("/baths/new", data=form)
    assert answer.status_code == 200, answer.text
    return str(answer.url.path)


def test_an_empty_shelf_offers_the_usual_bottles_once(browser: Any) -> None:
    assert "Put these there" in browser.get("/shelf").text
    filled(browser)
    text = browser.get("/shelf").text
    assert "Put these there" not in text
    assert "battery acid" in text
    assert "H314" in text  # causes severe skin burns and eye damage, of the strength on the label
    assert browser.post("/shelf/example").status_code == 400


def test_a_bottle_is_put_there_by_its_label_and_taken_away(browser: Any) -> None:
    filled(browser)
    assert "pool acid" in browser.post("/shelf/shelf", data=BOTTLE).text
    assert browser.post("/shelf/shelf/away", data={"name": "pool acid"}).status_code == 200
    assert "pool acid" not in browser.get("/shelf").text
    there = len(browser.get("/api/v1/shelf").json()["shelf"])
    gone = browser.post("/shelf/shelf/away", data={"name": "battery acid"}).text
    assert "Taken away: battery acid." in gone
    typed = dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', gone))
    assert typed.pop("kind") == "shelf"
    assert "battery acid" in browser.post("/shelf/shelf", data=typed).text
    assert len(browser.get("/api/v1/shelf").json()["shelf"]) == there
    assert browser.post("/shelf/shelf/away", data={"name": "pool acid"}).status_code == 404


@pytest.mark.parametrize(
    ("kind", "typed", "said"),
    [
        ("shelf", {"name": "x", "substance": "sulphurous acid"}, "Substance on the label: "),
        ("shelf", {**BOTTLE, "density": "1.05 g/mL"}, "density"),
        ("shelf", {**BOTTLE, "name": " "}, "Give it a name"),
        ("shelf", {**BOTTLE, "name": "Battery Acid"}, "already"),
        ("tool", {"name": "spoon", "division": "1", "capacity": "5 g"}, "unit"),
        ("vessel", {"material": "zinc", "diameter": "28 cm", "height": "30 cm"}, "zinc"),
    ],
)
def test_what_cannot_stand_there_is_refused_and_nothing_lost(
    browser: Any, tmp_path: Path, kind: str, typed: dict[str, str], said: str
) -> None:
    filled(browser)
    before = KeptShelf(tmp_path).tables()
    answer = browser.post(f"/shelf/{kind}", data=typed)
    assert answer.status_code == 400
    assert said in answer.text
    assert KeptShelf(tmp_path).tables() == before
    for value in typed.values():
        assert f'value="{value}"' in answer.text


def test_the_shelf_can_be_taken_out_as_a_file() -> None:
    odd = {"shelf": [{"name": 'a "quoted" \\ name', "grade": "tap water"}], "vessel": {"a": "é\n"}}
    assert tables_of(toml_of(odd), where="x") == odd


def test_a_bath_is_worked_out_printed_and_begun(browser: Any) -> None:
    filled(browser)
    form = {"family": "conventional", "volume": "10 L", "start": "20 degC"}
    text = browser.post("/baths/new", data={**form, "then": "look"}).text
    water, acid = text.index("Pour water"), text.index("Pour acid")
    assert water < acid  # acid into water, never the other way
    assert "kitchen scale" in text
    sheet = browser.post("/baths/new", data={**form, "then": "print"})
    assert sheet.content.startswith(b"%PDF")
    assert "No bath yet" in browser.get("/baths").text
    begun = browser.post("/baths/new", data={**form, "then": "begin", "name": "long tank"})
    assert "What is in it" in begun.text
    again = browser.post("/baths/new", data={**form, "then": "begin", "name": "Long Tank"})
    assert again.status_code == 400
    assert "another name" in again.text


def test_a_bath_needs_bottles(browser: Any) -> None:
    answer = browser.post("/baths/new", data={"family": "conventional", "volume": "10 L"})
    assert answer.status_code == 400
    assert "nothing stands on the shelf" in answer.text.lower()


def test_events_are_noted_shown_and_taken_back(browser: Any) -> None:
    address = made(browser)
    note = {"kind": "analysis", "copper": "54 ± 2 g/L"}
    text = browser.post(f"{address}/notes", data=note).text
    assert "copper 54 g/L" in text
    (id,) = set(re.findall(r'name="of" value="(analysis-[^"]+)"', text))
    back = browser.post(f"{address}/take-back", data={"of": id, "reason": "a slip"}).text
    assert f'value="{id}"' not in back
    assert 'class="stocked gone"' in back


@pytest.mark.parametrize(
    ("note", "said"),
    [
        ({"kind": "analysis", "copper": "54"}, "unit"),
        ({"kind": "analysis", "copper": "54 g/L"}, "how sure"),
        ({"kind": "addition", "product": "battry acid", "amount": "10 mL"}, "battery acid"),
        ({"kind": "top-up"}, "water"),
        ({"kind": "spell"}, "spell"),
        ({"kind": "ampere-hours", "charge": "5 Ah", "at": "2126-01-01"}, "future"),
    ],
)
def test_a_note_that_cannot_be_is_shown_again_as_typed(
    browser: Any, note: dict[str, str], said: str
) -> None:
    address = made(browser)
    answer = browser.post(f"{address}/notes", data=note)
    assert answer.status_code == 400
    assert said in answer.text
    if "amount" in note:
        assert 'value="10 mL"' in answer.text


def test_a_bath_low_in_acid_is_told_and_dosed(browser: Any) -> None:
    filled(browser)
    form = {"name": "old", "volume": "10 ± 0.1 L", "copper": "55 ± 1 g/L",
            "sulfuric_acid": "20 ± 1 g/L", "chloride": "70 ± 5 mg/L"}  # fmt: skip
    answer = browser.post("/baths", data=form)
    assert "below" in answer.text
    doses = browser.get(f"{answer.url.path}/doses").text
    assert "battery acid" in doses
    assert "acid into water" in doses


def test_one_without_a_name_or_with_a_slip_begins_nothing(browser: Any) -> None:
    form = {"name": "old", "volume": "10 L", "copper": "55", "sulfuric_acid": "20 ± 1 g/L"}
    answer = browser.post("/baths", data=form)
    assert answer.status_code == 400
    assert "unit" in answer.text
    assert "No bath yet" in browser.get("/baths").text
    assert browser.post("/baths", data={**form, "name": ""}).status_code == 400


def test_a_chart_is_drawn_once_there_is_time_to_draw(browser: Any) -> None:
    form = {"name": "old", "volume": "10 ± 0.1 L", "copper": "55 ± 1 g/L",
            "sulfuric_acid": "60 ± 1 g/L", "at": "2026-03-01"}  # fmt: skip
    address = browser.post("/baths", data=form).url.path
    assert "<polyline" not in browser.get(address).text
    text = browser.post(f"{address}/notes", data={"kind": "evaporation", "level": "9.4 L"}).text
    assert text.count("<polyline") == 4  # copper, acid, chloride, volume
    assert text.count('<text class="unit"') == 4
    told = re.search(r"Volume against time, from (\S+) L on .* to (\S+) L on", text)
    assert told is not None  # for who cannot see it
    assert float(told[2]) == pytest.approx(9.4, abs=0.1)
    assert "9.4 L" in text


def test_who_may_only_look_notes_nothing(tmp_path: Path) -> None:
    access, queue = Access.shared(["bench.local"]), IdleQueue(tmp_path / "work")
    with visitor(queue, access, peer="192.168.1.9", host="bench.local") as phone:
        phone.get(f"/?key={access.keys[Role.LOOK]}")
        assert "Put it there" not in phone.get("/shelf").text
        assert phone.post("/shelf/example").status_code == 403


def test_the_api_does_what_the_pages_do(browser: Any) -> None:
    api = "/api/v1"
    assert browser.get(f"{api}/shelf").json()["shelf"] == []
    assert browser.post(f"{api}/shelf/example").status_code == 201
    answers = {"answers": {"family": "conventional", "volume": "10 L"}}
    plan = browser.post(f"{api}/baths/make-up", json=answers).json()
    assert plan["volume_m3"]["best"] == pytest.approx(0.010, rel=0.01)
    bath = browser.post(f"{api}/baths", json={**answers, "name": "long tank"}).json()
    note = {"kind": "ampere-hours", "entries": {"charge": "18 Ah"}}
    (added,) = browser.post(f"{api}/baths/{bath['id']}/ledger", json=note).json()["added"]
    assert added["charge_C"] == pytest.approx(64800.0)
    state = browser.get(f"{api}/baths/{bath['id']}").json()
    assert state["bath"]["copper_kg_m3"]["side"] == "inside"
    assert browser.get(f"{api}/baths/{bath['id']}/doses").json()["options"]
    assert browser.get(f"{api}/baths/{bath['id']}/next").json()["ranked"]
    assert browser.get(f"{api}/baths/nothing").status_code == 400


def test_the_bench_tells_which_bath_is_due(browser: Any) -> None:
    form = {"name": "old", "volume": "10 ± 0.1 L", "copper": "55 ± 1 g/L",
            "sulfuric_acid": "20 ± 1 g/L", "chloride": "70 ± 5 mg/L"}  # fmt: skip
    address = browser.post("/baths", data=form).url.path
    assert f'hx-get="{address}/due"' in browser.get("/").text
    assert "sulfuric acid below its window" in browser.get(f"{address}/due").text


def test_the_api_prints_a_make_up_and_tells_a_baths_history(browser: Any) -> None:
    bath = made(browser)
    sent = {"answers": {"family": "conventional", "volume": "10 L"}}
    sheet = browser.post("/api/v1/baths/make-up/sheet", json=sent)
    assert sheet.headers["content-type"] == "application/pdf"
    assert sheet.content.startswith(b"%PDF")
    told = browser.get(f"/api/v1{bath}/history").json()
    now = browser.get(f"/api/v1{bath}").json()["bath"]["copper_kg_m3"]
    assert told[-1]["bath"]["copper_kg_m3"]["best"] == pytest.approx(now["best"])
