"""Where everything hangs, measured as a person beside the tank does: with a ruler from the inside
of its walls, from the liquid's surface and from the floor.

The person stands at the side of lowest y; left is where x is lowest. Of a tank that is no box, left
and front are its left-most and front-most place. Bodies are whole here, also above the liquid.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.cell.bodies import Cell, Contact, Role
from tankside.cell.description import (
    Basket,
    BentWire,
    BoxTank,
    CellDescription,
    CylinderTank,
    Lining,
    MeshShape,
    PrismTank,
    Ring,
    Rod,
    Shape,
)
from tankside.cell.place_words import place_words
from tankside.cell.polyhedra import footprint, tank_height, vessel_facets
from tankside.cell.standing import Standing, things
from tankside.part.mesh import TriangleMesh

_MARKS = {Role.PART: "P", Role.ANODE: "A", Role.SHIELD: "S", Role.THIEF: "T"}
_ROUND = 180
"""Corners that a round tank is measured against with [-]."""


@dataclass(frozen=True, kw_only=True)
class HungBody:
    """A part, anode, shield or thief.

    mark           as on a drawing: "P1", "A2", "S1", "T1"
    shape          part, plate, basket, rod, ring, wire, lining or mesh
    size           what a person cuts it to [m]: width, height, thickness of a plate; depth, width,
                   height of a basket; diameter and length of a rod; else its box
    mesh           whole, in the tank's coordinates
    from_left, from_front    of its middle [m]
    under_liquid   its highest point under the liquid's surface, negative where it stands out [m]
    above_floor    its lowest point over the floor [m]
    to_wall        least level distance to a wall [m]
    nearest        the part nearest to it (for a part, the anode) and the distance [m]; None where
                   there is none
    """

    mark: str
    role: Role
    number: int
    name: str
    shape: str
    size: tuple[float, ...]
    mesh: TriangleMesh
    from_left: float
    from_front: float
    under_liquid: float
    above_floor: float
    to_wall: float
    nearest: tuple[str, float] | None


@dataclass(frozen=True, kw_only=True)
class HungContact:
    """A contact: what holds where on the part in words, and its distances [m] from the tank's left
    and front, under the liquid and over the floor; its wire's diameter and length in the liquid."""

    number: int
    part: int
    place: str
    position: Floats
    from_left: float
    from_front: float
    under_liquid: float
    above_floor: float
    wire_diameter: float
    wet_length: float
    insulated: bool


@dataclass(frozen=True, kw_only=True)
class Hung:
    """The tank's inside from above (k, 2) [m], round tanks as a polygon of many corners; liquid and
    rim over the floor [m]; bodies by role and number; contacts; wires (mesh, insulated) by number
    of their contact."""

    floor: Floats
    round: bool
    liquid_depth: float
    rim: float
    bodies: tuple[HungBody, ...]
    contacts: tuple[HungContact, ...]
    wires: tuple[tuple[TriangleMesh, bool], ...]

    @property
    def low(self) -> Floats:
        """Left-most x, front-most y and the floor (3,) [m]."""
        return np.array([*self.floor.min(axis=0), 0.0])

    @property
    def high(self) -> Floats:
        """Right-most x, back-most y and the rim (3,) [m]."""
        return np.array([*self.floor.max(axis=0), self.rim])

    @property
    def is_box(self) -> bool:
        """True where left, right, front and back are walls."""
        return not self.round and len(self.floor) == 4

    def of(self, *roles: Role) -> tuple[HungBody, ...]:
        """Bodies of these roles."""
        return tuple(body for body in self.bodies if body.role in roles)


def hung(cell: Cell) -> Hung:
    """Everything in a cell as it hangs."""
    description = cell.description
    floor, level = tank_floor(description), cell.liquid_level
    walls = vessel_facets(footprint(description.tank), level)
    order = list(Role)
    standing = sorted(
        things(description, walls), key=lambda one: (order.index(one.role), one.number)
    )
    shapes = _shapes(description)
    return Hung(
        floor=floor,
        round=isinstance(description.tank, CylinderTank),
        liquid_depth=level,
        rim=tank_height(description.tank),
        bodies=tuple(_body(one, shapes[one.name], cell, floor) for one in standing),
        contacts=tuple(_contact(one, cell, floor) for one in cell.contacts),
        wires=tuple(_wires(cell)),
    )


def tank_floor(description: CellDescription) -> Floats:
    """Corners (k, 2) of the tank's inside from above [m], with the sizes that were given."""
    match description.tank:
        case CylinderTank(diameter=diameter):
            turns = np.arange(_ROUND) * 2 * np.pi / _ROUND
            rim = diameter / 2 * np.column_stack([np.cos(turns), np.sin(turns)])
            return frozen_floats(rim)
        case BoxTank() | PrismTank() as tank:
            return frozen_floats(footprint(tank))


def _shapes(description: CellDescription) -> dict[str, Shape | None]:
    """What each thing was described as, by its name; None for a part."""
    named: dict[str, Shape | None] = {
        f"part {number}": None for number in range(1, len(description.parts) + 1)
    }
    for word, shapes in (
        ("anode", description.anodes),
        ("shield", description.shields),
        ("thief", description.thieves),
    ):
        named |= {f"{word} {number}": shape for number, shape in enumerate(shapes, 1)}
    return named


def _body(thing: Standing, shape: Shape | None, cell: Cell, floor: Floats) -> HungBody:
    mesh = thing.solid.mesh
    low, high = mesh.box
    middle = (low + high) / 2
    left, front = floor.min(axis=0)
    name, size = _kind_and_size(shape, high - low)
    return HungBody(
        mark=f"{_MARKS[thing.role]}{thing.number}",
        role=thing.role,
        number=thing.number,
        name=thing.name,
        shape=name,
        size=size,
        mesh=mesh,
        from_left=float(middle[0] - left),
        from_front=float(middle[1] - front),
        under_liquid=float(cell.liquid_level - high[2]),
        above_floor=float(low[2]),
        to_wall=_to_wall(mesh.vertices[:, :2], floor),
        nearest=_nearest(thing, cell),
    )


def _kind_and_size(shape: Shape | None, box: Floats) -> tuple[str, tuple[float, ...]]:
    whole = (float(box[0]), float(box[1]), float(box[2]))
    match shape:
        case None:
            return "part", whole
        case Rod():
            return "rod", (shape.diameter, shape.length)
        case Basket():
            return "basket", shape.size
        case Ring():
            return "ring", (shape.inner_diameter, shape.outer_diameter, shape.thickness)
        case BentWire():
            return "wire", (shape.diameter,)
        case Lining():
            return "lining", shape.size
        case MeshShape():
            return "mesh", whole
        case _:
            return "plate", (*shape.size, shape.thickness)


def _to_wall(points: Floats, floor: Floats) -> float:
    """The least level distance from points (n, 2) to the sides of the floor [m]."""
    ends = np.roll(floor, -1, axis=0)
    along = ends - floor
    lengths = np.linalg.norm(along, axis=1)
    outward = np.column_stack([along[:, 1], -along[:, 0]]) / lengths[:, None]
    share = ((points[:, None] - floor) * along).sum(axis=2) / lengths**2
    feet = floor + np.clip(share, 0.0, 1.0)[..., None] * along
    flat = np.abs(((points[:, None] - floor) * outward).sum(axis=2))
    inside = (share >= 0) & (share <= 1)
    return float(np.where(inside, flat, np.linalg.norm(points[:, None] - feet, axis=2)).min())


def _nearest(thing: Standing, cell: Cell) -> tuple[str, float] | None:
    wanted = "anode " if thing.role is Role.PART else "part "
    for gap in cell.gaps:
        for one, other in ((gap.first, gap.second), (gap.second, gap.first)):
            if one == thing.name and other.startswith(wanted):
                return other, gap.distance
    return None


def _contact(contact: Contact, cell: Cell, floor: Floats) -> HungContact:
    x, y, z = (float(value) for value in contact.position)
    left, front = floor.min(axis=0)
    return HungContact(
        number=contact.number,
        part=contact.part,
        place=place_words(contact.position, contact.normal, cell),
        position=contact.position,
        from_left=x - float(left),
        from_front=y - float(front),
        under_liquid=cell.liquid_level - z,
        above_floor=z,
        wire_diameter=contact.wire_diameter,
        wet_length=contact.wet_length,
        insulated=contact.insulated,
    )


def _wires(cell: Cell) -> Iterator[tuple[TriangleMesh, bool]]:
    for contact in cell.contacts:
        role = Role.SHIELD if contact.insulated else Role.WIRE
        bodies = [body for body in cell.of_role(role) if body.number == contact.wire]
        yield bodies[0].surface, contact.insulated
