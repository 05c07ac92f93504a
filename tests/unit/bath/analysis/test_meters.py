"""pH and conductivity meters: their lines, their traps, their ends of scale."""

from math import log

import pytest

from tankside.base.constants import FARADAY_C_PER_MOL, GAS_CONSTANT_J_PER_MOL_K
from tankside.base.errors import BadInput, UnknownName
from tankside.bath.analysis.conductivity_meter import (
    CellCheck,
    ConductivityMeter,
    conductivity_by_meter,
)
from tankside.bath.analysis.ph_meter import BufferReading, Shows, ph_by_meter

GOOD = [BufferReading(buffer=4.0, shown=4.0), BufferReading(buffer=7.0, shown=7.0)]


def test_a_meter_that_is_right_is_believed() -> None:
    found = ph_by_meter(5.2, GOOD, 298.15)
    assert found.value.best == pytest.approx(5.2)
    assert found.std < 0.1
    assert found.budget[0].name == "junction"


def test_a_shifted_meter_is_put_right() -> None:
    shifted = [BufferReading(buffer=4.0, shown=4.2), BufferReading(buffer=7.0, shown=7.1)]
    assert ph_by_meter(5.65, shifted, 298.15).value.best == pytest.approx(5.5)


def test_volts_have_the_slope_of_nernst() -> None:
    slope = GAS_CONSTANT_J_PER_MOL_K * 298.15 / FARADAY_C_PER_MOL * log(10.0)
    buffers = [BufferReading(buffer=7.0, shown=0.0), BufferReading(buffer=4.0, shown=3.0 * slope)]
    found = ph_by_meter(2.0 * slope, buffers, 298.15, shows=Shows.POTENTIAL)
    assert found.value.best == pytest.approx(5.0)
    worn = [BufferReading(buffer=7.0, shown=0.0), BufferReading(buffer=4.0, shown=2.4 * slope)]
    with pytest.raises(BadInput, match="80 % of its slope"):
        ph_by_meter(0.05, worn, 298.15, shows=Shows.POTENTIAL)


def test_beyond_the_buffers_the_doubt_grows() -> None:
    inside, outside = ph_by_meter(5.5, GOOD, 298.15), ph_by_meter(2.0, GOOD, 298.15)
    assert outside.std > inside.std
    assert any("outside its buffers" in note for note in outside.notes)


def test_the_nearest_two_of_three_buffers_count() -> None:
    third = BufferReading(buffer=10.0, shown=8.9)
    assert ph_by_meter(5.2, [*GOOD, third], 298.15).value.best == pytest.approx(5.2)


@pytest.mark.parametrize(
    ("shown", "buffers", "words"),
    [
        (1.0, GOOD, "titrate it"),
        (20.0, GOOD, "millivolts"),
        (float("nan"), GOOD, "finite"),
        (5.0, GOOD[:1], "two buffers"),
        (5.0, [GOOD[0], BufferReading(buffer=7.0, shown=4.0)], "two buffers"),
        (5.0, [GOOD[0], BufferReading(buffer=177.0, shown=7.0)], "swapped"),
        (5.0, [GOOD[0], BufferReading(buffer=7.0, shown=6.0)], "sound"),
    ],
)
def test_impossible_readings_are_refused(
    shown: float, buffers: list[BufferReading], words: str
) -> None:
    with pytest.raises(BadInput, match=words):
        ph_by_meter(shown, buffers, 298.15)


CHEAP = ConductivityMeter(full_scale=20.0, compensates=True)
TRUE_CELL = CellCheck(standard="potassium chloride 0.1 mol/L", shown=1.288)


def test_the_meters_own_reduction_is_undone() -> None:
    found = conductivity_by_meter(15.0, 308.15, CHEAP, TRUE_CELL)
    assert found.value.best == pytest.approx(15.0 * 1.2, rel=1e-9)
    honest = ConductivityMeter(full_scale=20.0, compensates=False)
    assert conductivity_by_meter(15.0, 308.15, honest, TRUE_CELL).value.best == pytest.approx(15.0)


def test_the_cell_is_put_right_by_its_standard() -> None:
    low = CellCheck(standard="potassium chloride 0.1 mol/L", shown=1.15)
    found = conductivity_by_meter(15.0, 298.15, CHEAP, low)
    assert found.value.best == pytest.approx(15.0 * 1.288 / 1.15, rel=1e-9)
    assert found.temperature == 298.15


def test_a_warm_standard_on_a_plain_meter() -> None:
    plain = ConductivityMeter(full_scale=20.0, compensates=False)
    warm = CellCheck(standard="potassium chloride 0.1 mol/L", shown=1.288 * 1.1, temperature=303.15)
    assert conductivity_by_meter(15.0, 298.15, plain, warm).value.best == pytest.approx(15.0)


@pytest.mark.parametrize(
    ("shown", "check", "words"),
    [
        (19.9, TRUE_CELL, "end of this meter's scale of 200 mS/cm"),
        (-1.0, TRUE_CELL, "above zero"),
        (15.0, CellCheck(standard="potassium chloride 0.1 mol/L", shown=0.00128), "mixed up"),
    ],
)
def test_meters_beyond_their_ends_are_refused(shown: float, check: CellCheck, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        conductivity_by_meter(shown, 298.15, CHEAP, check)


def test_an_unknown_standard_offers_close_ones() -> None:
    with pytest.raises(UnknownName, match=r"potassium chloride 0\.1"):
        conductivity_by_meter(
            15.0, 298.15, CHEAP, CellCheck(standard="potassium chloride 0.1", shown=1.3)
        )
