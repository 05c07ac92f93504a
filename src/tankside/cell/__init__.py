"""The cell: what stands in the tank, how it hangs, and whether it can.

A description says it (description.py), `assembled` in assembling.py builds it. The latter is not
imported here, as it needs scipy and the mesh libraries.
"""

from tankside.cell.bodies import Body, Cell, Contact, Gap, Role
from tankside.cell.description import (
    Basket,
    BentWire,
    BoxTank,
    CellDescription,
    ContactSpec,
    CylinderTank,
    Lining,
    MeshShape,
    PanelBudget,
    PlacedPart,
    Plate,
    PrismTank,
    Ring,
    Rod,
)

__all__ = [
    "Basket",
    "BentWire",
    "Body",
    "BoxTank",
    "Cell",
    "CellDescription",
    "Contact",
    "ContactSpec",
    "CylinderTank",
    "Gap",
    "Lining",
    "MeshShape",
    "PanelBudget",
    "PlacedPart",
    "Plate",
    "PrismTank",
    "Ring",
    "Rod",
    "Role",
]
