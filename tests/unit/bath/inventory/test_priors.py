"""Beliefs: each row says where it comes from, own ones replace them."""

import pytest

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.inventory import Priors
from tankside.bath.inventory.priors import LEARNED, Shape, belief_of, known_prior, known_priors


@pytest.mark.parametrize("name", sorted(known_priors()))
def test_every_row_is_sane(name: str) -> None:
    row = known_prior(name)
    assert row.value.low <= row.value.best <= row.value.high
    assert row.unit
    assert row.name


def test_all_that_is_learned_has_a_row() -> None:
    assert set(LEARNED) <= set(known_priors())


def test_a_belief_holds_its_interval_nine_times_in_ten() -> None:
    belief = belief_of(Interval(1.0, 4.0, 16.0), Shape.LOG)
    ends = belief.interval(0.0, 1.0)
    assert (ends.low, ends.best, ends.high) == pytest.approx((1.0, 4.0, 16.0))
    rooted = belief_of(Interval(0.0, 1.0, 4.0), Shape.ROOT).interval(0.0, 1.0)
    assert (rooted.low, rooted.best, rooted.high) == pytest.approx((0.0, 1.0, 4.0))
    straight = belief_of(Interval(-1.0, 0.5, 2.0), Shape.LINEAR).interval(0.0, 1.0)
    assert (straight.low, straight.best, straight.high) == pytest.approx((-1.0, 0.5, 2.0))


def test_own_beliefs_replace_rows() -> None:
    own = Priors(own={"drag_out": Interval(1e-5, 2e-5, 4e-5)})
    assert own.belief("drag_out").value(0.0) == 2e-5
    assert own.best("mismatch") == known_prior("mismatch").best


def test_unknown_and_impossible_own_beliefs_are_refused() -> None:
    with pytest.raises(UnknownName, match="did you mean 'drag_out'"):
        Priors(own={"dragout": Interval.exact(1.0)})
    with pytest.raises(BadInput, match="above zero"):
        Priors(own={"drag_out": Interval(0.0, 1e-5, 2e-5)})
