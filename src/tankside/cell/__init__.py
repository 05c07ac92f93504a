"""The cell: what stands in the tank, how it hangs, and whether it can."""

from tankside.cell.bodies import Body, Cell, Contact, Gap, Role

__all__ = ["Body", "Cell", "Contact", "Gap", "Role"]
