"""Events: what cannot be is refused, the order of lines does not matter, mistakes are retracted."""

from collections.abc import Callable

import pytest

from tankside.base.errors import BadInput
from tankside.bath.inventory import (
    Addition,
    AmpereHours,
    Analysis,
    DragOut,
    Evaporation,
    Event,
    Idle,
    Loss,
    MakeUp,
    Portion,
    Retraction,
    TopUp,
    Withdrawal,
    ordered,
)
from tests.unit.bath.inventory.shelf import found, taken_over

BAD: list[tuple[Callable[[], object], str]] = [
    (lambda: AmpereHours(at=float("nan"), id="a", charge=1.0), "needs a time"),
    (lambda: AmpereHours(at=0.0, id="", charge=1.0), "needs an id"),
    (lambda: AmpereHours(at=0.0, id="a", charge=-1.0), "charge is zero or more"),
    (lambda: AmpereHours(at=0.0, id="a", charge=float("inf")), "charge is zero or more"),
    (lambda: MakeUp(at=0.0, id="a", portions=()), "at least one portion"),
    (lambda: Portion(product="salt", mass=-1.0), "mass is zero or more"),
    (lambda: Addition(at=0.0, id="a", product="x", mass=1.0, mass_std=-1.0), "error of the mass"),
    (lambda: TopUp(at=0.0, id="a", water="w", volume=-1e-3), "volume of a top-up"),
    (lambda: TopUp(at=0.0, id="a", water="w", volume=1e-3, level_volume=0.0), "above zero"),
    (lambda: TopUp(at=0.0, id="a", water="w", volume=1e-3, level_std=1e-4), "without the level"),
    (lambda: Evaporation(at=0.0, id="a", duration=100.0), "hours and an open surface"),
    (lambda: DragOut(at=0.0, id="a", area=-1.0), "wetted area"),
    (lambda: DragOut(at=0.0, id="a", area=1.0, parts=0), "one part or more"),
    (lambda: Idle(at=0.0, id="a", duration=-1.0, anode_area=1.0), "duration"),
    (lambda: Analysis(at=0.0, id="a", findings=()), "at least one finding"),
    (lambda: Withdrawal(at=0.0, id="a", volume=-1.0), "volume is zero or more"),
    (lambda: Loss(at=0.0, id="a", volume=1.0, volume_std=-1.0), "error of the volume"),
    (lambda: taken_over(copper=-1.0), "copper is zero or more"),
    (lambda: taken_over(volume=0.0), "volume of a bath is above zero"),
]


@pytest.mark.parametrize(("make", "words"), BAD, ids=[words for _, words in BAD])
def test_amounts_that_cannot_be_are_refused(make: Callable[[], object], words: str) -> None:
    with pytest.raises(BadInput, match=words):
        make()


def test_a_moment_counts_what_led_to_it_then_the_sample_then_the_remedy() -> None:
    remedy = Addition(at=5.0, id="a", product="salt", mass=1.0)
    sample = Analysis(at=5.0, id="b", findings=(found("copper", 50.0, 1.0),))
    led = AmpereHours(at=5.0, id="c", charge=1.0)
    earlier = DragOut(at=4.0, id="z", area=0.1)
    assert ordered((remedy, sample, led, earlier)) == (earlier, led, sample, remedy)


def test_a_retracted_event_does_not_count() -> None:
    wrong = AmpereHours(at=1.0, id="wrong", charge=1.0)
    right = AmpereHours(at=1.0, id="right", charge=2.0)
    mended: tuple[Event, ...] = (wrong, right, Retraction(at=2.0, id="r", of="wrong"))
    assert ordered(mended) == (right,)


def test_two_events_with_one_id_are_refused() -> None:
    one = AmpereHours(at=1.0, id="a", charge=1.0)
    with pytest.raises(BadInput, match="two events have the id 'a'"):
        ordered((one, DragOut(at=2.0, id="a", area=0.1)))


def test_a_retraction_of_nothing_is_refused() -> None:
    with pytest.raises(BadInput, match="names the event 'b'"):
        ordered((Retraction(at=2.0, id="r", of="b"),))
