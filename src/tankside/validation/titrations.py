"""Titrations against worked examples, pharmacopoeia equivalents and textbook curves.

Inputs and answers are in the units of the sources: millilitres, moles per litre, grams.
"""

import numpy as np

from tankside.bath.analysis import standardisation
from tankside.bath.analysis.potentiometry import Curve, gran_end, second_derivative_end
from tankside.bath.analysis.propagation import Measured, propagated
from tankside.bath.analysis.titration import titration
from tankside.substances import molar_mass
from tankside.validation.cases import quantity

_ML = 1e-6


@quantity("equivalent of a titrant")
def equivalent_mg(method: str, titrant_mol_L: float, substance: str = "") -> float:
    """Milligrams that a millilitre of titrant finds, of the analyte or of a substance that holds
    one mole of it."""
    found = titration(method)
    mass = found.concentration(_ML, 1.0, titrant_mol_L * 1e3)
    if substance:
        mass *= molar_mass(substance) / found.analyte_molar_mass
    return mass * 1e6


@quantity("standard taken by a millilitre of titrant")
def standard_equivalent_mg(standard: str, titrant: str, titrant_mol_L: float) -> float:
    """Milligrams of a pure standard that a millilitre of titrant takes."""
    row = standardisation.standard(standard, titrant)
    return row.mass_for(_ML, titrant_mol_L * 1e3) * row.purity.value * 1e6


@quantity("result of a titration")
def titration_result(
    method: str, sample_mL: float, titrant_mL: float, titrant_mol_L: float
) -> float:
    """Concentration in the sample [g/L]."""
    return titration(method).concentration(titrant_mL * _ML, sample_mL * _ML, titrant_mol_L * 1e3)


@quantity("strength of a titrant")
def titrant_strength(
    standard: str, titrant: str, mass_g: float, titrant_mL: float, purity: float = 1.0
) -> float:
    """Of a titrant set against a weighed standard [mol/L]."""
    row = standardisation.standard(standard, titrant)
    nothing = Measured(value=0.0)
    inputs = {
        "mass": Measured(value=mass_g * 1e-3),
        "purity": Measured(value=purity),
        "titre": Measured(value=titrant_mL * _ML),
        "burette": nothing,
        "last drop": nothing,
        "blank": nothing,
    }
    return standardisation.strength_of(row, inputs).value / 1e3


@quantity("uncertainty of an acid by two titrations")
def acid_by_two_titrations(of: str, **inputs: list[float]) -> float:
    """Hydrochloric acid through sodium hydroxide set against phthalate: `of` is "value" or "std"
    [mol/L]; inputs are pairs of value and deviation in g, mL and g/mol."""
    measured = {name: Measured(value=pair[0], std=pair[1]) for name, pair in inputs.items()}
    return float(getattr(propagated(_two_titrations, measured), of))


def _two_titrations(**read: float) -> float:
    phthalate = 1e3 * read["mass_g"] * read["purity"] / read["molar_mass_g_mol"]
    hydroxide = phthalate / read["first_mL"]
    return read["repeatability"] * hydroxide * read["second_mL"] / read["aliquot_mL"]


@quantity("end point by the second derivative")
def second_derivative(volumes_mL: list[float], readings: list[float]) -> float:
    """Of a curve of pH or volts [mL]."""
    scale = 0.05916 if max(readings) > 2.0 else 1.0
    return second_derivative_end(_curve(volumes_mL, readings, scale)).volume.value / _ML


@quantity("end point by Gran's lines")
def gran(volumes_mL: list[float], volts: list[float], beaker_mL: float) -> float:
    """Of a curve of volts in a beaker of a starting volume [mL]."""
    curve = _curve(volumes_mL, volts, 1.0)
    guess = second_derivative_end(curve).volume.value
    return gran_end(curve, beaker_mL * _ML, guess).volume.value / _ML


def _curve(volumes_mL: list[float], readings: list[float], scale: float) -> Curve:
    return Curve(volumes=np.array(volumes_mL) * _ML, potentials=np.array(readings) * scale)
