"""Strength and density of what stands on the shelf, against handbooks.

Inputs and answers are in the units that the tables use, so that a row reads like its source.
"""

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.intervals import Interval
from tankside.substances import hydrometer, substance
from tankside.substances.hydrometer import read_density
from tankside.substances.labels import read_product
from tankside.substances.strengths import (
    solution_density,
    strength_from_concentration,
    strength_from_density,
)
from tankside.validation.cases import quantity


@quantity("density by strength")
def density_g_mL(name: str, percent: float, temperature_degC: float) -> float:
    """Of a substance in water at a percent by mass [g/mL]."""
    return solution_density(name, percent / 100, temperature_degC + ZERO_CELSIUS_K).best / 1000


@quantity("strength by density")
def percent_by_density(name: str, density_g_mL: float, temperature_degC: float) -> float:
    """Percent by mass of a substance in water [%]."""
    density = Interval.exact(1000 * density_g_mL)
    return 100 * strength_from_density(name, density, temperature_degC + ZERO_CELSIUS_K).best


@quantity("strength by a hydrometer")
def percent_by_hydrometer(name: str, reading: str) -> float:
    """Percent by mass of a substance in water by a reading as typed, at the reading's own
    temperature [%]."""
    read = read_density(reading, where="reading")
    temperature = read.temperature or hydrometer.SIXTY_FAHRENHEIT_K
    return 100 * strength_from_density(name, Interval.exact(read.density.best), temperature).best


@quantity("strength by molarity")
def percent_by_molarity(name: str, molarity_mol_L: float) -> float:
    """Percent by mass of a substance in water at 20 °C [%]."""
    concentration = Interval.exact(1000 * molarity_mol_L * substance(name).molar_mass)
    return 100 * strength_from_concentration(name, concentration).best


@quantity("strength on a label")
def percent_on_label(name: str, strength: str) -> float:
    """Percent by mass that a label's strength means [%]."""
    product = read_product({"substance": name, "strength": strength}, where="label")
    return 100 * product.contents[0].mass_fraction.best


@quantity("specific gravity by degrees Baumé")
def gravity(degrees: float, modulus: float) -> float:
    """Of a liquid heavier than water [-]."""
    return hydrometer.gravity_of_baume(degrees, modulus)


@quantity("degrees Baumé by specific gravity")
def baume(specific_gravity: float) -> float:
    """On the American scale for liquids heavier than water [°Bé]."""
    return hydrometer.baume_of_gravity(specific_gravity)
