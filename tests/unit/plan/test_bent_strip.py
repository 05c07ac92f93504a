"""The bent strip: its table against the field solved again and against finite elements, and the
limiting current that simulated shops read off it."""

from math import exp

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.base.intervals import NINE_IN_TEN, Interval
from tankside.bath import Composition, acid_sulfate
from tankside.bath.electrolyte import Electrolyte
from tankside.plan import bent_strip
from tankside.plan.bent_strip import (
    LOOKS_BURNT_AT,
    MODEL_ERROR,
    BentStripTest,
    limiting_current_density,
    of_bent_strip,
    wagner_number,
)
from tankside.plan.laws import best_numbers, moved_numbers
from tankside.plan.shop_tests import shop_before
from tankside.runs.calibration import Shop, learned
from tests.unit.plan import solved_strip
from tests.validation.finite_elements.electrolysis import Electrode, Floats, solved
from tests.validation.finite_elements.grids import graded, rectilinear

DEPTH, WIDTH = 0.05, 0.03


@pytest.fixture(scope="module")
def bath() -> Electrolyte:
    composition = Composition(copper_sulfate_pentahydrate=75.0, sulfuric_acid=190.0, chloride=0.07)
    return acid_sulfate(composition, 298.15, "gentle air")


@pytest.fixture(scope="module")
def before(bath: Electrolyte) -> Shop:
    return shop_before(bath, Interval(1.0, 4.0, 20.0), Interval(0.95, 0.985, 1.0))


def strip(current: float, burnt: float) -> BentStripTest:
    return BentStripTest(current=current, width=WIDTH, depth=DEPTH, burnt=burnt, reading=0.0015)


@pytest.mark.slow
@pytest.mark.parametrize("wagner", [0.01, 0.3])
def test_the_table_is_what_the_field_gives(wagner: float) -> None:
    again = solved_strip.shares_at_places(wagner, LOOKS_BURNT_AT_ALL)
    for fraction, row in zip(LOOKS_BURNT_AT_ALL, again, strict=True):
        held = [bent_strip._share(s, wagner, fraction) for s in solved_strip.PLACES]
        np.testing.assert_allclose(held, row, rtol=0.005)


LOOKS_BURNT_AT_ALL = (LOOKS_BURNT_AT.low, LOOKS_BURNT_AT.best, LOOKS_BURNT_AT.high)


@pytest.mark.parametrize(("wagner", "share"), [(0.05, 0.3), (0.1, 0.5), (0.3, 0.7)])
def test_the_field_agrees_with_finite_elements(wagner: float, share: float) -> None:
    """Independent: quadratic finite elements of the section (scikit-fem) with the same law,
    i = i0 (E - A) / (1 + i0 E / iL), written anew (Newman and Thomas-Alyea 2004, chapter 8)."""
    depth, limit = solved_strip.DEPTH, solved_strip.LIMIT
    exchange, thermal = 1e-4 * limit, solved_strip.THERMAL
    mean = share * limit
    conductivity = wagner * mean * depth / solved_strip.TAFEL_SLOPE

    def law(eta: Floats) -> tuple[Floats, Floats]:
        up, down = np.exp(np.clip(-0.5 * eta / thermal, -300, 300)), np.exp(1.5 * eta / thermal)
        below = 1 + exchange / limit * up
        slope_up, slope_down = -0.5 / thermal * up, 1.5 / thermal * down
        current = exchange * (up - down) / below
        change = exchange * (slope_up - slope_down) / below
        change -= exchange * (up - down) * exchange / limit * slope_up / below**2
        return current, change

    def fixed(eta: Floats) -> tuple[Floats, Floats]:
        resistance = 1e-4 * depth / conductivity
        return -eta / resistance, np.full_like(eta, -1.0 / resistance)

    x = graded((0.0, depth, 3 * depth), 2e-4)
    y = graded((0.0, depth), 2e-4)
    mesh = rectilinear(x, y, lambda a, b: np.ones_like(a, dtype=bool))
    near = lambda value, wanted: np.abs(value - wanted) < 1e-9  # noqa: E731
    leg = mesh.facets_satisfying(lambda p: near(p[0], 0.0))
    foot = mesh.facets_satisfying(lambda p: near(p[1], 0.0) & (p[0] < depth))
    anode = mesh.facets_satisfying(lambda p: near(p[0], 3 * depth))
    electrodes = (
        Electrode(facets=np.concatenate([leg, foot]), law=law, anode=False),
        Electrode(facets=anode, law=fixed, anode=True),
    )
    total = mean * 2 * depth
    found = solved(mesh, electrodes, conductivity=conductivity, total_current=total)
    field = solved_strip.solved(wagner, share)
    for start, end in ((0.05, 0.15), (0.2, 0.4), (0.4, 0.6), (0.6, 0.8)):
        piece = mesh.facets_satisfying(
            lambda p, low=1 - end, high=1 - start: (
                near(p[1], 0.0) & (p[0] > low * depth) & (p[0] < high * depth)
            )
        )
        ours = field.mean_between("foot", start, end)
        assert ours == pytest.approx(found.average(piece), rel=0.02), (start, end)


def test_the_burnt_length_gives_the_limit_back() -> None:
    """By the field itself: a strip under a known limit is read, and the limit comes out."""
    share, wagner = 0.45, 0.2
    field = solved_strip.solved(wagner, share, fine=0.2e-3)
    places = np.linspace(0.12, 0.68, 57)
    profile = [field.mean_between("foot", s - 0.01, s + 0.01) for s in places]
    burnt = float(
        np.interp(-LOOKS_BURNT_AT.best * solved_strip.LIMIT, np.negative(profile), places)
    )
    read = share * solved_strip.LIMIT / bent_strip._share(burnt, wagner, LOOKS_BURNT_AT.best)
    assert read == pytest.approx(solved_strip.LIMIT, rel=0.02)


def test_a_longer_burn_means_a_lower_limit(bath: Electrolyte) -> None:
    limits = [limiting_current_density(strip(1.2, at), bath) for at in (0.008, 0.015, 0.025)]
    assert limits[0].best > limits[1].best > limits[2].best
    assert all(one.low < one.best < one.high for one in limits)


def simulated(bath: Electrolyte, truth: Floats, random: np.random.Generator) -> BentStripTest:
    """A strip in a shop whose factors' logarithms are `truth`: burnt to where a look drawn from its
    range says, read with a ruler, at a current that burns some of the foot."""
    numbers = moved_numbers(best_numbers(bath), truth)
    spread = np.log(LOOKS_BURNT_AT.high / LOOKS_BURNT_AT.low) / (2 * NINE_IN_TEN)
    look = LOOKS_BURNT_AT.best * exp(spread * random.standard_normal())
    look = min(max(look, 0.72), 0.965)  # the table reaches no farther
    limit = numbers.limiting_current_density * exp(MODEL_ERROR * random.standard_normal())
    places = np.linspace(0.1, 0.7, 61)
    for share in random.permutation(np.linspace(0.2, 0.96, 39)):
        test = strip(share * limit * 2 * DEPTH * WIDTH, 0.01)
        wagner = wagner_number(test, numbers)
        reached = [_fraction(place, wagner, share) for place in places]
        burnt = float(np.interp(-look, np.negative(reached), places, left=np.nan, right=np.nan))
        if 0.14 < burnt < 0.66:
            ruler = 0.0015 / NINE_IN_TEN * random.standard_normal()
            return strip(test.current, DEPTH * burnt + ruler)
    raise AssertionError("no current burns some of the foot")


def _fraction(place: float, wagner: float, share: float) -> float:
    """Fraction of the limit at a place, from the table read the other way."""
    shares = [bent_strip._share(place, wagner, f) for f in LOOKS_BURNT_AT_ALL]
    return float(np.interp(np.log(share), np.log(shares), LOOKS_BURNT_AT_ALL))


def test_simulated_shops_read_their_limit_with_honest_intervals(
    bath: Electrolyte, before: Shop
) -> None:
    random = np.random.default_rng(5)
    place, shops, held, narrower = 1, 0, 0, 0.0
    while shops < 200:
        truth = random.multivariate_normal(before.mean, before.covariance)
        test = simulated(bath, truth, random)
        if wagner_number(test, best_numbers(bath)) > 1.0:
            continue  # refused: the person is told to take a deeper trough
        shops += 1
        after = learned(before, [of_bent_strip(test, bath, name="strip")]).shop
        held += exp(truth[place]) in after.factor("limiting_current_density")
        narrower += (after.covariance[place, place] / before.covariance[place, place]) ** 0.5
    assert 0.88 <= held / shops <= 0.98, held / shops
    assert narrower / shops < 0.35, narrower / shops


@pytest.mark.parametrize(
    ("test", "told"),
    [
        (strip(1.2, 0.0), "burnt length"),
        (strip(1.2, 0.001), "depths from the tip"),
        (strip(1.2, 0.045), "lower the current"),
        (strip(0.01, 0.01), "Wagner number"),
    ],
)
def test_what_the_table_does_not_reach_is_refused(
    test: BentStripTest, told: str, bath: Electrolyte
) -> None:
    with pytest.raises(BadInput, match=told) as caught:
        of_bent_strip(test, bath, name="strip, 3 March")
    assert caught.value.where == "strip, 3 March"
