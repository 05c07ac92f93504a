"""The window that a bath should stay in, in the quantities that the ledger follows."""

from collections.abc import Mapping

from tankside.bath.families import Family
from tankside.bath.inventory.bath_estimate import SALT_OF_COPPER

Windows = Mapping[str, tuple[float, float]]
"""Low and high end of some of copper, sulfuric_acid, chloride, additive [kg m⁻³], volume [m³]."""


def windows_of(family: Family) -> dict[str, tuple[float, float]]:
    """The published window of a sulfate family; copper as metal."""
    found = {}
    for quantity, window in family.windows.items():
        if quantity == "copper_sulfate_pentahydrate":
            found["copper"] = (window.low / SALT_OF_COPPER, window.high / SALT_OF_COPPER)
        elif quantity in ("sulfuric_acid", "chloride"):
            found[quantity] = (window.low, window.high)
    return found
