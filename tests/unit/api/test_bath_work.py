"""The API does of a bath what the pages do: forecast, analyses, doses, rinses, end, sheets."""

import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.unit.web.desk import IdleQueue, visitor

BASE = "/api/v1"
WAS = {"volume": "10 ± 0.1 L", "copper": "55 ± 1 g/L", "sulfuric_acid": "20 ± 1 g/L",
       "chloride": "70 ± 5 mg/L"}  # fmt: skip
FARADAY = 96485.33212  # C/mol, SI 2019


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Any]:
    with visitor(IdleQueue(tmp_path)) as found:
        yield found


@pytest.fixture
def bath(client: Any) -> str:
    """The address of a bath low in acid, with the example's shelf."""
    client.post(f"{BASE}/shelf/example")
    sent = {"name": "old", "answers": WAS}
    id = client.post(f"{BASE}/baths/take-over", json=sent).json()["id"]
    return f"{BASE}/baths/{id}"


def test_every_form_tells_its_fields(client: Any) -> None:
    forms = client.get(f"{BASE}/bath-forms").json()
    assert {"forecast", "dose", "rinse", "retire", "label", "safe", "copper", "pH"} <= set(forms)
    for name in forms:
        fields = client.get(f"{BASE}/bath-forms/{name}").json()["fields"]
        assert fields
        assert all(one["words"] for one in fields)
    assert client.get(f"{BASE}/bath-forms/nothing").status_code == 404


def test_a_forecast(client: Any, bath: str) -> None:
    answers = {"charge": "20 Ah", "area": "9 dm^2", "water": "tap water", "weeks": "10"}
    found = client.post(f"{bath}/forecast", json={"answers": answers}).json()
    assert len(found["weeks"]) == 11
    acid = next(one for one in found["leaving"] if one["quantity"] == "sulfuric_acid")
    assert acid["side"] == "below"
    assert acid["probability_outside_now"] > 0.99
    wrong = client.post(f"{bath}/forecast", json={"answers": {"charge": "20", "x": "1"}})
    assert wrong.status_code == 400
    assert set(wrong.json()["fields"]) == {"charge", "x"}


def test_a_titration_is_planned_worked_out_and_kept(client: Any, bath: str) -> None:
    plan = client.post(f"{bath}/titrations/copper", json={"answers": {"expected": "55 g/L"}})
    assert plan.json()["steps"]
    answers = {"run1": "16.05 mL", "run2": "15.95 mL", "sample": "2 mL", "titrant": "0.1 mol/L"}
    looked = client.post(f"{bath}/analyses/copper", json={"answers": answers}).json()
    assert looked["found"]["value_kg_m3"]["best"] == pytest.approx(50.84, rel=0.005)
    before, after = (looked["effect"][when]["copper_kg_m3"] for when in ("before", "after"))
    assert after["high"] - after["low"] < before["high"] - before["low"]
    assert len(client.get(f"{bath}/ledger").json()["events"]) == 1  # it was only looked at
    kept = client.post(f"{bath}/analyses/copper/kept", json={"answers": answers}).json()
    assert kept["noted"]["added"][0]["event"] == "analysis"
    state = client.get(bath).json()["bath"]["copper_kg_m3"]
    assert state["best"] == pytest.approx(after["best"])
    late = client.post(f"{bath}/analyses/copper", json={"answers": answers, "at": "2126-01-01"})
    assert late.status_code == 400


def test_a_dose_is_noted_and_taken_back(client: Any, bath: str) -> None:
    found = client.post(f"{bath}/doses", json={"answers": {"probability": "90 %"}}).json()
    steps = found["options"][0]["actions"]
    assert steps[0]["add"] == "battery acid"
    sent = {"steps": [{"product": "battery acid", "amount": f"{steps[0]['mass_kg'] * 1e3:.0f} g"}]}
    added = client.post(f"{bath}/doses/done", json=sent).json()["added"]
    addition = next(one for one in added if one["event"] == "addition")
    assert addition["mass_kg"] == pytest.approx(steps[0]["mass_kg"], rel=1e-3)
    assert client.get(bath).json()["bath"]["sulfuric_acid_kg_m3"]["side"] == "inside"
    back = client.post(f"{bath}/take-back", json={"of": [addition["id"]], "reason": "spilt"})
    assert back.status_code == 201
    assert client.get(bath).json()["bath"]["sulfuric_acid_kg_m3"]["side"] == "below"
    assert client.post(f"{bath}/take-back", json={"of": []}).status_code == 400
    nothing = client.post(f"{bath}/doses/done", json={"steps": []})
    assert nothing.status_code == 400


def test_plating_the_copper_out_obeys_faraday(client: Any, bath: str) -> None:
    answers = {"removal": "plate", "plate_out": "5 g/L"}
    found = client.post(f"{bath}/retirement", json={"answers": answers}).json()
    for end in ("low", "best", "high"):
        grams = 1e3 * (found["holds"]["copper_kg"][end] - 0.010 * 5.0)
        assert found["plated_out"]["charge_C"][end] >= 0.99 * 2 * FARADAY * grams / 63.546
    assert any("drain" in one for one in found["hand_over"])
    foamy = client.post(f"{bath}/retirement", json={"answers": {"vessel": "12 L"}})
    assert foamy.status_code == 409


@pytest.mark.parametrize(
    ("address", "answers"),
    [
        ("titrations/copper/sheet", {"expected": "55 g/L"}),
        ("doses/sheet", {}),
        ("rinse/sheet", {"area": "9 dm^2", "copper": "55 g/L", "acid": "20 g/L"}),
        ("retirement/sheet", {}),
        ("retirement/hand-over", {}),
    ],
)
def test_sheets(client: Any, bath: str, address: str, answers: dict[str, str]) -> None:
    sheet = client.post(f"{bath}/{address}", json={"answers": answers})
    assert sheet.content.startswith(b"%PDF")
    assert sheet.headers["content-type"] == "application/pdf"


def test_more_sheets(client: Any, bath: str) -> None:
    make_up = {"answers": {"family": "conventional", "volume": "10 L"}}
    assert client.post(f"{BASE}/baths/make-up/sheet", json=make_up).content.startswith(b"%PDF")
    assert client.get(f"{bath}/record").content.startswith(b"%PDF")
    label = {"answers": {"of": "bath old", "copies": "2"}}
    assert client.post(f"{BASE}/labels/sheet", json=label).content.startswith(b"%PDF")
    assert client.post(f"{BASE}/labels", json=label).json()["pictograms"]
    assert "bottle battery acid" in client.get(f"{BASE}/labels").json()


def test_rinses(client: Any, bath: str) -> None:
    answers = {"area": "9 dm^2", "copper": "50 g/L", "acid": "58 g/L", "still1": "4 L"}
    found = client.post(f"{bath}/rinse", json={"answers": answers}).json()
    volume = found["drag_out_m3"]["best"]
    assert found["copper_kg"]["best"] == pytest.approx(50.0 * volume)
    assert found["still_rinses_share_of_bath"][0] == pytest.approx(volume / (4e-3 + volume))


def test_what_must_not_be_is_refused_with_its_reason(client: Any) -> None:
    sent = {"answers": {"together1": "ammonia", "together2": "bleach"}}
    refused = client.post(f"{BASE}/safe", json=sent)
    assert refused.status_code == 409
    assert "chloramine" in refused.json()["error"]
    allowed = client.post(f"{BASE}/safe", json={"answers": {"anode": "copper pipe"}}).json()
    assert allowed["things"][0]["verdict"] == "mind"


def test_a_bath_is_put_away_and_taken_back_into_use(client: Any, bath: str) -> None:
    client.delete(bath)
    assert client.get(f"{BASE}/baths").json() == []
    assert client.get(bath).status_code == 200
    client.post(f"{bath}/back")
    assert len(client.get(f"{BASE}/baths").json()) == 1


def test_what_is_due_grows_with_time(client: Any, bath: str) -> None:
    due = client.get(f"{bath}/due").json()
    assert due["outside"] == [{"quantity": "sulfuric_acid", "side": "below"}]
    assert due["analysis_old_since_s"] is None
    was = {"name": "older", "answers": {**WAS, "sulfuric_acid": "60 ± 2 g/L"}}
    id = client.post(f"{BASE}/baths/take-over", json=was).json()["id"]
    day = time.strftime("%Y-%m-%d", time.localtime(time.time() - 100 * 86400))
    assert client.get(f"{BASE}/baths/{id}/due").json()["level_old_since_s"] is None
    aged = {"name": "aged", "answers": {**was["answers"], "at": day}}
    id = client.post(f"{BASE}/baths/take-over", json=aged).json()["id"]
    due = client.get(f"{BASE}/baths/{id}/due").json()
    assert due["analysis_old_since_s"] == pytest.approx(time.time() - 100 * 86400, abs=2 * 86400)
    assert due["level_old_since_s"] is not None


def test_a_window_about_to_be_left_is_due(client: Any) -> None:
    """Lifted parts carry acid away that nothing brings back: the ledger's own week says when."""
    ago = time.time() - 28 * 86400
    day = time.strftime("%Y-%m-%d", time.localtime(ago))
    was = {**WAS, "sulfuric_acid": "30.4 ± 0.1 g/L", "at": day}
    sent = {"name": "thin", "answers": was}
    id = client.post(f"{BASE}/baths/take-over", json=sent).json()["id"]
    for weeks in (3, 2, 1):
        at = time.strftime("%Y-%m-%d", time.localtime(time.time() - weeks * 7 * 86400))
        note = {"kind": "drag-out", "entries": {"area": "120 dm^2", "parts": "3", "at": at}}
        assert client.post(f"{BASE}/baths/{id}/ledger", json=note).status_code == 201
    due = client.get(f"{BASE}/baths/{id}/due").json()
    assert due["outside"] == []
    assert [(one["quantity"], one["side"]) for one in due["leaving"]] == [
        ("sulfuric_acid", "below")
    ]
    page = client.get(f"/baths/{id}/due").text
    assert "sulfuric acid leaves its window about" in page
