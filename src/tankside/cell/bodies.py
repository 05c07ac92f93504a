"""What stands in the solution, as surfaces: the outcome of assembling a cell.

A cell is a list of closed bodies with panels. The liquid's surface is not panelled: it is the
horizontal plane z = liquid_level, an insulating mirror, and bodies that pass through it are cut
there and left open. A body that stands flat against the vessel has no panels where the two meet,
nor has the vessel: what is closed is the boundary of the solution as a whole.
"""

from dataclasses import dataclass
from enum import Enum

from tankside.base.arrays import Floats, frozen_floats
from tankside.cell.coating import LaidCoat
from tankside.cell.description import CellDescription
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
    """One body: its role, its number among those of its role (from 1; a wire has the number of its
    contact), its name in sentences ("anode 2", "the wire of contact 1"), and its wet surface with
    normals INTO the solution (so outward for a part, inward for the vessel) [m].

    coat is that of a part which does not conduct; None where it is solid metal. A
    part's triangles are those of its description, in order.
    """

    role: Role
    number: int
    name: str
    surface: TriangleMesh
    coat: LaidCoat | None = None


@dataclass(frozen=True, kw_only=True)
class Contact:
    """Where a wire holds a part.

    number            of the contact, from 1
    part              number of the part
    position          on the part's surface (3,) [m]
    normal            out of the part there (3,) [-]
    triangle          number of the part's triangle that holds the position
    vertex            number of that triangle's corner nearest to it
    wire              number of the wire among the bodies of its role
    insulated         the wire stands among the shields instead, under its number there
    wire_diameter     [m]
    wet_length        of the wire's axis from the part to the liquid's surface [m]
    snapped_distance  from the place that was asked for to the position [m]
    """

    number: int
    part: int
    position: Floats
    normal: Floats
    triangle: int
    vertex: int
    wire: int
    insulated: bool
    wire_diameter: float
    wet_length: float
    snapped_distance: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "position", frozen_floats(self.position))
        object.__setattr__(self, "normal", frozen_floats(self.normal))


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """The least distance between two things in the solution [m]; 0 where they stand flat together.

    `first` and `second` are names of bodies, or "the tank's wall", "the tank's floor", "the
    liquid's surface".
    """

    first: str
    second: str
    distance: float


@dataclass(frozen=True, kw_only=True)
class Cell:
    """An assembled cell: bodies, the height of the liquid's surface over the tank floor [m], the
    volume of solution around the bodies [m³], the contacts in order of number, the gaps between
    every two things from the narrowest on, notes in sentences, and what a person said of it."""

    bodies: tuple[Body, ...]
    liquid_level: float
    solution_volume: float
    notes: tuple[str, ...] = ()
    contacts: tuple[Contact, ...] = ()
    gaps: tuple[Gap, ...] = ()
    description: CellDescription

    def of_role(self, role: Role) -> tuple[Body, ...]:
        """The bodies of one role, in order of number."""
        return tuple(body for body in self.bodies if body.role is role)

    def gap(self, one: str, other: str) -> float:
        """The least distance between two things by name [m]; LookupError where none is held."""
        for gap in self.gaps:
            if {gap.first, gap.second} == {one, other}:
                return gap.distance
        raise LookupError(f"no gap between {one!r} and {other!r} is held")
