"""From zones to limits, to a trend, to evidence."""

from dataclasses import replace

import pytest

from tankside.app.diagnose import DiagnoseRequest, diagnose
from tankside.app.read_a_panel import PanelRequest, read_a_panel
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.bath.dosing.additive import Panel
from tankside.diagnosis.evidence import Said
from tankside.diagnosis.known_numbers import BathNumbers
from tankside.diagnosis.panel import (
    Look,
    PanelReading,
    PanelTest,
    additive_by,
    cell_named,
    compared,
    current_along,
    measured_by,
    read_panel,
    told_by,
    zones_of,
)
from tankside.diagnosis.panel.zones import told_zones

SMALL = cell_named("267 mL")
GOOD = "burnt 0-0.9 cm, bright 0.9-8.5 cm, dull 8.5-10.1 cm"
WORN = "burnt 0-2.2 cm, bright 2.2-5 cm, dull 5-10.1 cm"


def panel(text: str, current: float = 2.0) -> PanelReading:
    zones = zones_of(text, SMALL)
    return read_panel(PanelTest(cell=SMALL, current=current, duration=300.0, zones=zones))


def test_zones_are_read_and_told_again() -> None:
    zones = zones_of("bright 1.2-7 cm; BURNT 0 to 12 mm, off-colour 7-10 cm", SMALL)
    assert [zone.look for zone in zones] == [Look.BURNT, Look.BRIGHT, Look.OFF_COLOUR]
    assert zones[0].end.best == pytest.approx(0.012)
    assert zones_of(told_zones(zones), SMALL) == zones


def test_a_limit_spans_mark_meter_field_and_formula() -> None:
    reading = panel(GOOD)
    limit = reading.burnt_above
    assert limit is not None
    at = current_along(SMALL, 0.009, 2.0)
    assert at.formula is not None
    assert limit.current_density.low < at.field.low
    assert limit.current_density.high > max(at.formula, at.field.high)
    assert limit.by_mark.high - limit.by_mark.low < (
        limit.current_density.high - limit.current_density.low
    )
    assert reading.bright_below is limit


def test_an_end_at_the_panel_s_own_edge_is_no_limit() -> None:
    reading = panel("bright 0-10.16 cm")
    assert reading.boundaries == ()
    assert reading.burnt_above is None
    assert reading.bright_above is None
    assert reading.has_bright
    assert any("as far down as the panel tells" in words for words in reading.sentences)


def test_bare_and_gaps() -> None:
    reading = panel("rough 0-1 cm, dull 2-6 cm, bare 6-10 cm")
    assert reading.bare_below is not None
    assert reading.bare_below.position.best == pytest.approx(0.06)
    assert [(one.nearer, one.farther) for one in reading.boundaries] == [
        (Look.ROUGH, None),
        (None, Look.DULL),
        (Look.DULL, Look.BARE),
    ], "what ends within a few millimetres of the edge is beyond the field's table"
    assert not reading.has_bright


def test_twice_the_current_is_twice_the_limit() -> None:
    one, two = panel(GOOD, 1.0).burnt_above, panel(GOOD, 2.0).burnt_above
    assert one is not None
    assert two is not None
    assert two.current_density.best == pytest.approx(2.0 * one.current_density.best)


def test_where_the_formula_fails_the_sentence_says_so() -> None:
    words = " ".join(panel("bright 0-9 cm, bare 9-10 cm").sentences)
    assert "the published formula fails there" in words
    assert "%)" in " ".join(panel(GOOD).sentences)


def test_the_trend_sees_the_range_shrink_and_not_the_marks() -> None:
    trend = compared(panel(WORN), [panel(GOOD)] * 3)
    assert trend.burnt_ratio is not None
    assert trend.bright_ratio is not None
    assert trend.burnt_ratio.high < 1.0
    assert trend.bright_ratio.high < 0.5
    assert any("has shrunk" in words for words in trend.sentences)
    same = compared(panel("burnt 0-1 cm, bright 1-8.5 cm, dull 8.5-10.1 cm"), [panel(GOOD)])
    assert same.burnt_ratio is not None
    assert 1.0 in same.burnt_ratio
    assert any("not changed beyond" in words for words in same.sentences)


def test_the_trend_tells_what_is_new_or_gone() -> None:
    clean = panel("bright 0-8.5 cm, dull 8.5-10.1 cm")
    assert any("no longer spoilt" in s for s in compared(clean, [panel(GOOD)]).sentences)
    assert any("no earlier panel" in s for s in compared(panel(GOOD), [clean]).sentences)
    dull = panel("burnt 0-0.9 cm, dull 0.9-10.1 cm")
    trend = compared(dull, [panel(GOOD)])
    assert trend.bright_ratio is not None
    assert trend.bright_ratio.best == 0.0
    assert any("bright any more" in s for s in trend.sentences)


def test_unlike_panels_are_not_compared() -> None:
    with pytest.raises(BadInput, match="plated at 1 A"):
        compared(panel(GOOD), [panel(GOOD, 1.0)])
    large = cell_named("1000 mL")
    other = read_panel(
        PanelTest(cell=large, current=2.0, duration=300.0, zones=zones_of("bright 1-9 cm", large))
    )
    with pytest.raises(BadInput, match="1000 mL"):
        compared(panel(GOOD), [other])
    with pytest.raises(BadInput, match="no earlier"):
        compared(panel(GOOD), [])


def test_what_a_panel_says_to_the_diagnosis() -> None:
    trend = compared(panel(WORN), [panel(GOOD)])
    told = told_by(panel(WORN))
    assert [(one.finding, one.said) for one in told] == [("panel-dull", Said.NO)]
    names = {item.quantity for item in measured_by(panel(WORN), trend)}
    assert names == {
        "panel_burnt_above",
        "panel_bright_above",
        "panel_burnt_ratio",
        "panel_bright_ratio",
    }
    pitted = told_by(panel("pitted 0-5 cm, dull 5-10 cm"))
    assert [one.finding for one in pitted] == ["panel-dull", "pits"]
    assert pitted[0].said is Said.YES


def test_the_panel_decides_on_the_additive() -> None:
    assert additive_by(panel(GOOD)) is Panel.BRIGHT
    assert additive_by(panel(WORN)) is Panel.DULL
    assert additive_by(panel("dull 0-10 cm")) is Panel.DULL
    assert additive_by(panel("bright 0-3 cm, pitted 3-10 cm")) is Panel.OVERDOSED


def chance(cause: str, text: str | None) -> float:
    asked = None if text is None else PanelRequest(zones=text, current="2 A", earlier=(GOOD,))
    request = DiagnoseRequest(seen=("burnt-edges",), panel=asked, most=80)
    found = {one.cause: one.present for one in diagnose(request).diagnosis.suspects}
    return found[cause]


def test_a_worn_panel_speaks_for_the_bath_and_a_good_one_against() -> None:
    for cause in ("brightener-low", "copper-low"):
        assert chance(cause, WORN) > chance(cause, None) > chance(cause, GOOD)


def test_what_the_person_says_goes_before_the_panel() -> None:
    asked = PanelRequest(zones="dull 0-10 cm", current="2 A")
    request = DiagnoseRequest(seen=("burnt-edges",), answers={"panel-dull": "no"}, panel=asked)
    told = [one for one in diagnose(request).diagnosis.case.told if one.finding == "panel-dull"]
    assert [one.said for one in told] == [Said.NO]


def test_the_bath_narrows_the_wagner_number() -> None:
    bath = BathNumbers(
        copper_sulfate_pentahydrate=Interval(70.0, 75.0, 80.0),
        sulfuric_acid=Interval(180.0, 190.0, 200.0),
    )
    asked = PanelRequest(zones=GOOD, current="2 A")
    usual, known = read_a_panel(asked), read_a_panel(replace(asked, bath=bath))
    assert any("common baths" in note for note in usual.notes)
    assert not any("common baths" in note for note in known.notes)
    assert any("from memory" in note for note in known.notes)
    width = [one.reading.test.wagner.high - one.reading.test.wagner.low for one in (usual, known)]
    assert width[1] < width[0]
    row = known.as_json()
    assert row["additive"] == "bright"
    assert row["spoilt_above"]["formula_A_m2"] > row["spoilt_above"]["field_A_m2"]["best"]


def test_minutes_may_be_bare() -> None:
    assert (
        read_a_panel(PanelRequest(zones=GOOD, current="2 A", duration="5")).reading.test.duration
        == 300.0
    )


BAD = [
    ({"zones": ""}, "no zone is named"),
    ({"zones": " , "}, "no zone is named"),
    ({"zones": "shiny 0-5 cm"}, "look of a panel"),
    ({"zones": "brihgt 0-5 cm"}, "did you mean 'bright'"),
    ({"zones": "bright"}, "has no ends"),
    ({"zones": "bright 5 cm"}, "no stretch"),
    ({"zones": "bright 0-5"}, "no unit"),
    ({"zones": "bright 0-5 A"}, "not a length"),
    ({"zones": "bright 5-3 cm"}, "lower number first"),
    ({"zones": "bright 3-3 cm"}, "has no length"),
    ({"zones": "bright 0-12 cm"}, "not on the panel"),
    ({"zones": "bright -2-5 cm"}, "not on the panel"),
    ({"zones": "bright >= 3 cm"}, "no stretch"),
    ({"zones": "burnt 0-3 cm, bright 2-7 cm"}, "overlap"),
    ({"current": "2"}, "no unit"),
    ({"current": "0 A"}, "up to 20 A"),
    ({"current": "200 A"}, "up to 20 A"),
    ({"current": "2 V"}, "not a current"),
    ({"duration": "0 min"}, "for minutes"),
    ({"duration": "9 h"}, "for minutes"),
    ({"duration": "soon"}, "soon"),
    ({"cell": "250 mL"}, "test cell"),
    ({"earlier": ("bright 0-5",)}, "--panel-before"),
]


@pytest.mark.parametrize(("change", "words"), BAD)
def test_bad_input_is_one_sentence(change: dict[str, object], words: str) -> None:
    request = replace(PanelRequest(zones=GOOD, current="2 A"), **change)  # type: ignore[arg-type]
    with pytest.raises(BadInput) as error:
        read_a_panel(request)
    assert words in str(error.value)
    assert "\n" not in str(error.value)
