"""How lengths stand in the cell's sentences, and what its things are called there."""

from tankside.base.units import shown

WALL, FLOOR, SURFACE = "the tank's wall", "the tank's floor", "the liquid's surface"
"""Names of the vessel's places in gaps and sentences."""


def length(value: float) -> str:
    """Millimetres below 10 cm, centimetres below 2 m, metres beyond: "4 mm", "27 cm"."""
    size = abs(value)
    if size < 0.1:
        return shown(value, "mm")
    return shown(value, "cm" if size < 2 else "m", digits=4)


def listed(names: list[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]
