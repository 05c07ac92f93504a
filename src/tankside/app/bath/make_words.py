"""The words of a make-up: what a tool is read to, in the tool's own unit."""

from collections.abc import Mapping

from tankside.base.units import Kind, UnitSystem, shown, told
from tankside.bath.makeup.plan import Reading


def reading(one: Reading, units: Mapping[str, str]) -> str:
    """What a tool is read to, in the unit of its scale by the tool's name."""
    kind = Kind.MASS if one.by_mass else Kind.VOLUME
    return in_tool(one.total, units[one.tool], kind, UnitSystem.METRIC, 6)


def in_tool(value: float, unit: str, kind: Kind, system: UnitSystem, digits: int = 4) -> str:
    """An amount [SI] in a tool's own unit, or in the person's where that is none of every day."""
    try:
        return shown(value, unit, digits)
    except KeyError:
        return told(value, kind, system, digits)
