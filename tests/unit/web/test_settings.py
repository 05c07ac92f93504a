"""The settings page, and what pages look like after it."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tankside.app.work.plan_fields import defaults
from tankside.app.work.plan_form import field_fault
from tankside.app.work.preferences import KeptPreferences, Mark, Paper, Preferences
from tankside.base.intervals import Interval
from tankside.base.units import UnitSystem
from tankside.web import reader
from tankside.web.access import Access, Role
from tests.unit.web.desk import IdleQueue, visitor

THEIRS = {"units": "US", "mark": "comma", "paper": "us-letter", "currency": "EUR"}


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[Any]:
    with visitor(IdleQueue(tmp_path / "work")) as client:
        yield client


def test_what_is_chosen_is_kept_and_shown_again(browser: Any, tmp_path: Path) -> None:
    answer = browser.post("/settings", data=THEIRS)
    assert "Kept." in answer.text
    assert '<option value="US" selected>' in answer.text
    assert KeptPreferences(tmp_path).read() == Preferences(
        units=UnitSystem.US, mark=Mark.COMMA, paper=Paper.LETTER, currency="EUR"
    )


def test_pages_write_quantities_as_the_reader_likes(browser: Any) -> None:
    assert "120 µm of copper in a tank of 18 L" in browser.get("/").text
    browser.post("/settings", data=THEIRS)
    assert "4,72 mil of copper in a tank of 4,76 US gal" in browser.get("/").text


def test_the_live_check_reads_back_as_the_reader_likes(browser: Any) -> None:
    assert "Read as 41.2 g" in browser.get("/check/mass?before=41,2+g").text
    assert "Read as 17.7 to 18.3 L" in browser.get("/check/spread-volume?volume=18±0.3 L").text
    assert "names no currency" in browser.get("/check/price-of-copper?copper=12/kg").text
    assert "is not known" in browser.get("/check/colour?x=red").text
    browser.post("/settings", data=THEIRS)
    assert "Read as 1,453 oz" in browser.get("/check/mass?before=41.2+g").text


def test_forms_begin_in_the_readers_units(browser: Any) -> None:
    browser.post("/settings", data={**THEIRS, "mark": "point"})
    shelf, new = browser.get("/shelf").text, browser.get("/baths").text
    assert 'placeholder="1.2 US gal"' in shelf
    assert 'placeholder="4.5 L"' not in shelf
    assert 'placeholder="4.8 ± 0.079 US gal"' in new
    token = reader.READER.set(Preferences(units=UnitSystem.US))
    try:
        begun = reader.begun(defaults())
        burette = reader.example("17.35 mL", of_a_bench=True)
    finally:
        reader.READER.reset(token)
    assert (begun["thickness"], begun["temperature"]) == ("4.72 mil", "77 °F")
    assert begun["agitation"] == defaults()["agitation"]
    assert [key for key, text in begun.items() if field_fault(key, text)] == []
    assert burette == "17.35 mL"


@pytest.mark.parametrize(
    ("key", "text", "said"),
    [
        ("units", "furlongs", "unit system"),
        ("mark", ";", "decimal mark"),
        ("paper", "a5", "paper"),
        ("currency", "12", "no currency"),
        ("currency", "<b>", "no currency"),
    ],
)
def test_what_is_not_offered_is_refused_whole(
    browser: Any, tmp_path: Path, key: str, text: str, said: str
) -> None:
    answer = browser.post("/settings", data={**THEIRS, key: text})
    assert answer.status_code in (400, 404)
    assert said in answer.text
    assert KeptPreferences(tmp_path).read() == Preferences()


def test_who_may_only_look_sees_the_settings_and_keeps_none(tmp_path: Path) -> None:
    access = Access.shared(["bench.local"])
    queue = IdleQueue(tmp_path / "work")
    with visitor(queue, access, peer="192.168.1.9", host="bench.local") as phone:
        phone.get(f"/?key={access.keys[Role.LOOK]}")
        assert "Keep these" not in phone.get("/settings").text
        assert phone.post("/settings", data=THEIRS).status_code == 403


def test_a_file_that_is_no_longer_understood_gives_the_usual(tmp_path: Path) -> None:
    (tmp_path / "preferences.json").write_text('{"units": "cubits", "mark": "comma", "paper": 4}')
    assert KeptPreferences(tmp_path).read() == Preferences(mark=Mark.COMMA)


def test_the_api_keeps_them_too(browser: Any) -> None:
    sent = {**THEIRS, "language": "en"}
    assert browser.put("/api/v1/preferences", json=sent).json() == sent
    assert browser.get("/api/v1/preferences").json() == sent


def test_a_range_names_a_common_unit_once() -> None:
    assert reader.between(Interval(0.0437, 0.0482, 0.0527), "mass_concentration", 3) == (
        "43.7 to 52.7 mg/L"
    )
    assert reader.between(Interval(0.85, 1.0, 1.2), "voltage") == "850 mV to 1.2 V"
    assert reader.between(Interval(0.018, 0.018, 0.018), "volume") == "18 L"


def test_a_meters_figures_have_no_more_decimals_than_a_meter() -> None:
    assert reader.figure(7.28e-5) == "0"
    assert reader.figure(7.1962) == "7.2"
    assert reader.figure(34.26, 1) == "34.3"
    assert reader.metered(0.000365, "V") == "0 V"
    assert reader.metered(0.17823, "V") == "0.178 V"
