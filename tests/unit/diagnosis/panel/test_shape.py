"""The stored shape of the current: its balance, its limits, and the solver again."""

import numpy as np
import pytest

from tankside.base.errors import OutsideValidity
from tankside.base.intervals import Interval
from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.composition import Composition
from tankside.diagnosis.panel import cell_named, cells, current_along, wagner_of, whole_panel
from tankside.diagnosis.panel.shape import (
    LAWS,
    _at,
    relative_current_density,
    shares_held,
    wagner_held,
)
from tankside.validation import slanted
from tests.unit.diagnosis.panel.solved_shapes import PLACES, WAGNER, solved

SMALL = cell_named("267 mL")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("cell", "law", "wagner"),
    [("267 mL", "linear", 0.03), ("267 mL", "tafel", 0.1), ("1000 mL", "linear", 0.3)],
)
def test_the_solver_gives_the_table_again(cell: str, law: str, wagner: float) -> None:
    held = [_at(cell, law, share, wagner) for share in PLACES]
    assert held == pytest.approx(list(solved(cell, law, wagner)), abs=2e-4)


@pytest.mark.slow
def test_it_is_the_field_that_is_validated() -> None:
    """Against the mesh of the validation cases, which has an exact answer beside it."""
    for low, high in ((0.02, 0.04), (0.045, 0.055)):
        mean = slanted.relative_current(0.03, low, high)
        shares = np.linspace(low, high, 41) / SMALL.length
        held = np.mean([_at("267 mL", "linear", float(share), 0.03) for share in shares])
        assert held == pytest.approx(mean, rel=0.01)


@pytest.mark.parametrize("name", list(cells()))
@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("wagner", WAGNER)
def test_the_shape_carries_the_whole_current(name: str, law: str, wagner: float) -> None:
    """Its mean over the places held, with the ends' share taken as they stand, is about one."""
    first, last = shares_held(cell_named(name))
    shares = np.linspace(first, last, 400)
    found = np.array([_at(name, law, float(share), wagner) for share in shares])
    whole = float(np.trapezoid(found, shares)) + first * found[0] + (1 - last) * found[-1]
    assert whole == pytest.approx(1.0, abs=0.05)
    assert whole < 1.01, "the near edge holds more than its table's end, never less"
    assert (np.diff(found) < 0.0).all()


def test_more_polarisation_evens_the_current_out() -> None:
    """From 0.03 on; less of it first moves the edge's own current a little inwards."""
    near = [_at("267 mL", "linear", 0.1, wagner) for wagner in WAGNER]
    far = [_at("267 mL", "linear", 0.9, wagner) for wagner in WAGNER]
    assert (np.diff(near[3:]) < 0.0).all()
    assert (np.diff(far) > 0.0).all()


def test_the_interval_holds_both_laws_and_the_range() -> None:
    wide = Interval(0.01, 0.05, 0.2)
    found = relative_current_density(SMALL, 0.2, wide)
    for law in LAWS:
        for wagner in (0.01, 0.02, 0.05, 0.1, 0.2):
            assert found.low <= _at("267 mL", law, 0.2, wagner) <= found.high
    narrow = relative_current_density(SMALL, 0.2, Interval.exact(0.05))
    assert narrow.high - narrow.low < found.high - found.low


def test_outside_the_table_it_says_so() -> None:
    with pytest.raises(OutsideValidity, match="share of the panel"):
        relative_current_density(SMALL, 0.005, Interval.exact(0.05))
    with pytest.raises(OutsideValidity, match="Wagner number"):
        relative_current_density(SMALL, 0.5, Interval(0.05, 0.5, 5.0))


def test_field_and_formula_meet_where_the_validation_says() -> None:
    """A tenth below it near the edge, with it in the middle, above it at the far end."""
    wagner = Interval(0.02, 0.03, 0.04)
    ratios = {
        distance: current_along(SMALL, distance, 1.0, wagner).field_over_formula
        for distance in (0.012, 0.035, 0.07)
    }
    assert ratios[0.012] == pytest.approx(0.89, abs=0.03)
    assert ratios[0.035] == pytest.approx(1.0, abs=0.03)
    assert ratios[0.07] == pytest.approx(1.26, abs=0.06)


def test_in_the_mean_over_its_range_the_field_is_within_five_percent() -> None:
    wagner = Interval.exact(0.03)
    places = np.linspace(*SMALL.reach, 120)
    field = np.mean([current_along(SMALL, float(x), 1.0, wagner).field.best for x in places])
    assert field == pytest.approx(SMALL.published_mean(*SMALL.reach, 1.0), rel=0.05)


def test_where_the_formula_fails_only_the_field_speaks() -> None:
    curve = whole_panel(SMALL, 2.0)
    assert any(one.formula is None for one in curve)
    for one in curve:
        assert (one.formula is None) == (not SMALL.holds_at(one.distance))
        assert (one.field_over_formula is None) == (one.formula is None)
        assert one.either.low <= one.field.low
        assert one.either.high >= one.field.high


def test_a_bath_of_more_acid_plates_more_evenly() -> None:
    def found(salt: float, acid: float) -> Interval:
        bath = Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid, chloride=0.06)
        return wagner_of(SMALL, 2.0, acid_sulfate(bath, 298.15, "gentle air"))

    assert found(75.0, 190.0).best > 2.0 * found(200.0, 60.0).best
    least, most = wagner_held(SMALL)
    assert least <= found(200.0, 60.0).low
    assert found(75.0, 190.0).high <= most
