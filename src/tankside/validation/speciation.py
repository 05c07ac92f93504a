"""Equilibria against published pH standards, tables and the geological survey's program."""

from math import exp, log

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.bath.solubility import chalcanthite_constant
from tankside.bath.speciation.equilibrium import Speciation, speciated
from tankside.bath.speciation.pitzer import activities
from tankside.validation.cases import quantity


@quantity("pH of a solution")
def solution_ph(temperature_degC: float = 25.0, **mol_kg: float) -> float:
    """[-] of a solution with these totals, such as copper=0.2, acetate=0.5."""
    return _solved(temperature_degC, mol_kg).pH


@quantity("molality of a species")
def species_molality(species: str, temperature_degC: float = 25.0, **mol_kg: float) -> float:
    """[mol kg⁻¹] of a species in a solution with these totals."""
    return _solved(temperature_degC, mol_kg).molality[species]


@quantity("mean activity coefficient of copper sulfate")
def copper_sulfate_activity(mol_kg: float) -> float:
    """[-] in water at 25 °C, by Pitzer's model."""
    ions = {"H": 1e-9, "Cu": mol_kg, "HSO4": 1e-9, "SO4": mol_kg}
    held = activities(ions, 25.0 + ZERO_CELSIUS_K).log_gamma
    return exp((held["Cu"] + held["SO4"]) / 2.0)


@quantity("solubility constant of copper sulfate pentahydrate")
def pentahydrate_constant(temperature_degC: float = 25.0) -> float:
    """log10 of a(Cu) a(SO4) a(water)^5 in the saturated solution [-]."""
    return chalcanthite_constant(temperature_degC + ZERO_CELSIUS_K) / log(10.0)


def _solved(temperature_degC: float, totals: dict[str, float]) -> Speciation:
    return speciated(totals, temperature_degC + ZERO_CELSIUS_K)
