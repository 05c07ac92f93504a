"""How lengths stand in the cell's sentences, and what its things are called there."""

from tankside.base.messages import Quantity, said

WALL = said("the tank's wall")
FLOOR = said("the tank's floor")
SURFACE = said("the liquid's surface")
"""Names of the vessel's places in gaps and sentences."""


def length(value: float) -> Quantity:
    """Millimetres below 10 cm, centimetres below 2 m, metres beyond: "4 mm", "27 cm"."""
    size = abs(value)
    if size < 0.1:
        return Quantity(value, "mm")
    return Quantity(value, "cm" if size < 2 else "m", 4)
