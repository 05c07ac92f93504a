"""Water lost from an open tank, by two formulas that disagree, with the interval that spans both.

ASHRAE's (after Carrier): E = (p_w - p_a) (0.089 + 0.0782 V) / Y, wind V over the surface, Y the
latent heat. Shah (2014): the larger of 35 rho_w (rho_r - rho_w)^(1/3) (W_w - W_r) kg/m²/h by
natural convection and 5e-5 (p_w - p_r) by the room's own currents, for a quiet surface; his
densities rho are kilograms of dry air in a cubic metre. The interval spans both with 15 % beyond,
as neither is better. Dissolved salt and acid lower p_w by a few per cent (water_activity). Where
the room is damper than the bath, water condenses: negative by ASHRAE, zero by Shah. Bubbled air
is extra.
"""

from dataclasses import dataclass

from tankside.base.constants import GAS_CONSTANT_J_PER_MOL_K
from tankside.base.errors import BadInput, OutsideValidity
from tankside.base.intervals import Interval
from tankside.bath import water
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.parameters import parameter
from tankside.substances import substance

ATMOSPHERE_PA = 101325.0
"""Pressure that humid air is taken at [Pa]."""

DRY_AIR_MOLAR_MASS = 28.9655e-3
"""[kg mol⁻¹], of dry air with today's carbon dioxide (CIPM-2007 equation, from memory)."""

AIR_SPEED_RANGE = (0.0, 1.5)
"""Air speed over the surface that ASHRAE's formula is used for [m s⁻¹]."""

FORMULA_ERROR = 0.15
"""How far either formula is believed to err by itself [-]; our judgement."""

_HOUR = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """The air around the tank: temperature [K], relative humidity [-], speed over it [m s⁻¹]."""

    temperature: float = 295.15
    relative_humidity: float = 0.5
    air_speed: float = 0.1

    def __post_init__(self) -> None:
        if not 0.0 <= self.relative_humidity <= 1.0:
            raise BadInput(
                "relative humidity lies between 0 and 1, not {relative_humidity}",
                relative_humidity=self.relative_humidity,
            )
        low, high = AIR_SPEED_RANGE
        if not low <= self.air_speed <= high:
            raise OutsideValidity(
                "the evaporation formula holds for air moving at {low:g} to {high:g} m/s over the "
                "tank, not {air_speed:g}",
                low=low,
                high=high,
                air_speed=self.air_speed,
            )
        water.celsius(self.temperature)

    @property
    def vapour_pressure(self) -> float:
        """Pressure of water vapour in the air [Pa]."""
        return self.relative_humidity * water.vapour_pressure(self.temperature)


@dataclass(frozen=True, slots=True, kw_only=True)
class Evaporation:
    """Water lost per open area [kg s⁻¹ m⁻²] by each formula, the span, and the heat it takes
    [W m⁻²]."""

    by_ashrae: float
    by_shah: float
    rate: Interval
    heat_flux: Interval


def evaporation_rate(
    bath_temperature: float, room: Room, *, water_activity: float = 1.0
) -> Evaporation:
    """Evaporation from an open, level surface at `bath_temperature` [K] into a room.

    `water_activity` is the vapour pressure over the bath's as a fraction of pure water's. The best
    guess is the mean of the two formulas.
    """
    if not 0.0 < water_activity <= 1.0:
        raise BadInput(
            "the activity of water lies above 0 and up to 1, not {water_activity}",
            water_activity=water_activity,
        )
    latent = water.latent_heat(bath_temperature)
    surface_pressure = water_activity * water.vapour_pressure(bath_temperature)
    ashrae = _ashrae(surface_pressure, room, latent)
    shah = _shah(surface_pressure, bath_temperature, room)
    ends = [
        rate * factor
        for rate in (ashrae, shah)
        for factor in (1.0 - FORMULA_ERROR, 1.0 + FORMULA_ERROR)
    ]
    rate = Interval(min(ends), (ashrae + shah) / 2.0, max(ends))
    return Evaporation(by_ashrae=ashrae, by_shah=shah, rate=rate, heat_flux=rate.scaled(latent))


def water_activity(composition: Composition, temperature: float) -> float:
    """Vapour pressure over a bath, as a fraction of pure water's [-], by counting particles.

    Two for a molecule of acid, one for one of copper sulfate, which pairs; within about 0.02 of
    measured solutions of sulfuric acid up to 2 mol/kg.
    """
    fractions = mass_fractions(composition, temperature)
    moles = {name: share / substance(name).molar_mass for name, share in fractions.items()}
    solvent = (1.0 - sum(fractions.values())) / substance("water").molar_mass
    particles = 2.0 * moles["sulfuric acid"] + moles["copper sulfate"]
    return solvent / (solvent + particles)


def humidity_ratio(vapour_pressure: float) -> float:
    """Kilograms of vapour per kilogram of dry air [-] at 1 atm, ideal gases."""
    ratio = substance("water").molar_mass / DRY_AIR_MOLAR_MASS
    return ratio * vapour_pressure / (ATMOSPHERE_PA - vapour_pressure)


def dry_air_density(vapour_pressure: float, temperature: float) -> float:
    """Mass of dry air in a volume of moist air [kg m⁻³], ideal gases."""
    pressure = ATMOSPHERE_PA - vapour_pressure
    return pressure * DRY_AIR_MOLAR_MASS / (GAS_CONSTANT_J_PER_MOL_K * temperature)


def _ashrae(surface_pressure: float, room: Room, latent: float) -> float:
    conductance = parameter("ashrae_still").best + parameter("ashrae_wind").best * room.air_speed
    return conductance * (surface_pressure - room.vapour_pressure) / latent


def _shah(surface_pressure: float, bath_temperature: float, room: Room) -> float:
    """Shah's rate [kg s⁻¹ m⁻²]; zero where the surface is no damper than the room."""
    excess_pressure = surface_pressure - room.vapour_pressure
    if excess_pressure <= 0.0:
        return 0.0
    at_surface = dry_air_density(surface_pressure, bath_temperature)
    lighter = dry_air_density(room.vapour_pressure, room.temperature) - at_surface
    gained = humidity_ratio(surface_pressure) - humidity_ratio(room.vapour_pressure)
    forced = parameter("shah_forced").best * excess_pressure
    if lighter <= 0.0:
        return forced / _HOUR
    natural = parameter("shah_natural").best * at_surface * lighter ** (1.0 / 3.0) * gained
    return float(max(natural, forced)) / _HOUR
