"""What events do: physics by hand, derivatives by differences."""

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.bath.evaporation import Room, evaporation_rate
from tankside.bath.inventory import (
    Addition,
    AmpereHours,
    Carbon,
    DragOut,
    Evaporation,
    Event,
    Idle,
    Loss,
    Priors,
    TopUp,
    Withdrawal,
    estimated,
)
from tankside.bath.inventory.propagation import Course, Shop
from tankside.bath.inventory.shop import WATER_ACTIVITY, shop_of
from tankside.bath.inventory.steps import through
from tankside.bath.inventory.volumes import specific_volumes
from tests.unit.bath.inventory.shelf import BOTTLES, DAY, taken_over

EVENTS: tuple[Event, ...] = (
    Addition(at=1.0, id="salt", product="crystals", mass=0.2),
    Addition(at=2.0, id="acid", product="battery acid", mass=0.3),
    Addition(at=3.0, id="shine", product="brightener", mass=0.01),
    TopUp(at=4.0, id="water", water="tap water", volume=1e-3),
    Evaporation(at=5.0, id="air", duration=DAY, temperature=300.0, surface_area=0.1),
    DragOut(at=6.0, id="parts", area=0.4),
    AmpereHours(at=7.0, id="run", charge=2e5),
    Idle(at=8.0, id="idle", duration=30 * DAY, anode_area=0.2),
    Carbon(at=9.0, id="carbon"),
    Withdrawal(at=10.0, id="out", volume=2e-3),
    Loss(at=11.0, id="spill", volume=1e-3),
)
SHOP = shop_of((*BOTTLES, *EVENTS), Priors())
MASSES = np.array([1.0, 1.1, 1.3e-3, 0.05, 16.5])
WARM = 298.15


def start(z: float = 0.4) -> Floats:
    return np.concatenate([MASSES, np.full(SHOP.size - 5, z)])


def after(event: Event, state: Floats, shop: Shop = SHOP) -> Course:
    nu = specific_volumes(state[:5], WARM)
    course = Course(state, nu, shop, shop.parameters(state))
    through(course, event)
    return course


def moles(masses: Floats) -> Floats:
    return np.asarray(masses / np.array([63.546e-3, 98.078e-3, 35.45e-3, 1.0, 18.015e-3]))


@pytest.mark.parametrize("event", EVENTS, ids=[one.id for one in EVENTS])
def test_slopes_are_derivatives(event: Event) -> None:
    """With the specific volumes held, as within one linearisation."""
    state = start()
    nu = specific_volumes(state[:5], WARM)
    course = after(event, state)
    for place in range(SHOP.size):
        step = 1e-6 * max(abs(state[place]), 1e-2)
        ends = []
        for sign in (1.0, -1.0):
            moved = state.copy()
            moved[place] += sign * step
            there = Course(moved, nu, SHOP, SHOP.parameters(moved))
            through(there, event)
            ends.append(there.masses)
        central = (ends[0] - ends[1]) / (2.0 * step)
        assert course.slopes[:, place] == pytest.approx(central, rel=1e-5, abs=1e-9), place


@pytest.mark.parametrize("event", EVENTS, ids=[one.id for one in EVENTS])
def test_noise_is_a_covariance(event: Event) -> None:
    noise = after(event, start()).noise
    assert noise == pytest.approx(noise.T)
    assert np.linalg.eigvalsh(noise).min() >= -1e-12 * max(np.abs(noise).max(), 1e-30)


def test_current_moves_copper_against_acid_mole_for_mole() -> None:
    """The sulfate stays: what dissolves beyond what is plated takes two hydrogen ions each."""
    state = start(0.0)
    change = moles(after(AmpereHours(at=0.0, id="x", charge=2e5), state).masses - MASSES)
    assert change[0] > 0.0  # soluble anodes give a little more than the parts take
    assert change[0] == pytest.approx(0.005 * 2e5 / (2 * 96485.33), rel=1e-4)
    assert change[1] == pytest.approx(-change[0], rel=1e-3)
    assert change[4] == pytest.approx(0.0, abs=1e-9)


def test_passive_anodes_lower_copper_and_raise_acid() -> None:
    state = start(0.0)
    state[SHOP.index["mismatch"]] = -3.0
    change = after(AmpereHours(at=0.0, id="x", charge=2e5), state).masses - MASSES
    assert change[0] < 0.0 < change[1]


def test_idle_anodes_dissolve_and_eat_acid_and_make_water() -> None:
    state = start(0.0)
    change = moles(
        after(Idle(at=0.0, id="x", duration=30 * DAY, anode_area=0.2), state).masses - MASSES
    )
    assert change[0] == pytest.approx(5e-8 * 30 * DAY * 0.2 / 63.546e-3, rel=1e-4)
    assert change[1] == pytest.approx(-change[0], rel=1e-3)
    assert change[4] == pytest.approx(change[0], rel=1e-3)


def test_evaporation_takes_the_formulas_water_and_nothing_else() -> None:
    state = start(0.0)
    event = EVENTS[4]
    change = after(event, state).masses - MASSES
    room = Room(temperature=295.15, relative_humidity=0.5)
    rate = evaporation_rate(300.0, room, water_activity=WATER_ACTIVITY).rate.best
    assert change[:4] == pytest.approx(np.zeros(4), abs=0.0)
    assert change[4] == pytest.approx(-rate * 0.1 * DAY, rel=1e-9)


@pytest.mark.parametrize("event", [EVENTS[5], EVENTS[9], EVENTS[10]], ids=["film", "out", "spill"])
def test_what_leaves_as_bath_leaves_the_concentrations(event: Event) -> None:
    course = after(event, start())
    ratio = course.masses / MASSES
    assert ratio == pytest.approx(np.full(5, ratio[0]), rel=1e-12)
    assert ratio[0] < 1.0


def test_a_measured_withdrawal_takes_its_volume() -> None:
    course = after(Withdrawal(at=0.0, id="x", volume=2e-3), start())
    nu = specific_volumes(MASSES, WARM)
    assert float(nu @ (MASSES - course.masses)) == pytest.approx(2e-3, rel=1e-12)


def test_additive_fades_by_charge_over_volume() -> None:
    state = start(0.0)
    litres = float(specific_volumes(MASSES, WARM) @ MASSES)
    left = after(AmpereHours(at=0.0, id="x", charge=2e5), state).masses[3] / MASSES[3]
    assert left == pytest.approx(np.exp(-8e-9 * 2e5 / litres), rel=1e-5)


def test_carbon_takes_nothing_but_additive() -> None:
    course = after(Carbon(at=0.0, id="x"), start(0.0))
    assert course.masses[3] == pytest.approx(0.1 * MASSES[3])
    others = [0, 1, 2, 4]
    assert course.masses[others] == pytest.approx(MASSES[others])


def test_filling_to_the_mark_makes_the_volume_known() -> None:
    state = start(0.0)
    nu = specific_volumes(MASSES, WARM)
    course = Course(state, nu, SHOP, SHOP.parameters(state))
    poured = course.filled_to(0.02, "tap water", 1e-4)
    assert float(nu @ course.masses) == pytest.approx(0.02, rel=1e-12)
    assert course.masses[2] - MASSES[2] == pytest.approx(3e-5 * poured, rel=1e-9)
    # whatever the volume was before, it is the level's now
    assert nu @ course.slopes[:, :5] == pytest.approx(np.zeros(5), abs=1e-15)
    assert float(nu @ course.noise @ nu) == pytest.approx(1e-8, rel=1e-9)
    assert course.filled_to(0.01, "tap water", 1e-4) == 0.0


def test_more_than_there_is_cannot_be_taken() -> None:
    with pytest.raises(BadInput, match="begin a new ledger"):
        after(Withdrawal(at=0.0, id="x", volume=0.02), start())


def test_a_tank_forgotten_for_a_year_is_not_reckoned_dry() -> None:
    """Drying without notes levels off: ten years leave hardly less than two, and half is left."""
    two, ten = (
        estimated((taken_over(),), at=taken_over().at + years * 365.0 * DAY).best("volume")
        for years in (2.0, 10.0)
    )
    start = estimated((taken_over(),)).best("volume")
    assert 0.4 * start < ten <= two < start
    assert ten > 0.97 * two
