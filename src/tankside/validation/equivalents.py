"""Units against their definitions, and what one substance is worth in another."""

from tankside.base.units import Kind, in_unit
from tankside.base.units import quantity as read_quantity
from tankside.substances import substance
from tankside.substances.copper_content import copper_share
from tankside.validation.cases import quantity


@quantity("a unit in SI")
def si_value(text: str, kind: str) -> float:
    """A quantity as typed, in the SI unit of its kind."""
    return read_quantity(text, Kind[kind], where="case")


@quantity("a unit written out")
def written(si: float, unit: str) -> float:
    """An SI value in a unit that outputs use."""
    return in_unit(si, unit)


@quantity("copper in a salt")
def copper_percent(name: str) -> float:
    """Percent by mass of copper in a pure substance [%]."""
    return 100 * copper_share(substance(name))


@quantity("one salt for another")
def mass_ratio(name: str, instead_of: str) -> float:
    """Grams of a substance that hold as many moles as a gram of another [-]."""
    return substance(name).molar_mass / substance(instead_of).molar_mass


@quantity("molar mass of a substance")
def molar_mass_g_mol(name: str) -> float:
    """[g mol⁻¹]"""
    return substance(name).molar_mass * 1e3
