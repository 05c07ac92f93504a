"""Values that no cell can have: each is refused with the place where it stands in the description.

Not a number, not above zero, a direction without length, a footprint that crosses itself, liquid
deeper than the tank, a contact for a part that is not there. What is right as a value but
impossible at the bench is judged elsewhere.
"""

from collections.abc import Iterable, Sequence
from math import isfinite, sqrt

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, Impossible
from tankside.base.messages import Quantity, said, said_of
from tankside.base.wording import quoting, term
from tankside.cell.coating import SeedCoat
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
    Shape,
    Tank,
)
from tankside.cell.polyhedra import tank_height
from tankside.cell.wording import length

THICKEST_WIRE_M = 0.01
"""Diameter from which a contact's wire is a slip of its unit [m]: our choice."""


def check_values(description: CellDescription, panels: PanelBudget) -> None:
    """Raises BadInput with `where` for the first value that cannot be, Impossible for a tank that
    would run over."""
    _check_tank(description.tank)
    _positive(description.liquid_depth, "tank, liquid_depth")
    height = tank_height(description.tank)
    if description.liquid_depth > height:
        raise Impossible(
            "{liquid_depth} of liquid stand above the rim at {height}; fill less or take a higher "
            "tank",
            liquid_depth=length(description.liquid_depth),
            height=length(height),
            where="tank, liquid_depth",
        )
    _positive(description.solution_density, "solution_density")
    for number, anode in enumerate(description.anodes, 1):
        _check_shape(anode, said("anode {number}", number=number))
    for number, shield in enumerate(description.shields, 1):
        _check_shape(shield, said("shield {number}", number=number))
    for number, thief in enumerate(description.thieves, 1):
        _check_shape(thief, said("thief {number}", number=number))
    for number, part in enumerate(description.parts, 1):
        _check_part(part, said("part {number}", number=number))
    for number, contact in enumerate(description.contacts, 1):
        _check_contact(contact, len(description.parts), said("contact {number}", number=number))
    for name in ("vessel", "anodes", "wires", "others"):
        if not getattr(panels, name) >= 1:
            raise BadInput(
                "needs at least one panel", where=quoting("panels, {name}", name=term(name))
            )


def _check_tank(tank: Tank) -> None:
    match tank:
        case BoxTank():
            _positive_all(tank.inside, 3, "tank, inside")
        case CylinderTank():
            _positive(tank.diameter, "tank, diameter")
            _positive(tank.height, "tank, height")
        case PrismTank():
            _positive(tank.height, "tank, height")
            _check_footprint(tank.footprint)


def _check_footprint(corners: Sequence[tuple[float, float]]) -> None:
    where = "tank, footprint"
    if len(corners) < 3:
        raise BadInput(
            "has {corners} corners and needs three or more", corners=len(corners), where=where
        )
    for number, corner in enumerate(corners, 1):
        _finite(corner, 2, f"{where}, corner {number}")
    loop = np.array(corners, dtype=np.float64)
    edges = np.roll(loop, -1, axis=0) - loop
    shortest = np.linalg.norm(edges, axis=1)
    if shortest.min() < 1e-6:
        number = int(shortest.argmin()) + 1
        raise BadInput(
            "corner {number} is given twice; name each corner once", number=number, where=where
        )
    for one in range(len(loop)):
        for other in range(one + 1, len(loop)):
            if _cross(loop, one, other):
                raise BadInput(
                    "the side from corner {one} crosses or touches the side from corner {other}; "
                    "list the corners in order around the floor",
                    one=one + 1,
                    other=other + 1,
                    where=where,
                )


def _cross(loop: Floats, one: int, other: int) -> bool:
    """True where two sides of a closed loop meet anywhere but in a shared corner."""
    count = len(loop)
    a, b, c, d = (loop[k % count] for k in (one, one + 1, other, other + 1))
    if other in (one + 1, one + count - 1):
        shared, p, q = (b, a, d) if other == one + 1 else (a, b, c)
        u, v = p - shared, q - shared
        scale = sqrt(float(u @ u) * float(v @ v))
        return bool(abs(_turn(shared, p, q)) < 1e-9 * scale and u @ v > 0)
    apart = _turn(a, b, c) * _turn(a, b, d) > 0 or _turn(c, d, a) * _turn(c, d, b) > 0
    low, high = np.minimum(a, b), np.maximum(a, b)
    boxes_apart = bool((np.maximum(c, d) < low).any() or (np.minimum(c, d) > high).any())
    return not apart and not boxes_apart


def _turn(a: Floats, b: Floats, c: Floats) -> float:
    return float((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))


def _check_shape(shape: Shape, name: str) -> None:
    match shape:
        case Lining():
            _positive_all(shape.size, 2, f"{name}, size")
            _direction(shape.facing, f"{name}, facing")
        case Plate():
            _positive_all(shape.size, 2, f"{name}, size")
            _positive(shape.thickness, f"{name}, thickness")
            _direction(shape.facing, f"{name}, facing")
        case Basket():
            _positive_all(shape.size, 3, f"{name}, size")
            _direction(shape.facing, f"{name}, facing")
        case Rod():
            _positive(shape.diameter, f"{name}, diameter")
            _positive(shape.length, f"{name}, length")
            _direction(shape.axis, f"{name}, axis")
        case Ring():
            _check_ring(shape, name)
        case BentWire():
            _positive(shape.diameter, f"{name}, diameter")
            _check_line(shape.points, name)
            return
        case MeshShape():
            _finite(shape.rotation, 3, f"{name}, rotation")
            if not len(shape.mesh.triangles):
                raise BadInput("holds no triangles", where=quoting("{name}, mesh", name=name))
    _finite(shape.at, 3, f"{name}, at")


def _check_ring(shape: Ring, name: str) -> None:
    for key in ("inner_diameter", "outer_diameter", "thickness"):
        _positive(getattr(shape, key), f"{name}, {key}")
    _direction(shape.facing, f"{name}, facing")
    if shape.inner_diameter >= shape.outer_diameter:
        raise BadInput(
            "the hole of {inner_diameter} leaves nothing of a ring of {outer_diameter}",
            inner_diameter=length(shape.inner_diameter),
            outer_diameter=length(shape.outer_diameter),
            where=quoting("{name}, {key}", name=name, key="inner_diameter"),
        )


def _check_line(points: Sequence[Iterable[float]], name: str) -> None:
    if len(points) < 2:
        raise BadInput(
            "a wire needs two points, not {points}",
            points=len(points),
            where=quoting("{name}, {key}", name=name, key="points"),
        )
    for number, point in enumerate(points, 1):
        _finite(point, 3, f"{name}, point {number}")
    steps = np.linalg.norm(np.diff(np.array(points, dtype=np.float64), axis=0), axis=1)
    if steps.min() <= 0:
        raise BadInput(
            "points {first} and {second} are one",
            first=steps.argmin() + 1,
            second=steps.argmin() + 2,
            where=quoting("{name}, {key}", name=name, key="points"),
        )


def _check_part(part: PlacedPart, name: str) -> None:
    _finite(part.at, 3, f"{name}, at")
    _finite(part.rotation, 3, f"{name}, rotation")
    if part.coat is not None:
        _check_coat(part.coat, f"{name}, coat")
    if part.mass is not None:
        _positive(part.mass, f"{name}, mass")


def _check_coat(coat: SeedCoat, name: str) -> None:
    _positive(coat.sheet_resistance.low, f"{name}, sheet_resistance")
    _positive(coat.across_over_along, f"{name}, across_over_along")
    for number, region in enumerate(coat.regions, 1):
        if region.sheet_resistance is not None:
            _positive(region.sheet_resistance.low, f"{name}, region {number}, sheet_resistance")


def _check_contact(contact: ContactSpec, parts: int, name: str) -> None:
    _finite(contact.near, 3, f"{name}, near")
    _positive(contact.wire_diameter, f"{name}, wire_diameter")
    if contact.wire_diameter > THICKEST_WIRE_M:
        raise BadInput(
            "a wire of {diameter} is thicker than {thickest}, and no wire to hang a part on: is "
            "the unit right?",
            diameter=Quantity(contact.wire_diameter, "mm"),
            thickest=Quantity(THICKEST_WIRE_M, "mm"),
            where=f"{name}, wire_diameter",
        )
    for number, point in enumerate(contact.via, 1):
        _finite(point, 3, f"{name}, via point {number}")
    if len(contact.via) > 1:
        _check_line(contact.via, name)
    if contact.part is not None and not 1 <= contact.part <= parts:
        raise BadInput(
            "holds part {part}, but the cell has {parts}",
            part=contact.part,
            parts=said_of("{count} part", "{count} parts", count=parts)
            if parts
            else said("no parts"),
            where=quoting("{name}, {key}", name=name, key="part"),
        )
    if parts == 0:
        raise BadInput("holds a part, but the cell has no part", where=name)


def _positive(value: float, where: str) -> None:
    if not isfinite(value):
        raise BadInput("{value} is not a finite number", value=value, where=where)
    if value <= 0:
        raise BadInput("{value:g} must be above zero", value=value, where=where)


def _positive_all(values: Iterable[float], count: int, where: str) -> None:
    _finite(values, count, where)
    for value in values:
        _positive(value, where)


def _finite(values: Iterable[float], count: int, where: str) -> None:
    given = tuple(values)
    if len(given) != count:
        raise BadInput(
            "needs {count} numbers, not {given}", count=count, given=len(given), where=where
        )
    for value in given:
        if not isfinite(value):
            raise BadInput("{value} is not a finite number", value=value, where=where)


def _direction(values: Iterable[float], where: str) -> None:
    given = tuple(values)
    _finite(given, 3, where)
    if not any(given):
        raise BadInput("a direction must not be [0, 0, 0]", where=where)
