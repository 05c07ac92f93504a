"""Laws of the ledger, on ledgers that hypothesis makes up."""

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.errors import BadInput
from tankside.bath.inventory import (
    Addition,
    AmpereHours,
    Analysis,
    Carbon,
    DragOut,
    Evaporation,
    Event,
    Idle,
    Ledger,
    Loss,
    TopUp,
    Withdrawal,
    estimated,
    ordered,
)
from tankside.bath.inventory.text import Decoded, decoded, encoded
from tests.unit.bath.inventory.shelf import BOTTLES, DAY, certain, found, make_up, taken_over

steady = settings(max_examples=40, deadline=None)

times = st.integers(1, 60).map(lambda day: day * DAY)
charges = st.floats(0.0, 1e5)
small = st.floats(1e-4, 4e-4)


@st.composite
def events(draw: st.DrawFn) -> Event:
    """One event that a bath of 18 litres bears, its id to be given."""
    at = draw(times)
    kind = draw(st.integers(0, 9))
    match kind:
        case 0:
            return AmpereHours(at=at, id="?", charge=draw(charges))
        case 1:
            return DragOut(at=at, id="?", area=draw(st.floats(0.0, 0.2)))
        case 2:
            return Idle(at=at, id="?", duration=draw(st.floats(0.0, 5e5)), anode_area=0.1)
        case 3:
            name = draw(st.sampled_from(["crystals", "battery acid", "muriatic acid"]))
            return Addition(at=at, id="?", product=name, mass=draw(st.floats(0.0, 0.05)))
        case 4:
            return TopUp(at=at, id="?", water="tap water", volume=draw(small))
        case 5:
            seconds = draw(st.floats(1.0, DAY))
            return Evaporation(at=at, id="?", duration=seconds, surface_area=0.03)
        case 6:
            return Withdrawal(at=at, id="?", volume=draw(small))
        case 7:
            return Loss(at=at, id="?", volume=draw(small))
        case 8:
            return Carbon(at=at, id="?")
        case _:
            copper, acid = draw(st.floats(45.0, 60.0)), draw(st.floats(45.0, 65.0))
            findings = (found("copper", copper, 2.0), found("sulfuric_acid", acid, 2.0))
            return Analysis(at=at, id="?", findings=findings)


ledgers = st.lists(events(), min_size=1, max_size=25).map(
    lambda drawn: (
        *BOTTLES,
        make_up(),
        *(replace(one, id=f"e{place}") for place, one in enumerate(drawn)),
    )
)


@steady
@given(ledger=ledgers)
def test_a_ledger_read_again_gives_the_same_estimate_to_the_last_bit(ledger: Ledger) -> None:
    back = decoded(encoded(ledger)).ledger
    assert back == ledger
    one, other = estimated(ledger), estimated(back)
    assert np.array_equal(one.mean, other.mean)
    assert np.array_equal(one.covariance, other.covariance)
    assert one.surprises == other.surprises


@steady
@given(ledger=ledgers, random=st.randoms(use_true_random=False))
def test_the_order_of_lines_does_not_matter(ledger: Ledger, random: np.random.Generator) -> None:
    """Not among events of one moment either: many of these share a day."""
    mixed = list(ledger)
    random.shuffle(mixed)
    assert ordered(tuple(mixed)) == ordered(ledger)
    one, other = estimated(ledger), estimated(tuple(mixed))
    assert np.array_equal(one.mean, other.mean)
    assert np.array_equal(one.covariance, other.covariance)


AMOUNTS = {
    AmpereHours: "charge",
    DragOut: "area",
    Idle: "duration",
    Evaporation: "duration",
    Addition: "mass",
    TopUp: "volume",
    Withdrawal: "volume",
    Loss: "volume",
}


def split(event: Event, share: float) -> tuple[Event, ...]:
    name = AMOUNTS.get(type(event))
    if name is None:
        return (event,)
    amount = getattr(event, name)
    parts = (amount * share, amount - amount * share)
    return tuple(
        replace(event, id=f"{event.id}-{place}", **{name: part}) for place, part in enumerate(parts)
    )


@steady
@given(drawn=st.lists(events(), min_size=1, max_size=25), share=st.floats(0.05, 0.95))
def test_an_event_noted_in_two_parts_gives_the_same_mean(drawn: list[Event], share: float) -> None:
    held = [one for one in drawn if not isinstance(one, Analysis)]
    plain = tuple(replace(one, id=f"e{place:03}") for place, one in enumerate(held))
    parts = tuple(part for one in plain for part in split(one, share))
    one = estimated((*BOTTLES, make_up(), *plain))
    other = estimated((*BOTTLES, make_up(), *parts))
    measured = [0, 1, 2, 4]
    # before the condition of not being negative, which looks at the scatter too
    assert other.free_mean[measured] == pytest.approx(one.free_mean[measured], rel=1e-9)
    # the additive fades by charge over a volume that the charge itself moves by parts in a million
    assert other.free_mean[3] == pytest.approx(one.free_mean[3], rel=1e-6)


@steady
@given(drawn=st.lists(events(), min_size=1, max_size=25), share=st.floats(0.05, 0.95))
def test_with_readings_too_where_scatter_grows_with_the_amount(
    drawn: list[Event], share: float
) -> None:
    """A portion weighed twice has other errors than one weighed once; work and air do not."""
    kinds = (AmpereHours, Idle, Evaporation, DragOut, Analysis, Carbon)
    held = [one for one in drawn if isinstance(one, kinds)]
    plain = tuple(replace(one, id=f"e{place:03}") for place, one in enumerate(held))
    parts = tuple(part for one in plain for part in split(one, share))
    one = estimated((*BOTTLES, make_up(), *plain))
    other = estimated((*BOTTLES, make_up(), *parts))
    stds = np.sqrt(np.diag(one.covariance))
    assert np.abs(other.mean - one.mean).max(initial=0.0, where=stds > 0.0) < 1e-2 * stds.max()
    assert np.all(np.abs(other.mean - one.mean) <= 0.02 * stds + 1e-12)


@steady
@given(
    runs=st.lists(charges, min_size=1, max_size=10),
    rests=st.lists(st.floats(0.0, 1e6), max_size=10),
)
def test_current_and_rest_keep_the_sulfate(runs: list[float], rests: list[float]) -> None:
    """Moles of copper and of acid together are the sulfate, which no anode takes or gives."""
    held: list[Event] = [
        AmpereHours(at=DAY, id=f"r{place}", charge=charge) for place, charge in enumerate(runs)
    ]
    held += [
        Idle(at=DAY, id=f"i{place}", duration=time, anode_area=0.1)
        for place, time in enumerate(rests)
    ]
    before = estimated((taken_over(),), certain())
    after = estimated((taken_over(), *held), certain())
    molar = np.array([63.546e-3, 98.078e-3])
    assert (after.state[:2] / molar).sum() == pytest.approx(
        (before.state[:2] / molar).sum(), rel=2e-6
    )
    assert after.state[0] >= before.state[0]
    assert after.state[1] <= before.state[1]


@steady
@given(area=st.floats(0.0, 2.0), volume=st.floats(1e-4, 4e-3))
def test_what_leaves_as_bath_leaves_the_concentrations(area: float, volume: float) -> None:
    held: tuple[Event, ...] = (
        DragOut(at=1.0, id="a", area=area), Withdrawal(at=2.0, id="b", volume=volume),
    )  # fmt: skip
    before, after = estimated((taken_over(),)), estimated((taken_over(), *held))
    assert after.mean[:3] == pytest.approx(before.mean[:3], rel=1e-6)
    assert after.best("volume") < before.best("volume")


@steady
@given(factor=st.floats(0.2, 5.0), ledger=st.lists(events(), max_size=12))
def test_a_tank_of_another_size_ends_with_the_same_bath(factor: float, ledger: list[Event]) -> None:
    """All amounts times a factor: same concentrations, volume times the factor."""
    held = tuple(
        replace(one, id=f"e{place}")
        for place, one in enumerate(ledger)
        if not isinstance(one, Analysis)
    )
    larger = tuple(scaled(one, factor) for one in held)
    one = estimated((*BOTTLES, make_up(18.0), *held))
    other = estimated((*BOTTLES, make_up(18.0 * factor), *larger))
    assert other.mean[:4] == pytest.approx(one.mean[:4], rel=1e-6)
    assert other.mean[4] == pytest.approx(one.mean[4] * factor, rel=1e-6)


def scaled(event: Event, factor: float) -> Event:
    if isinstance(event, Evaporation):
        return replace(event, surface_area=event.surface_area * factor)
    name = AMOUNTS.get(type(event))
    return event if name is None else replace(event, **{name: getattr(event, name) * factor})


@steady
@given(ledger=ledgers)
def test_a_covariance_is_one(ledger: Ledger) -> None:
    one = estimated(ledger)
    assert one.covariance == pytest.approx(one.covariance.T)
    lowest = np.linalg.eigvalsh(one.covariance / np.outer(one.mean, one.mean)).min()
    assert lowest >= -1e-9
    assert np.all(one.mean >= 0.0)
    for name in one.names:
        ends = one.interval(name)
        assert 0.0 <= ends.low <= ends.best <= ends.high


@steady
@given(content=st.binary(max_size=200), count=st.integers(0, 3))
def test_any_bytes_at_the_end_are_told_and_none_are_lost(content: bytes, count: int) -> None:
    """Whatever a broken disk leaves after whole lines: a line with a number, or a torn end."""
    good = tuple(AmpereHours(at=1.0, id=f"g{place}", charge=1.0) for place in range(count))
    told = outcome(encoded(good) + content)
    if isinstance(told, str):
        assert re.search(r"line \d+: ", told)
    else:
        assert told.ledger[:count] == good
        if content.strip(b"\n \t\r"):
            assert told.torn is not None or len(told.ledger) > count


def outcome(content: bytes) -> Decoded | str:
    try:
        return decoded(content)
    except BadInput as error:
        return str(error)
