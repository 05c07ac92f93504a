"""Evaporation against psychrometry done by CoolProp, and where the formulas end."""

from dataclasses import replace

import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI

from tankside.base.errors import BadInput, OutsideValidity
from tankside.bath import water
from tankside.bath.composition import Composition
from tankside.bath.evaporation import (
    FORMULA_ERROR,
    Room,
    dry_air_density,
    evaporation_rate,
    humidity_ratio,
    water_activity,
)

ROOM = Room(temperature=295.15, relative_humidity=0.5, air_speed=0.0)
ATMOSPHERE = 101325.0


@pytest.mark.parametrize("bath", [298.15, 303.15, 313.15, 323.15, 333.15])
@pytest.mark.parametrize("humidity", [0.2, 0.5, 0.8])
def test_both_formulas_with_real_humid_air(bath: float, humidity: float) -> None:
    """The formulas of ASHRAE and Shah, every property of water and air by CoolProp."""
    room = replace(ROOM, relative_humidity=humidity, air_speed=0.2)
    saturated = PropsSI("P", "T", bath, "Q", 0, "Water")
    vapour = humidity * PropsSI("P", "T", room.temperature, "Q", 0, "Water")
    steam, liquid = (PropsSI("H", "T", bath, "Q", q, "Water") for q in (1, 0))
    ashrae = (0.089 + 0.0782 * 0.2) * (saturated - vapour) / (steam - liquid)

    def air(letter: str, temperature: float, relative: float) -> float:
        return float(HAPropsSI(letter, "T", temperature, "P", ATMOSPHERE, "R", relative))

    at_surface = 1.0 / air("Vda", bath, 1.0)
    in_room = 1.0 / air("Vda", room.temperature, humidity)
    gained = air("W", bath, 1.0) - air("W", room.temperature, humidity)
    natural = 35.0 * at_surface * (in_room - at_surface) ** (1 / 3) * gained / 3600.0
    forced = 5e-5 * (saturated - vapour) / 3600.0

    found = evaporation_rate(bath, room)
    assert found.by_ashrae == pytest.approx(ashrae, rel=1e-3)
    assert found.by_shah == pytest.approx(max(natural, forced), rel=0.01)


def test_the_interval_spans_both_formulas_and_more() -> None:
    found = evaporation_rate(313.15, ROOM)
    assert found.by_ashrae in found.rate
    assert found.by_shah in found.rate
    assert found.rate.low == pytest.approx(found.by_shah * (1 - FORMULA_ERROR))
    assert found.rate.high == pytest.approx(found.by_ashrae * (1 + FORMULA_ERROR))
    assert found.heat_flux.best == pytest.approx(
        found.rate.best * water.latent_heat(313.15), rel=1e-12
    )


def test_humid_air_is_close_to_real_air() -> None:
    ratio = HAPropsSI("W", "T", 295.15, "P", ATMOSPHERE, "R", 0.5)
    density = 1.0 / HAPropsSI("Vda", "T", 295.15, "P", ATMOSPHERE, "R", 0.5)
    assert humidity_ratio(ROOM.vapour_pressure) == pytest.approx(ratio, rel=6e-3)
    assert dry_air_density(ROOM.vapour_pressure, 295.15) == pytest.approx(density, rel=1e-3)


def test_a_damp_room_waters_the_bath() -> None:
    damp = Room(temperature=303.15, relative_humidity=0.9)
    found = evaporation_rate(288.15, damp)
    assert found.by_ashrae < 0.0
    assert found.by_shah == 0.0
    assert found.rate.low < found.rate.best < 0.0 == found.rate.high


def test_a_surface_cooler_than_the_room_evaporates_by_the_rooms_own_air() -> None:
    """Heavier air lies on a cool surface: only the forced part of Shah's formula is left."""
    dry = Room(temperature=303.15, relative_humidity=0.1)
    found = evaporation_rate(288.15, dry)
    excess = water.vapour_pressure(288.15) - dry.vapour_pressure
    assert found.by_shah == pytest.approx(5e-5 * excess / 3600.0, rel=1e-12)


def test_dissolved_matter_slows_evaporation() -> None:
    bath = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0)
    activity = water_activity(bath, 298.15)
    assert activity == pytest.approx(0.965, abs=0.01)
    assert (
        evaporation_rate(313.15, ROOM, water_activity=activity).rate.best
        < evaporation_rate(313.15, ROOM).rate.best
    )


def test_water_alone_has_full_activity() -> None:
    pure = Composition(copper_sulfate_pentahydrate=0.0, sulfuric_acid=0.0)
    assert water_activity(pure, 298.15) == 1.0


def test_impossible_rooms_are_refused() -> None:
    with pytest.raises(BadInput, match="relative humidity"):
        Room(relative_humidity=1.2)
    with pytest.raises(OutsideValidity, match=r"0 to 1\.5 m/s"):
        Room(air_speed=3.0)
    with pytest.raises(OutsideValidity, match="kelvin"):
        Room(temperature=22.0)
    with pytest.raises(BadInput, match="activity of water"):
        evaporation_rate(298.15, ROOM, water_activity=0.0)
