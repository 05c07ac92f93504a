"""Intervals keep their order and refuse to lose it."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.intervals import Interval

numbers = st.floats(-1e6, 1e6)


@pytest.mark.parametrize(
    "ends", [(2.0, 1.0, 3.0), (0.0, 4.0, 3.0), (0.0, float("nan"), 1.0), (0.0, 1.0, float("inf"))]
)
def test_disorder_is_refused(ends: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="an interval needs"):
        Interval(*ends)


def test_about_and_exact() -> None:
    assert Interval.about(-10.0, 0.1) == Interval(-11.0, -10.0, -9.0)
    assert Interval.exact(3.0).relative_spread == 0.0
    assert Interval.about(10.0, 0.1).relative_spread == pytest.approx(0.1)
    assert Interval(-1.0, 0.0, 1.0).relative_spread == float("inf")


def test_contains_its_ends() -> None:
    interval = Interval(1.0, 2.0, 3.0)
    assert 1.0 in interval
    assert 3.0 in interval
    assert 3.0000001 not in interval


@settings(deadline=None)
@given(value=numbers, relative=st.floats(0.0, 1.0), factor=numbers)
def test_scaling_keeps_order_and_turns_with_the_sign(
    value: float, relative: float, factor: float
) -> None:
    before = Interval.about(value, relative)
    after = before.scaled(factor)
    assert after.low <= after.best <= after.high
    assert after.best == value * factor
    assert after.low == min(before.low * factor, before.high * factor)


def test_mapped_through_a_falling_law() -> None:
    assert Interval(1.0, 2.0, 4.0).mapped(lambda x: 1.0 / x) == Interval(0.25, 0.5, 1.0)


def test_mapped_through_a_law_that_is_not_monotone_is_refused() -> None:
    with pytest.raises(ValueError, match="low <= best <= high"):
        Interval(-1.0, 0.0, 1.0).mapped(lambda x: x * x)
