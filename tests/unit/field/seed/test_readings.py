"""Sheet resistance from multimeter readings: shape factors in closed form, intervals that hold."""

from math import acosh, log, pi

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.field.panels import Panels
from tankside.field.seed.readings import LEADS, Reading, estimated, shape_factor
from tankside.validation.closed_shapes import patch, sphere

RADIUS = 0.03


def on_sphere(polar: float, azimuth: float) -> list[float]:
    return [
        RADIUS * np.sin(polar) * np.cos(azimuth),
        RADIUS * np.sin(polar) * np.sin(azimuth),
        RADIUS * np.cos(polar),
    ]


def ball(frequency: int = 12) -> Panels:
    corners = sphere(RADIUS, frequency)
    return Panels(corners=corners, group=np.ones(len(corners), dtype=int))


def between(first: list[float], second: list[float], resistance: float = 1.0) -> Reading:
    return Reading(first=np.array(first), second=np.array(second), resistance=resistance)


@pytest.mark.parametrize("apart", [pi, pi / 2, 1.0])
def test_factor_of_a_sphere(apart: float) -> None:
    """Small tips of radius a on a sphere of radius b: (1/pi) ln(2 b sin(apart / 2) / a)."""
    panels = ball()
    where = np.ones(len(panels), dtype=bool)
    factor = shape_factor(panels, where, between(on_sphere(0, 0), on_sphere(apart, 0.3)), 5e-4)
    exact = log(2 * RADIUS * np.sin(apart / 2) / 5e-4) / pi
    assert factor == pytest.approx(exact, rel=0.03)


def test_factor_of_two_tips_on_a_wide_plate() -> None:
    """Two discs of radius a, d apart in an endless sheet: arcosh(d / 2 a) / pi."""
    corners = patch(lambda u, v: (0.4 * (u - 0.5), 0.4 * (v - 0.5), 0 * u), 60, 60)
    panels = Panels(corners=corners, group=np.ones(len(corners), dtype=int))
    reading = between([-0.02, 0, 0], [0.02, 0, 0])
    factor = shape_factor(panels, np.ones(len(panels), dtype=bool), reading, 1e-3)
    assert factor == pytest.approx(acosh(20.0) / pi, rel=0.03)


def test_factor_does_not_depend_on_the_way_round_or_the_scale() -> None:
    panels = ball(6)
    where = np.ones(len(panels), dtype=bool)
    reading = between(on_sphere(0.2, 0), on_sphere(2.0, 1.0))
    there = shape_factor(panels, where, reading)
    back = shape_factor(panels, where, between(list(reading.second), list(reading.first)))
    assert there == pytest.approx(back, rel=1e-6)
    larger = Panels(corners=3 * panels.corners, group=panels.group)
    tripled = between(list(3 * reading.first), list(3 * reading.second))
    assert shape_factor(larger, where, tripled, 1.5e-3) == pytest.approx(there, rel=1e-6)


FACTORS = np.array([2.1, 1.8, 1.5, 2.4, 1.2])


def draws(truth: float, leads: float, scatter: float, count: int, seed: int) -> list[list[Reading]]:
    rng = np.random.default_rng(seed)
    noise = np.exp(scatter * rng.standard_normal((count, len(FACTORS))))
    place = [0.0, 0.0, 0.0]
    return [
        [between(place, place, float(r)) for r in row] for row in (truth * FACTORS + leads) * noise
    ]


@pytest.mark.parametrize("truth", [1.0, 10.0, 300.0])
@pytest.mark.parametrize("known", [True, False])
def test_intervals_hold_the_truth_nine_times_in_ten(truth: float, known: bool) -> None:
    """Each part is read with leads of its own, drawn from what is believed of leads."""
    rng, held = np.random.default_rng(7 + int(truth)), 0
    for number in range(500):
        leads = -1.0
        while leads < 0:
            leads = rng.normal(LEADS.best, (LEADS.high - LEADS.low) / 3.29)
        (readings,) = draws(truth, leads, 0.05, 1, seed=1000 * int(truth) + number)
        found = estimated(readings, FACTORS, scatter=0.05 if known else None)
        held += truth in found.sheet_resistance
    assert 0.85 <= held / 500 <= 0.95


def test_more_readings_narrow_the_interval() -> None:
    few = [r[:3] for r in draws(50.0, 0.3, 0.05, 30, seed=4)]
    many = draws(50.0, 0.3, 0.05, 30, seed=4)
    widths = [
        np.mean([estimated(r, f, scatter=0.05).sheet_resistance.relative_spread for r in rows])
        for rows, f in ((few, FACTORS[:3]), (many, FACTORS))
    ]
    assert widths[1] < 0.85 * widths[0]


def test_a_low_coat_is_seen_through_the_leads() -> None:
    """With R_s near the leads' resistance, their interval is the answer's."""
    (readings,) = draws(0.5, 0.3, 0.01, 1, seed=5)
    tight = estimated(readings, FACTORS, leads=Interval(0.28, 0.3, 0.32), scatter=0.01)
    loose = estimated(readings, FACTORS, leads=Interval(0.0, 0.3, 0.6), scatter=0.01)
    assert 0.5 in tight.sheet_resistance
    assert tight.sheet_resistance.relative_spread < 0.7 * loose.sheet_resistance.relative_spread


def test_readings_that_do_not_fit_one_coat_say_so() -> None:
    (readings,) = draws(50.0, 0.3, 0.02, 1, seed=6)
    odd = [*readings[:4], between([0, 0, 0], [0, 0, 0], 4 * readings[4].resistance)]
    good, bad = (estimated(rows, FACTORS) for rows in (readings, odd))
    assert bad.sheet_resistance.relative_spread > 3 * good.sheet_resistance.relative_spread
    assert int(np.abs(np.log(bad.misfits)).argmax()) == 4


def test_refusals() -> None:
    panels = ball(4)
    where = np.ones(len(panels), dtype=bool)
    with pytest.raises(BadInput, match="resistance above zero"):
        between([0, 0, 0], [1, 0, 0], 0.0)
    with pytest.raises(BadInput, match="same place"):
        shape_factor(panels, where, between([0, 0, RADIUS], [1e-4, 0, RADIUS]))
    with pytest.raises(BadInput, match="do not go along"):
        estimated([between([0, 0, 0], [1, 0, 0])], FACTORS)
    with pytest.raises(BadInput, match="take three or more"):
        estimated([between([0, 0, 0], [1, 0, 0])] * 2, FACTORS[:2])
    both = Panels(
        corners=np.concatenate([panels.corners, panels.corners + np.array([0.1, 0, 0])]),
        group=np.ones(2 * len(panels), dtype=int),
    )
    with pytest.raises(BadInput, match="not joined"):
        shape_factor(
            both,
            np.ones(len(both), dtype=bool),
            between([0, 0, RADIUS], [0.1, 0, RADIUS]),
        )
