"""Properties of solutions against tables: density, viscosity, heat capacity, conductivity.

Solutions are given by mass fraction, as handbooks print them, or by the grams per litre of a bath.
"""

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.bath import conductivity, density, heat_capacity, viscosity, water
from tankside.bath.composition import Composition, mass_fractions
from tankside.substances import molar_mass
from tankside.validation.cases import quantity


@quantity("density of a solution")
def solution_density(temperature_degC: float, **mass_fraction: float) -> float:
    """[kg m⁻³] of water with these mass fractions, such as sulfuric_acid=0.1."""
    return density.density(_named(mass_fraction), temperature_degC + ZERO_CELSIUS_K)


@quantity("viscosity of a solution")
def solution_viscosity(temperature_degC: float, **mass_fraction: float) -> float:
    """[mPa s] of water with these mass fractions."""
    fractions = _named(mass_fraction)
    return viscosity.viscosity(fractions, temperature_degC + ZERO_CELSIUS_K) * 1e3


@quantity("heat capacity of a solution")
def solution_heat_capacity(temperature_degC: float, **mass_fraction: float) -> float:
    """[J kg⁻¹ K⁻¹] of water with these mass fractions."""
    fractions = _named(mass_fraction)
    return heat_capacity.heat_capacity(fractions, temperature_degC + ZERO_CELSIUS_K)


@quantity("density of a bath")
def bath_density(
    copper_sulfate_pentahydrate_g_L: float, sulfuric_acid_g_L: float, temperature_degC: float
) -> float:
    """[kg m⁻³] of a bath by its recipe."""
    bath = _bath(copper_sulfate_pentahydrate_g_L, sulfuric_acid_g_L)
    temperature = temperature_degC + ZERO_CELSIUS_K
    return density.density(mass_fractions(bath, temperature), temperature)


@quantity("viscosity of a bath")
def bath_viscosity(
    copper_sulfate_pentahydrate_g_L: float, sulfuric_acid_g_L: float, temperature_degC: float
) -> float:
    """[mPa s] of a bath by its recipe."""
    bath = _bath(copper_sulfate_pentahydrate_g_L, sulfuric_acid_g_L)
    temperature = temperature_degC + ZERO_CELSIUS_K
    return viscosity.viscosity(mass_fractions(bath, temperature), temperature) * 1e3


@quantity("heat capacity of a bath")
def bath_heat_capacity(
    copper_sulfate_pentahydrate_g_L: float, sulfuric_acid_g_L: float, temperature_degC: float
) -> float:
    """[J kg⁻¹ K⁻¹] of a bath by its recipe."""
    bath = _bath(copper_sulfate_pentahydrate_g_L, sulfuric_acid_g_L)
    temperature = temperature_degC + ZERO_CELSIUS_K
    return heat_capacity.heat_capacity(mass_fractions(bath, temperature), temperature)


@quantity("conductivity of sulfuric acid")
def acid_conductivity(mass_fraction: float, temperature_degC: float) -> float:
    """[S m⁻¹] of sulfuric acid in water by mass fraction."""
    temperature = temperature_degC + ZERO_CELSIUS_K
    acid = mass_fraction * density.density({"sulfuric acid": mass_fraction}, temperature)
    return conductivity.acid_conductivity(acid, temperature)


@quantity("conductivity of sulfuric acid by molarity")
def acid_conductivity_by_molarity(mol_L: float, temperature_degC: float) -> float:
    """[S m⁻¹] of sulfuric acid in water by molarity."""
    acid = mol_L * 1e3 * molar_mass("H2SO4")
    return conductivity.acid_conductivity(acid, temperature_degC + ZERO_CELSIUS_K)


@quantity("conductivity of a bath")
def bath_conductivity(
    copper_g_L: float, sulfuric_acid_g_L: float, temperature_degC: float, end: str = "best"
) -> float:
    """[S m⁻¹] of a bath by its copper metal and acid; `end` is low, best or high."""
    salt = copper_g_L * molar_mass("CuSO4·5H2O") / molar_mass("Cu")
    bath = _bath(salt, sulfuric_acid_g_L)
    interval = conductivity.conductivity(bath, temperature_degC + ZERO_CELSIUS_K)
    return float(getattr(interval, end))


@quantity("water")
def pure_water(of: str, temperature_degC: float) -> float:
    """A property of pure water in SI: density, viscosity, heat_capacity, latent_heat or
    vapour_pressure."""
    return float(getattr(water, of)(temperature_degC + ZERO_CELSIUS_K))


def _bath(salt_g_L: float, acid_g_L: float) -> Composition:
    return Composition(copper_sulfate_pentahydrate=salt_g_L, sulfuric_acid=acid_g_L)


def _named(mass_fraction: dict[str, float]) -> dict[str, float]:
    return {name.replace("_", " "): share for name, share in mass_fraction.items()}
