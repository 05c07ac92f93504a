"""Acid by portions: no portion too hot, none beyond the vessel, and waits that its losses allow."""

from math import log

import pytest

from tankside.base.errors import BadInput, Impossible, SafetyRefusal, UnknownName
from tankside.bath.evaporation import Room
from tankside.bath.heat import heat_loss
from tankside.bath.heat_of_dilution import heat_capacity_of, mixed_temperature
from tankside.bath.makeup.vessels import Vessel, cylinder, material, materials
from tankside.bath.makeup.warming import (
    Surroundings,
    cooling_time,
    ice_needed,
    largest_rise,
    poured,
    shell_of,
)
from tankside.bath.mixture import Mixture, mixed, portion
from tests.unit.bath.makeup.shelf import BATTERY_ACID, STRONG_ACID

START = 293.15
WATER = Mixture(masses={"water": 7.5})
BATH = Mixture(masses={"water": 7.5, "sulfuric acid": 1.9})


def around(name: str, *, ice: bool = False, room: float = 295.15) -> Surroundings:
    return Surroundings(
        vessel=cylinder(name, diameter=0.28, height=0.30),
        room=Room(temperature=room),
        ice_bath=ice,
    )


@pytest.mark.parametrize("name", sorted(materials()))
@pytest.mark.parametrize("kilograms", [0.5, 2.0])
@pytest.mark.parametrize("ice", [False, True])
def test_no_portion_is_too_hot_and_none_goes_beyond_the_vessel(
    name: str, kilograms: float, ice: bool
) -> None:
    place = around(name, ice=ice)
    pours = poured(WATER, START, portion(STRONG_ACID, kilograms), START, place)
    assert sum(pour.mass for pour in pours) == pytest.approx(kilograms)
    for pour in pours:
        assert pour.after.high <= place.vessel.warmest + 1e-9
        assert pour.after.high - pour.before <= largest_rise(place, START) * 1.02


def test_battery_acid_needs_no_portions_but_strong_acid_does() -> None:
    """5 kg of 35 % warm 7.5 kg of water by 3 K, 2 kg of 96 % by 38 K."""
    place = around("polypropylene")
    assert len(poured(WATER, START, portion(BATTERY_ACID, 5.0), START, place)) == 1
    assert len(poured(WATER, START, portion(STRONG_ACID, 2.0), START, place)) >= 4


def test_without_waits_portions_add_up_to_one_pour() -> None:
    """The heat of mixing depends on what is mixed, not on the steps: to the heat that the law of
    heat capacity changes on the way."""
    acid = portion(STRONG_ACID, 2.0)
    pours = poured(WATER, START, acid, START, around("polypropylene"))
    assert all(pour.wait.best == 0.0 for pour in pours)
    at_once = mixed_temperature(WATER, START, acid, START).value.best
    assert pours[-1].after.best == pytest.approx(at_once, abs=0.6)


def test_a_glass_jar_waits_where_polypropylene_does_not() -> None:
    acid = portion(STRONG_ACID, 2.0)
    glass = poured(WATER, START, acid, START, around("glass"))
    with_ice = poured(WATER, START, acid, START, around("glass", ice=True))
    slow, quick = (sum(pour.wait.best for pour in pours) for pours in (glass, with_ice))
    assert slow > 5.0 * quick > 0.0
    assert all(pour.wait.low <= pour.wait.best <= pour.wait.high for pour in glass)


def test_cooling_time_is_newtons_where_the_loss_is_in_proportion() -> None:
    """With ice the loss is U A (T - 0 °C): t = C/(U A) ln(T1/T2)."""
    place = around("glass", ice=True)
    time = cooling_time(BATH, 313.15, 293.15, place)
    shell = shell_of(BATH, 313.15, place.vessel)
    conductance = shell.wall_area / (shell.wall_resistance + 2.0 / 200.0)
    expected = shell.thermal_mass / conductance * log(40.0 / 20.0)
    assert time.best == pytest.approx(expected, rel=1e-3)


def test_cooling_in_air_takes_the_heat_that_the_losses_carry() -> None:
    """A kelvin of cooling at the loss of its middle."""
    place = around("polypropylene")
    time = cooling_time(BATH, 318.65, 317.65, place)
    shell = shell_of(BATH, 318.15, place.vessel)
    loss = heat_loss(shell, 318.15, place.room).total.best
    assert time.best == pytest.approx(shell.thermal_mass / loss, rel=2e-3)


def test_ice_is_heat_over_its_heat_of_fusion() -> None:
    heat = heat_capacity_of(BATH, 313.15) * 20.0
    assert ice_needed(BATH, 313.15, 293.15) == pytest.approx(heat / 333550.0, rel=1e-12)


def test_a_cool_vessel_waits_for_nothing() -> None:
    assert cooling_time(BATH, 293.15, 303.15, around("glass")).best == 0.0


def test_a_warm_room_does_not_cool() -> None:
    with pytest.raises(Impossible, match="stand it in water with ice"):
        cooling_time(BATH, 300.15, 293.65, around("glass", room=308.15))


def test_too_little_water_is_refused() -> None:
    little = Mixture(masses={"water": 0.05})
    with pytest.raises(Impossible, match="more than 60 portions"):
        poured(little, START, portion(STRONG_ACID, 2.0), START, around("glass"))


@pytest.mark.parametrize("name", ["stainless steel", "aluminium", "galvanised steel", "pet"])
def test_metal_and_drink_bottles_are_refused(name: str) -> None:
    with pytest.raises(SafetyRefusal, match="use polypropylene, HDPE or glass"):
        material(name)


def test_an_unknown_material_offers_close_ones() -> None:
    with pytest.raises(UnknownName, match="'polypropylene'"):
        material("polypropilene")


def test_a_person_may_ask_for_less_heat_but_not_for_more() -> None:
    assert Vessel(material="hdpe", floor_area=0.06, height=0.3, limit=310.0).warmest == 310.0
    with pytest.raises(BadInput, match="above the 55 °C"):
        Vessel(material="hdpe", floor_area=0.06, height=0.3, limit=350.0)
    with pytest.raises(BadInput, match="above zero"):
        Vessel(material="hdpe", floor_area=0.0, height=0.3)


def test_a_fuller_vessel_wets_more_wall() -> None:
    vessel = cylinder("glass", diameter=0.28, height=0.30)
    half, full = (vessel.shell(10.0, 3500.0, litres * 1e-3) for litres in (6.0, 12.0))
    floor = vessel.floor_area
    assert full.wall_area - floor == pytest.approx(2.0 * (half.wall_area - floor))
    assert mixed(WATER, WATER).mass == 15.0
