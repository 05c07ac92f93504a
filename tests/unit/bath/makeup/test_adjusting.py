"""A bath that is there already, put right with the least; withdrawn from only where needed."""

import pytest

from tankside.bath.composition import Composition
from tankside.bath.makeup import Action, MakeUpPlan, OldBath, Stocked, acid_sulfate_target, adjusted
from tests.unit.bath.makeup.shelf import (
    BUCKET,
    CONVENTIONAL,
    SHELF,
    TOOLS,
    old_bath,
)

WINDOWS = {
    "copper_sulfate_pentahydrate": (190.0, 215.0),
    "sulfuric_acid": (52.0, 70.0),
    "chloride": (0.045, 0.09),
}


def put_right(
    old: OldBath,
    windows: dict[str, tuple[float, float]] | None = None,
    aim: Composition = CONVENTIONAL,
    **further: float,
) -> MakeUpPlan:
    return adjusted(
        old,
        acid_sulfate_target(aim, windows),
        shelf=tuple(Stocked(product=one) for one in SHELF),
        tools=TOOLS,
        vessel=BUCKET,
        **further,
    )


def test_a_weak_bath_is_strengthened_without_losing_any() -> None:
    plan = put_right(old_bath(190.0, 52.0, 0.04))
    assert plan.withdrawn == 0.0
    assert plan.old_bath == pytest.approx(0.008)
    for quantity, aim in (
        ("copper sulfate pentahydrate", 200.0),
        ("sulfuric acid", 60.0),
        ("chloride", 0.06),
    ):
        assert plan.resulting(quantity).best == pytest.approx(aim, rel=6e-3)
    assert 0.008 < plan.volume.best < 0.0085
    assert Action.KEEP_OLD_BATH in [step.action for step in plan.steps]


def test_the_additions_are_those_of_the_balance() -> None:
    """Copper by hand: (200 V - 190 x 8 L)/0.99, with V the plan's own volume."""
    plan = put_right(old_bath(190.0, 52.0, 0.04))
    salt = plan.amount("blue crystals")
    assert salt is not None
    needed = (200.0 * plan.volume.best - 190.0 * 0.008) / 0.99
    assert salt.mass.best == pytest.approx(needed, abs=1e-3)


def test_a_bath_that_is_right_needs_nothing() -> None:
    plan = put_right(old_bath(201.0, 61.0, 0.062), WINDOWS)
    assert plan.amounts == ()
    assert plan.cost.total == 0.0
    assert plan.volume.best == pytest.approx(0.008, rel=1e-9)


def test_only_what_is_outside_its_window_is_touched() -> None:
    """Acid of 45 needs acid; copper and chloride stay within theirs."""
    plan = put_right(old_bath(200.0, 45.0, 0.06), WINDOWS)
    assert [one.product for one in plan.amounts] == ["fresh battery acid"]
    assert all(one.within for one in plan.composition)


def test_too_much_acid_is_diluted_into_a_vessel_with_room() -> None:
    """70 g/L to 60 takes 8 x 70/60 = 9.33 L."""
    plan = put_right(old_bath(200.0, 70.0, 0.06))
    assert plan.withdrawn == 0.0
    assert plan.volume.best == pytest.approx(0.008 * 70.0 / 60.0, rel=2e-3)


def test_without_room_the_least_is_withdrawn() -> None:
    """At 8 L: 8 x (1 - 60/70) = 1.143 L."""
    plan = put_right(old_bath(200.0, 70.0, 0.06), most=0.008)
    assert plan.withdrawn == pytest.approx(0.008 * (1.0 - 60.0 / 70.0), abs=2.1e-5)
    assert plan.volume.best == pytest.approx(0.008, rel=1e-6)
    words = next(step.words for step in plan.steps if step.action is Action.WITHDRAW)
    assert "never poured away" in " ".join(words)


def test_between_full_and_room_enough_part_is_withdrawn() -> None:
    """At 9 L: 8 x (1 - 9 x 60/(8 x 70)) = 0.286 L."""
    plan = put_right(old_bath(200.0, 70.0, 0.06), most=0.009)
    expected = 0.008 * (1.0 - 9.0 * 60.0 / (8.0 * 70.0))
    assert plan.withdrawn == pytest.approx(expected, abs=2.1e-5)


def test_an_uncertain_volume_does_not_dilute_a_bath_that_is_not_filled() -> None:
    """Nothing is added to speak of: what comes out is as uncertain as what was there, 2 %."""
    plan = put_right(old_bath(200.0, 45.0, 0.06), WINDOWS)
    value = plan.resulting("copper sulfate pentahydrate")
    assert value.relative_spread == pytest.approx(0.02, rel=0.03)
    assert plan.volume.relative_spread == pytest.approx(0.01, rel=0.05)
