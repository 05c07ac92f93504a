"""Conductivities of the solutions that weak-acid baths are made of, by their computed ions.

Solutions are given by mass fraction, as handbooks print them.
"""

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.bath import water
from tankside.bath.speciation.equilibrium import speciated
from tankside.bath.speciation.ionic_conductivity import conductivity
from tankside.bath.speciation.recipe import room_taken
from tankside.substances import molar_mass
from tankside.validation.cases import quantity

_COMPONENTS = {
    "CuSO4": {"copper": 1, "sulfate": 1},
    "C2H4O2": {"acetate": 1},
    "C6H8O7": {"citrate": 1},
    "HCl": {"chloride": 1},
    "NaCl": {"chloride": 1, "sodium": 1},
    "Na2SO4": {"sulfate": 1, "sodium": 2},
    "C2H3O2Na": {"acetate": 1, "sodium": 1},
}


@quantity("conductivity by its ions")
def by_ions(formula: str, mass_fraction: float, temperature_degC: float) -> float:
    """[S m⁻¹] of one substance in water, summed over the ions of its equilibrium."""
    temperature = temperature_degC + ZERO_CELSIUS_K
    molality = mass_fraction / (1.0 - mass_fraction) / molar_mass(formula)
    totals = {name: count * molality for name, count in _COMPONENTS[formula].items()}
    litres = 1.0 / water.density(temperature) + room_taken(totals)
    return conductivity(speciated(totals, temperature), 1.0 / litres).best
