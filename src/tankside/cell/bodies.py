"""What stands in the solution, as surfaces: the outcome of assembling a cell.

A cell is a list of closed bodies with panels. The liquid's surface is not panelled: it is the
horizontal plane z = liquid_level, an insulating mirror, and bodies that pass through it are cut
there and left open.
"""

from dataclasses import dataclass
from enum import Enum

from tankside.part.mesh import TriangleMesh


class Role(Enum):
    """What a body is, and with it how current crosses its surface."""

    VESSEL = "vessel"
    SHIELD = "shield"
    PART = "part"
    WIRE = "wire"
    THIEF = "thief"
    ANODE = "anode"

    @property
    def insulates(self) -> bool:
        """True where no current crosses."""
        return self in (Role.VESSEL, Role.SHIELD)

    @property
    def is_cathode(self) -> bool:
        """True for part, wires and thieves, which hang on one bar."""
        return self in (Role.PART, Role.WIRE, Role.THIEF)


@dataclass(frozen=True, kw_only=True)
class Body:
    """One body: its role, its number among those of its role (from 1), its name in sentences
    ("anode 2", "the wire of contact 1"), and its wet surface with normals INTO the solution
    (so outward for a part, inward for the vessel) [m]."""

    role: Role
    number: int
    name: str
    surface: TriangleMesh


@dataclass(frozen=True, kw_only=True)
class Cell:
    """An assembled cell: bodies, the height of the liquid's surface over the tank floor [m], and
    the volume of solution around the bodies [m³]."""

    bodies: tuple[Body, ...]
    liquid_level: float
    solution_volume: float
    notes: tuple[str, ...] = ()

    def of_role(self, role: Role) -> tuple[Body, ...]:
        """The bodies of one role, in order of number."""
        return tuple(body for body in self.bodies if body.role is role)
