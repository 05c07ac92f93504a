"""What the samples of a run add up to, against SciPy's integration and by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import trapezoid

from tankside.base.errors import BadInput
from tankside.runs.series import Series, charge_so_far, thinned, totals


def series(time: list[float], current: list[float], voltage: float = 2.0) -> Series:
    return Series.of(np.array(time), np.full(len(time), voltage), np.array(current))


@given(st.lists(st.tuples(st.floats(0.1, 9.9), st.floats(0.0, 10.0)), min_size=2, max_size=50))
def test_charge_is_scipys_trapezoid(rows: list[tuple[float, float]]) -> None:
    time = np.cumsum([span for span, _ in rows])
    current = np.array([value for _, value in rows])
    one = Series.of(time, np.full(len(time), 1.7), current)
    assert totals(one).charge == pytest.approx(trapezoid(current, time), rel=1e-12, abs=1e-12)
    assert totals(one).energy == pytest.approx(1.7 * totals(one).charge, rel=1e-12, abs=1e-12)
    assert charge_so_far(one)[-1] == pytest.approx(totals(one).charge, rel=1e-12, abs=1e-12)


def test_a_gap_counts_as_nothing_and_is_told() -> None:
    told = totals(series([0, 1, 2, 100, 101], [1, 1, 1, 1, 1]))
    assert told.charge == pytest.approx(3.0)
    assert (told.sampled, told.unknown, told.gaps) == (3.0, 98.0, 1)


def test_parts_add_up() -> None:
    time = np.arange(0.0, 100.0)
    whole = Series.of(time, 1 + 0 * time, np.sin(time) ** 2)
    first, second = whole.between(0, 40), whole.between(39, 100)
    assert totals(first).charge + totals(second).charge == pytest.approx(totals(whole).charge)
    joined = whole.between(0, 40).joined(whole.between(40, 100))
    np.testing.assert_array_equal(joined.current, whole.current)


def test_an_empty_series_and_a_single_sample_hold_nothing() -> None:
    assert totals(series([], [])).charge == 0.0
    assert totals(series([5.0], [2.0])).charge == 0.0
    assert len(charge_so_far(series([5.0], [2.0]))) == 1


def test_thinning_keeps_every_extreme() -> None:
    time = np.arange(0.0, 72 * 3600.0)
    current = np.full(len(time), 2.0)
    current[123_456], current[200_000] = 0.0, 9.0
    few = thinned(Series.of(time, np.full(len(time), 1.5), current), 2000)
    assert len(few) <= 2002
    assert few.current.min() == 0.0
    assert few.current.max() == 9.0
    assert (few.time[0], few.time[-1]) == (time[0], time[-1])


@pytest.mark.parametrize(
    ("time", "current", "told"),
    [
        ([0, 2, 1], [1, 1, 1], "the time of sample 3 does not follow"),
        ([0, 0], [1, 1], "the time of sample 2 does not follow"),
        ([0, 1], [1, float("nan")], "holds a current that is not a number"),
        ([0, 1], [1], "as many voltages"),
    ],
)
def test_refuses(time: list[float], current: list[float], told: str) -> None:
    with pytest.raises(BadInput, match=told):
        Series.of(np.array(time, float), np.ones(len(time)), np.array(current, float))
