"""A drawing's axis: round marks in the reader's unit, at the places of the values they name."""

import pytest

from tankside.app.work.preferences import Mark, Preferences
from tankside.base.units import Kind, UnitSystem, quantity
from tankside.web.axis import axis_of
from tankside.web.reader import READER


def test_marks_stand_where_the_values_they_name_do() -> None:
    axis = axis_of(48.2, 61.0, "mass_concentration")
    assert axis.unit == "g/L"
    assert [words for _, words in axis.marks] == ["50", "55", "60"]
    for share, words in axis.marks:
        value = quantity(f"{words} g/L", Kind.MASS_CONCENTRATION, where="")
        assert axis.share(value) == pytest.approx(share)
    assert 0.0 < axis.share(48.2) < axis.share(61.0) < 1.0


def test_it_is_told_as_the_reader_likes() -> None:
    mine = READER.set(Preferences(units=UnitSystem.US, mark=Mark.COMMA))
    try:
        axis = axis_of(0.0170, 0.0183, "volume")
    finally:
        READER.reset(mine)
    assert axis.unit == "US gal"
    assert [words for _, words in axis.marks] == ["4,5", "4,6", "4,7", "4,8"]


def test_nothing_that_changes_has_an_axis_too() -> None:
    axis = axis_of(0.018, 0.018, "volume")
    assert axis.share(0.018) == pytest.approx(0.5)
    assert len(axis.marks) >= 1
    assert axis_of(0.0, 0.0, "volume").marks
