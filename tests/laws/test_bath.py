"""Laws that hold for every bath in range: order, continuity, conservation, no surprises."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.intervals import Interval
from tankside.bath import deposit
from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.boundary_layer import AGITATIONS, boundary_layer
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.conductivity import acid_conductivity, conductivity
from tankside.bath.density import density
from tankside.bath.diffusivity import diffusivity
from tankside.bath.electrolyte import Electrolyte
from tankside.bath.evaporation import Room, evaporation_rate, water_activity
from tankside.bath.heat import TankShell, heat_loss
from tankside.bath.viscosity import viscosity
from tankside.bath.wagner import wagner_length
from tankside.substances.molar_mass import molar_mass

salts = st.floats(10.0, 250.0)
acids = st.floats(22.0, 255.0)
celsius = st.floats(15.5, 59.5)
steps = st.floats(1e-3, 0.2)
words = st.sampled_from(AGITATIONS)

steady = settings(deadline=None, max_examples=60)
"""Time is not what these laws are about."""


def bath(salt: float, acid: float) -> Composition:
    return Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid, chloride=0.07)


def bath_density(composition: Composition, kelvin: float) -> float:
    return density(mass_fractions(composition, kelvin), kelvin)


def bath_viscosity(composition: Composition, kelvin: float) -> float:
    return viscosity(mass_fractions(composition, kelvin), kelvin)


def best_conductivity(composition: Composition, kelvin: float) -> float:
    return conductivity(composition, kelvin).best


Property = Callable[[Composition, float], float]

UP, DOWN = 1.0, -1.0

DIRECTIONS: list[tuple[Property, float, float, float]] = [
    # property, with copper, with acid, with temperature
    (bath_density, UP, UP, DOWN),
    (bath_viscosity, UP, UP, DOWN),
    (best_conductivity, DOWN, UP, UP),  # Kalliomäki and others 2016, abstract
    (diffusivity, DOWN, DOWN, UP),  # Moats and others 2000, abstract
    (water_activity, DOWN, DOWN, 0.0),
]


@pytest.mark.parametrize(("law", "copper", "acid", "heat"), DIRECTIONS)
@steady
@given(c=salts, a=acids, t=celsius, step=steps)
def test_properties_move_as_physics_says(
    law: Property,
    copper: float,
    acid: float,
    heat: float,
    c: float,
    a: float,
    t: float,
    step: float,
) -> None:
    kelvin = t + 273.15
    here = law(bath(c, a), kelvin)
    more_copper = law(bath(c * (1.0 - step), a), kelvin)
    more_acid = law(bath(c, max(a * (1.0 - step), 20.0)), kelvin)
    assert (here - more_copper) * copper > 0.0
    assert (here - more_acid) * acid > 0.0
    if heat:
        warmer = law(bath(c, a), kelvin - step)
        assert (here - warmer) * heat > 0.0


@pytest.mark.parametrize("law", [row[0] for row in DIRECTIONS])
@steady
@given(c=salts, a=acids, t=celsius)
def test_properties_have_no_steps(law: Property, c: float, a: float, t: float) -> None:
    kelvin = t + 273.15
    here = law(bath(c, a), kelvin)
    near = law(bath(c * (1 + 1e-7), a * (1 + 1e-7)), kelvin * (1 + 1e-9))
    assert near == pytest.approx(here, rel=1e-5)


@steady
@given(c=salts, a=acids, t=celsius)
def test_conductivity_ends_move_with_the_best(c: float, a: float, t: float) -> None:
    """The interval is a band around the law: no end crosses another, none turns against acid."""
    kelvin = t + 273.15
    here, less = (conductivity(bath(c, x), kelvin) for x in (a, max(a * 0.98, 20.0)))
    assert here.low < here.best < here.high
    assert less.low < here.low
    assert less.best < here.best
    assert less.high < here.high


@steady
@given(a=st.floats(1.5, 260.0), t=st.floats(10.5, 59.5))
def test_acid_conducts_no_better_than_in_proportion(a: float, t: float) -> None:
    """Molar conductivity falls with concentration (Kohlrausch)."""
    kelvin = t + 273.15
    half, full = acid_conductivity(a / 1.5, kelvin), acid_conductivity(a, kelvin)
    assert half < full < 1.5 * half


@steady
@given(c=salts, a=acids, t=celsius, word=words, height=st.floats(0.005, 0.5))
def test_every_bath_in_range_becomes_an_electrolyte(
    c: float, a: float, t: float, word: str, height: float
) -> None:
    found = acid_sulfate(bath(c, a), t + 273.15, word, height=height)
    assert isinstance(found, Electrolyte)
    limit = found.limiting_current_density
    assert 0.0 < limit.low < limit.best < limit.high
    assert found.hydrogen_equilibrium.high < 0.0
    length = wagner_length(found, limit.best / 3.0)
    assert 0.0 < length.low <= length.best <= length.high


@steady
@given(c=salts, a=acids, t=celsius, height=st.floats(0.01, 0.4))
def test_the_layer_is_thicker_on_a_taller_part_and_thinner_with_air(
    c: float, a: float, t: float, height: float
) -> None:
    """Free convection's layer grows with height (fourth root, or H^0.16 where turbulent); air,
    gentle then strong, only thins it."""
    kelvin = t + 273.15
    layers = [
        boundary_layer(bath(c, a), kelvin, word, height=height).value
        for word in ("still", "gentle air", "strong air")
    ]
    assert layers[0].best >= layers[1].best >= layers[2].best
    taller = boundary_layer(bath(c, a), kelvin, "still", height=height * 1.1).value
    assert taller.best > layers[0].best


@steady
@given(charge=st.floats(1.0, 1e7), factor=st.floats(0.1, 10.0), efficiency=st.floats(0.5, 1.0))
def test_faraday_is_linear(charge: float, factor: float, efficiency: float) -> None:
    one = deposit.deposited_mass(charge, efficiency)
    assert deposit.deposited_mass(charge * factor, efficiency) == pytest.approx(one * factor)
    assert deposit.deposited_mass(charge) >= one
    assert deposit.deposited_mass(0.0) == 0.0


@steady
@given(
    water=st.floats(288.15, 333.15),
    warmer=st.floats(0.1, 5.0),
    humidity=st.floats(0.0, 1.0),
    drier=st.floats(0.01, 0.5),
)
def test_a_warmer_bath_in_a_drier_room_loses_more_water(
    water: float, warmer: float, humidity: float, drier: float
) -> None:
    room = Room(relative_humidity=humidity)
    dry = Room(relative_humidity=max(humidity - drier, 0.0))
    here = evaporation_rate(water, room).rate
    assert evaporation_rate(water + warmer, room).rate.best > here.best
    assert evaporation_rate(water, dry).rate.best >= here.best
    assert here.low <= here.best <= here.high


@steady
@given(t=st.floats(279.15, 350.0), step=st.floats(0.01, 3.0), cover=st.floats(0.0, 1.0))
def test_a_warmer_tank_loses_more_heat(t: float, step: float, cover: float) -> None:
    shell = TankShell(
        liquid_mass=20.0,
        heat_capacity=3500.0,
        surface_area=0.1,
        wall_area=0.5,
        wall_height=0.25,
        open_fraction=cover,
    )
    room = Room()
    cold, hot = (heat_loss(shell, x, room).total.best for x in (t, t + step))
    assert cold < hot


@steady
@given(
    symbols=st.lists(st.sampled_from(["H", "O", "S", "Cu", "Na", "Cl"]), min_size=1, max_size=5),
    count=st.integers(1, 9),
)
def test_mass_of_a_repeated_group_is_a_multiple(symbols: list[str], count: int) -> None:
    group = "".join(symbols)
    assert molar_mass(f"({group}){count}") == pytest.approx(count * molar_mass(group), rel=1e-12)


@steady
@given(kappa=st.floats(5.0, 90.0), spread=st.floats(0.0, 0.5))
def test_a_measured_conductivity_is_passed_on(kappa: float, spread: float) -> None:
    given_interval = Interval.about(kappa, spread * 0.9)
    found = acid_sulfate(bath(200.0, 60.0), 298.15, "still", measured_conductivity=given_interval)
    assert found.conductivity == given_interval
