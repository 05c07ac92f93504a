"""Laws of the test panel: scaling, order, words and back, and the exact division of a profile."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.base.intervals import Interval
from tankside.diagnosis.panel import (
    Look,
    PanelTest,
    cell_named,
    current_along,
    read_panel,
    zones_of,
)
from tankside.diagnosis.panel.photo.change_points import FADING, LEAST, _Sums, best_division
from tankside.diagnosis.panel.zones import told_zones

CELLS = st.sampled_from(["267 mL", "1000 mL"]).map(cell_named)
WAGNERS = st.floats(0.001, 1.0)
SHARES = st.floats(0.021, 0.969)
CURRENTS = st.floats(0.1, 10.0)


@given(cell=CELLS, wagner=WAGNERS, share=SHARES, current=CURRENTS, factor=st.floats(0.2, 2.0))
def test_everything_scales_with_the_current(cell, wagner, share, current, factor) -> None:  # type: ignore[no-untyped-def]
    at = share * cell.length
    one = current_along(cell, at, current, Interval.exact(wagner))
    other = current_along(cell, at, factor * current, Interval.exact(wagner))
    assert other.field.best == pytest.approx(factor * one.field.best)
    if one.formula is not None:
        assert other.formula == pytest.approx(factor * one.formula)


@given(cell=CELLS, wagner=WAGNERS, first=SHARES, second=SHARES)
def test_current_falls_from_the_near_edge(cell, wagner, first, second) -> None:  # type: ignore[no-untyped-def]
    near, far = (
        current_along(cell, share * cell.length, 1.0, Interval.exact(wagner)).field
        for share in sorted((first, second))
    )
    assert near.best >= far.best
    assert near.low >= far.low
    assert near.high >= far.high


@given(
    ends=st.lists(st.integers(5, 100), min_size=2, max_size=6, unique=True).map(sorted),
    looks=st.lists(st.sampled_from(list(Look)), min_size=5, max_size=5),
    current=CURRENTS,
)
def test_zones_in_words_are_the_same_zones(ends, looks, current) -> None:  # type: ignore[no-untyped-def]
    cell = cell_named("267 mL")
    words = ", ".join(
        f"{look} {low}-{high} mm" for look, low, high in zip(looks, ends, ends[1:], strict=False)
    )
    zones = zones_of(words, cell)
    again = zones_of(told_zones(zones), cell)
    assert [zone.look for zone in again] == [zone.look for zone in zones]
    for one, other in zip(zones, again, strict=True):
        assert one.start.best == pytest.approx(other.start.best, abs=5e-5)
    reading = read_panel(PanelTest(cell=cell, current=current, duration=300.0, zones=zones))
    densities = [one.current_density for one in reading.boundaries]
    for one in densities:
        assert one.low < one.best < one.high
    assert [one.best for one in densities] == sorted((one.best for one in densities), reverse=True)


@given(seed=st.integers(0, 10_000), steps=st.integers(0, 2))
def test_no_other_division_costs_less(seed: int, steps: int) -> None:
    """Against every division of a short profile into up to three stretches."""
    chance = np.random.default_rng(seed)
    count, penalty = 30, 8.0
    profile = chance.normal(size=(2, count))
    for place in chance.integers(6, count - 6, size=steps):
        profile[:, place:] += chance.normal(0.0, 4.0, size=(2, 1))
    sums = _Sums(profile)
    least = max(round(LEAST * count), 2 * FADING + 2)

    def cost(places: tuple[int, ...]) -> float:
        ends = np.array([0, *places, count])
        if (np.diff(ends) < least).any():
            return float("inf")
        return float(sums.cost(ends[:-1] + FADING, ends[1:] - FADING).sum() + penalty * len(places))

    found = cost(best_division(profile, penalty=penalty))
    others = [
        cost(places) for size in (0, 1, 2) for places in combinations(range(least, count), size)
    ]
    assert found <= min(others) + 1e-9


@given(seed=st.integers(0, 10_000))
def test_a_stretch_costs_its_squares_about_the_line(seed: int) -> None:
    chance = np.random.default_rng(seed)
    profile = chance.normal(size=(3, 40)) + 5.0
    start, end = sorted(chance.choice(41, size=2, replace=False))
    if end - start < 3:
        return
    x = np.arange(start, end)
    plain = 0.0
    for row in profile[:, start:end]:
        plain += float(np.square(row - np.polyval(np.polyfit(x, row, 1), x)).sum())
    found = _Sums(profile).cost(np.array([start]), np.array([end]))
    assert found[0] == pytest.approx(plain, rel=1e-6, abs=1e-9)
