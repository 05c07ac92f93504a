"""The bath's table of numbers: every one has its interval, its unit and its honesty."""

import pytest

from tankside.base.errors import OutsideValidity, UnknownName
from tankside.base.provenance import NEEDS_NO_SOURCE, Evidence
from tankside.bath.interpolation import between
from tankside.bath.parameters import keys, parameter, parameters


@pytest.mark.parametrize("name", sorted(parameters()))
def test_a_number_says_where_it_comes_from(name: str) -> None:
    held = parameter(name)
    assert held.name
    assert held.unit
    if held.source:
        assert held.locator
    else:
        assert held.evidence in NEEDS_NO_SOURCE
    if held.evidence is Evidence.GUESS:
        assert held.value.low < held.value.best < held.value.high or held.note


def test_unknown_numbers_get_close_names() -> None:
    with pytest.raises(UnknownName, match="exchange_current"):
        parameter("exchange_curent")


def test_keys_leave_out_what_has_no_source() -> None:
    assert keys("anode_limit", "bulk_resistivity") == ("iec60028",)


def test_between_rows_runs_a_straight_line() -> None:
    nodes, values = (0.0, 1.0, 3.0), (10.0, 20.0, 0.0)
    found = [between(nodes, values, x, what="it", unit="m") for x in (0.0, 0.5, 1.0, 2.0, 3.0)]
    assert found == [10.0, 15.0, 20.0, 10.0, 0.0]


@pytest.mark.parametrize("at", [-1e-9, 3.0000001, float("nan")])
def test_beyond_the_rows_there_is_nothing(at: float) -> None:
    with pytest.raises(OutsideValidity, match="it is tabulated from 0 to 3 m"):
        between((0.0, 1.0, 3.0), (1.0, 2.0, 3.0), at, what="it", unit="m")
