"""Faraday's laws for copper, and what the deposit is like.

m = Q M / (2 F), thickness = q M / (2 F rho), with `efficiency` the share of the charge that
deposits copper (acid sulfate baths below their limit: 1 to within a per cent). Electrodeposits
are slightly lighter and clearly more resistive than wrought copper; both come with an interval.
"""

from tankside.base.constants import (
    COPPER_MOLAR_MASS_KG_PER_MOL,
    COPPER_VALENCE,
    FARADAY_C_PER_MOL,
)
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.bath.parameters import parameter

ELECTROCHEMICAL_EQUIVALENT = COPPER_MOLAR_MASS_KG_PER_MOL / (COPPER_VALENCE * FARADAY_C_PER_MOL)
"""Copper deposited by a coulomb [kg C⁻¹], M / (2 F): 1.1855 g/Ah."""

REFERENCE_TEMPERATURE_K = 293.15
"""Temperature that resistivities are given for [K]."""


def deposited_mass(charge: float, efficiency: float = 1.0) -> float:
    """Mass of copper [kg] that a charge [C] deposits (or, for an anode, dissolves)."""
    return charge * _checked(efficiency) * ELECTROCHEMICAL_EQUIVALENT


def charge_of_mass(mass: float, efficiency: float = 1.0) -> float:
    """Charge [C] that deposits a mass of copper [kg]."""
    return mass / (_checked(efficiency) * ELECTROCHEMICAL_EQUIVALENT)


def deposited_thickness(
    charge_density: float, density: float | None = None, efficiency: float = 1.0
) -> float:
    """Thickness [m] that a charge per area [C m⁻²] deposits; `density` [kg m⁻³] if known."""
    rho = deposit_density().best if density is None else density
    return deposited_mass(charge_density, efficiency) / rho


def charge_of_thickness(
    thickness: float, density: float | None = None, efficiency: float = 1.0
) -> float:
    """Charge per area [C m⁻²] that deposits a thickness [m]; `density` [kg m⁻³] if known."""
    rho = deposit_density().best if density is None else density
    return charge_of_mass(thickness * rho, efficiency)


def growth_rate(current_density: float, density: float | None = None) -> float:
    """How fast copper grows [m s⁻¹] at a current density [A m⁻²]."""
    return deposited_thickness(current_density, density)


def deposit_density() -> Interval:
    """Density of electrodeposited copper [kg m⁻³]: between 8890 and 8960."""
    return parameter("deposit_density").value


def deposit_resistivity(temperature: float = REFERENCE_TEMPERATURE_K) -> Interval:
    """Resistivity of electrodeposited copper [ohm m] at a temperature [K]."""
    return parameter("deposit_resistivity").value.scaled(_warmed(temperature))


def wrought_resistivity(temperature: float = REFERENCE_TEMPERATURE_K) -> float:
    """Resistivity of annealed copper [ohm m] at a temperature [K], 100 % IACS at 20 °C."""
    return parameter("bulk_resistivity").best * _warmed(temperature)


def sheet_resistance(thickness: float, temperature: float = REFERENCE_TEMPERATURE_K) -> Interval:
    """Sheet resistance [ohm] of a deposit of this thickness [m]: rho / thickness."""
    if not thickness > 0.0:
        raise BadInput(
            "a film needs a thickness above zero, not {thickness} m", thickness=thickness
        )
    return deposit_resistivity(temperature).scaled(1.0 / thickness)


def _warmed(temperature: float) -> float:
    per_kelvin = parameter("resistivity_per_kelvin").best
    return 1.0 + per_kelvin * (temperature - REFERENCE_TEMPERATURE_K)


def _checked(efficiency: float) -> float:
    if not 0.0 < efficiency <= 1.0:
        raise BadInput(
            "current efficiency lies above 0 and up to 1, not {efficiency}", efficiency=efficiency
        )
    return efficiency
