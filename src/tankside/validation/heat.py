"""Heat and evaporation against steam tables, psychrometry and engineering formulas."""

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.bath import evaporation, heat, water
from tankside.bath.composition import Composition
from tankside.validation.cases import quantity


@quantity("evaporation by ASHRAE")
def ashrae(bath_degC: float, air_degC: float, relative_humidity: float, air_speed: float) -> float:
    """From pure water [kg m⁻² h⁻¹]."""
    room = _room(air_degC, relative_humidity, air_speed)
    return evaporation.evaporation_rate(bath_degC + ZERO_CELSIUS_K, room).by_ashrae * 3600.0


@quantity("evaporation by Shah")
def shah(bath_degC: float, air_degC: float, relative_humidity: float) -> float:
    """From pure water [kg m⁻² h⁻¹]."""
    room = _room(air_degC, relative_humidity, 0.1)
    return evaporation.evaporation_rate(bath_degC + ZERO_CELSIUS_K, room).by_shah * 3600.0


@quantity("heat of evaporation by ASHRAE")
def ashrae_heat(
    bath_degC: float, air_degC: float, relative_humidity: float, air_speed: float
) -> float:
    """From pure water [W m⁻²]."""
    latent = water.latent_heat(bath_degC + ZERO_CELSIUS_K)
    return ashrae(bath_degC, air_degC, relative_humidity, air_speed) / 3600.0 * latent


@quantity("humidity ratio")
def humidity_ratio(air_degC: float, relative_humidity: float) -> float:
    """Vapour per dry air at 1 atm [g/kg]."""
    room = _room(air_degC, relative_humidity, 0.1)
    return evaporation.humidity_ratio(room.vapour_pressure) * 1e3


@quantity("density of dry air in moist air")
def dry_air_density(air_degC: float, relative_humidity: float) -> float:
    """At 1 atm [kg m⁻³]."""
    room = _room(air_degC, relative_humidity, 0.1)
    return evaporation.dry_air_density(room.vapour_pressure, room.temperature)


@quantity("heat transfer from a wall")
def wall_coefficient(
    bath_degC: float, air_degC: float, height_cm: float, resistance: float
) -> float:
    """Loss over the difference between bath and room [W m⁻² K⁻¹]."""
    room = _room(air_degC, 0.5, 0.1)
    loss = heat.wall_loss(bath_degC + ZERO_CELSIUS_K, room, resistance, height_cm * 1e-2)
    return loss / (bath_degC - air_degC)


@quantity("warming without losses")
def warming(mass_kg: float, heat_capacity: float, rise_K: float, power_W: float) -> float:
    """Time in a closed, lagged tank [s], by the integration that includes losses."""
    shell = heat.TankShell(
        liquid_mass=mass_kg,
        heat_capacity=heat_capacity,
        surface_area=1e-9,
        wall_area=0.0,
        wall_height=0.1,
    )
    start = 293.15
    return heat.warm_up_time(shell, start, start + rise_K, power_W, _room(20.0, 0.5, 0.1))


@quantity("activity of water over a bath")
def activity(copper_sulfate_pentahydrate_g_L: float, sulfuric_acid_g_L: float) -> float:
    """At 25 °C [-]."""
    bath = Composition(
        copper_sulfate_pentahydrate=copper_sulfate_pentahydrate_g_L,
        sulfuric_acid=sulfuric_acid_g_L,
    )
    return evaporation.water_activity(bath, 298.15)


def _room(air_degC: float, relative_humidity: float, air_speed: float) -> evaporation.Room:
    return evaporation.Room(
        temperature=air_degC + ZERO_CELSIUS_K,
        relative_humidity=relative_humidity,
        air_speed=air_speed,
    )
