"""Masses, charges and thicknesses of copper: Faraday's laws and molar masses against tables.

Inputs and answers are in the units that the tables use, so that a row reads like its source.
"""

from math import pi

from tankside.base.constants import thermal_voltage
from tankside.bath import deposit
from tankside.bath.density import density
from tankside.substances import molar_mass, substance
from tankside.validation.cases import quantity

_HOUR = 3600.0
_SQUARE_FOOT = 0.3048**2
_MIL = 25.4e-6


@quantity("molar mass")
def molar_mass_g_mol(formula: str) -> float:
    """[g mol⁻¹] of a formula."""
    return molar_mass(formula) * 1e3


@quantity("grams per ampere-hour")
def grams_per_ampere_hour() -> float:
    """Copper deposited by an ampere-hour at full efficiency [g]."""
    return deposit.deposited_mass(_HOUR) * 1e3


@quantity("equivalents of the copper coulometer")
def coulometer_constant() -> float:
    """Hundred times the gram equivalent of copper, the constant of the efficiency formula [g]."""
    return 100.0 * molar_mass("Cu") * 1e3 / 2.0


@quantity("ampere-hours per square foot and mil")
def ampere_hours_per_square_foot_mil(density_kg_m3: float) -> float:
    """Charge for a thousandth of an inch on a square foot [Ah]."""
    return deposit.charge_of_thickness(_MIL, density_kg_m3) * _SQUARE_FOOT / _HOUR


@quantity("growth of the deposit")
def growth(current_density_A_dm2: float, minutes: float, density_kg_m3: float) -> float:
    """Thickness deposited in a time at full efficiency [µm]."""
    charge = current_density_A_dm2 * 100.0 * minutes * 60.0
    return deposit.deposited_thickness(charge, density_kg_m3) * 1e6


@quantity("hours to a thickness")
def hours_to_thickness(
    thickness_um: float, current_density_A_dm2: float, density_kg_m3: float
) -> float:
    """Time to a thickness at full efficiency [h]."""
    charge = deposit.charge_of_thickness(thickness_um * 1e-6, density_kg_m3)
    return charge / (current_density_A_dm2 * 100.0) / _HOUR


@quantity("sheet resistance of a deposit")
def sheet_resistance(thickness_um: float, end: str) -> float:
    """Of a film of electrodeposited copper at 20 °C [mΩ]; `end` is low, best or high."""
    return float(getattr(deposit.sheet_resistance(thickness_um * 1e-6), end)) * 1e3


@quantity("resistance of a copper wire")
def wire_resistance(diameter_mm: float) -> float:
    """Of a kilometre of annealed copper wire at 20 °C [Ω]."""
    section = pi * (diameter_mm * 1e-3) ** 2 / 4.0
    return deposit.wrought_resistivity() * 1e3 / section


@quantity("thermal voltage")
def thermal_voltage_mV(temperature_degC: float) -> float:
    """RT/F [mV]."""
    return thermal_voltage(temperature_degC + 273.15) * 1e3


@quantity("copper by titration")
def copper_by_titration(sample_mL: float, titrant_mL: float, titrant_mol_L: float) -> float:
    """Copper in a sample that one mole of titrant per mole of copper finds [g/L]."""
    return titrant_mL * titrant_mol_L * substance("copper").molar_mass * 1e3 / sample_mL


@quantity("chloride from hydrochloric acid")
def chloride_from_acid(acid_mL: float, acid_mass_fraction: float, bath_L: float) -> float:
    """Chloride that a volume of hydrochloric acid brings into a bath [mg/L], acid at 20 °C."""
    rho = density({"hydrochloric acid": acid_mass_fraction}, 293.15)
    share = molar_mass("Cl") / substance("hydrochloric acid").molar_mass
    return acid_mL * 1e-6 * rho * acid_mass_fraction * share / bath_L * 1e6
