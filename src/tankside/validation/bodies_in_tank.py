"""Bodies that hang in a tank: the back of a plate, a wire beside a part, a cup with a thin wall.

    plate  a plate of finite thickness before an anode: its front, edge and back
    pair   a thin wire before a plate, both cathodes on one bar: how much the wire takes
    cup    an open cup whose wall is a fifth of a panel thick: outside, inside, floor

Plate and pair are plane problems, solved as prisms; the cup is one of revolution, solved as a half
body. The expected values are those of quadratic finite elements in the plane, which the tests
compute anew. Polarisation is linear or Butler-Volmer, as in a copper bath.
"""

from functools import cache
from itertools import product
from math import pi

import numpy as np

from tankside.base.arrays import Floats
from tankside.validation.cases import quantity
from tankside.validation.cells import (
    ANODE,
    CATHODE,
    CONDUCTIVITY,
    WALL,
    DrawnCell,
    Electrolysis,
    disc,
    electrodes_of,
    floor,
    polygon,
    rectangle,
    spaced,
    turned,
    upright,
)

TANK_HALF, TANK_LENGTH = 50e-3, 80e-3
"""Half width of the plane tank, and from its back wall to the anode's [m]."""
PLATE_HALF, PLATE_THICKNESS, PLATE_AT = 20e-3, 2e-3, 30e-3
"""The plate's half width, its thickness, and its back's distance from the back wall [m]."""
WIRE = CATHODE + 1
WIRE_RADIUS, WIRE_SIDES, WIRE_AT, WIRE_BOX = 0.5e-3, 16, 10e-3, 4e-3
"""A wire of 16 flat sides, its distance from the plate, half the square meshed around it [m]."""
PAIR_HALF, PAIR_LENGTH = 20e-3, 40e-3
"""Half width of the plate that fills one wall of the pair's cell, and the anode's distance [m]."""
CUP_RADIUS, CUP_HEIGHT, CUP_WALL = 20e-3, 40e-3, 0.6e-3
CUP_TANK_RADIUS, CUP_TANK_ENDS = 50e-3, (-30e-3, 80e-3)
"""Outside of the cup, its wall, and its tank [m]; the side of the tank is the anode."""
MEAN = 200.0
"""Mean current density over the cathodes [A m⁻²]."""


@quantity("plate: relative current")
def plate_current(kinetics: str, where: str) -> float:
    """Mean over "front", "edge", "back" or the outer 4 mm of the front ("rim"), over the mean on
    the whole plate [-]."""
    field = _plate(kinetics)
    whole = field.mean("front", "edge", "back")
    if where == "rim":
        return field.mean_between("front", 0.0, 4e-3 / PLATE_HALF) / whole
    return field.mean(where) / whole


@quantity("pair: wire's share")
def wire_share(kinetics: str) -> float:
    """Of the current, before a plate [-]."""
    field = _pair(kinetics)
    return field.current("wire") / field.current("wire", "plate")


@quantity("cup: relative current")
def cup_current(kinetics: str, where: str) -> float:
    """Mean over "outside", "base", "inside" or "floor of the cup", over the mean on the whole cup
    [-]."""
    field = _cup(kinetics)
    return field.mean(where) / field.mean("outside", "base", "inside", "floor of the cup", "rim")


@cache
def _plate(kinetics: str) -> Electrolysis:
    height = 8e-3
    area = 2 * (2 * PLATE_HALF + PLATE_THICKNESS) * height / 2
    return _electrolysed(_plate_cell(height), kinetics, area)


@cache
def _pair(kinetics: str) -> Electrolysis:
    height = 6e-3
    return _electrolysed(_pair_cell(height), kinetics, 2 * PAIR_HALF * height, (CATHODE, WIRE))


@cache
def _cup(kinetics: str) -> Electrolysis:
    area = pi * CUP_RADIUS * (CUP_RADIUS + CUP_HEIGHT)
    return _electrolysed(_cup_cell(), kinetics, area)


def _electrolysed(
    cell: DrawnCell, kinetics: str, area: float, cathodes: tuple[int, ...] = (CATHODE,)
) -> Electrolysis:
    return cell.electrolysed(
        electrodes_of(kinetics, cathodes=cathodes),
        conductivity=CONDUCTIVITY,
        total_current=MEAN * area,
    )


def _plate_cell(height: float) -> DrawnCell:
    """Half of the tank, x from the plate's middle plane; the anode fills the wall y = length."""
    half, wide, long = PLATE_HALF, TANK_HALF, TANK_LENGTH
    back, front = PLATE_AT, PLATE_AT + PLATE_THICKNESS
    coarse, fine = 4e-3, 0.4e-3
    inner, outer = spaced(half, 2.5e-3, end=fine), spaced(wide - half, coarse, start=fine)
    below, edge = spaced(back, coarse, end=fine), spaced(PLATE_THICKNESS, fine)
    above = spaced(long - front, coarse, start=fine)
    z = -height + height * spaced(height, 2e-3)
    faces = (
        upright("front", CATHODE, (half, front), (0, front), 1 - inner[::-1], z),
        upright("edge", CATHODE, (half, back), (half, front), edge, z),
        upright("back", CATHODE, (0, back), (half, back), inner, z),
        upright("wall", WALL, (wide, 0), (0, 0), spaced(wide, coarse), z),
        upright("wall", WALL, (0, 0), (0, back), below, z),
        upright("wall", WALL, (0, front), (0, long), above, z),
        upright("anode", ANODE, (0, long), (wide, long), spaced(wide, coarse), z),
        upright("wall", WALL, (wide, long), (wide, 0), spaced(long, coarse), z),
        floor(rectangle(0, half, 0, back), inner, below, height),
        floor(rectangle(half, wide, 0, back), outer, below, height),
        floor(rectangle(half, wide, back, front), outer, edge, height),
        floor(rectangle(0, half, front, long), inner, above, height),
        floor(rectangle(half, wide, front, long), outer, above, height),
    )
    return DrawnCell(faces=faces)


def wire_outline() -> tuple[Floats, Floats]:
    """Corners (n, 2) of the wire, and points on the square around it that they face [m]."""
    corners = polygon(WIRE_RADIUS, WIRE_SIDES)
    square = corners * (WIRE_BOX / np.abs(corners).max(axis=1, keepdims=True))
    middle = np.array([0.0, WIRE_AT])
    return corners + middle, square + middle


def _pair_cell(height: float) -> DrawnCell:
    """The plate fills the wall y = 0, the anode the wall y = length; the wire at x = 0."""
    wide, long, coarse = PAIR_HALF, PAIR_LENGTH, 2.5e-3
    z, one = -height + height * spaced(height, 1.5e-3), np.array([0.0, 1.0])
    across, along = spaced(2 * wide, 2e-3), spaced(long, coarse)
    faces = [
        upright("plate", CATHODE, (wide, 0), (-wide, 0), across, z),
        upright("wall", WALL, (-wide, 0), (-wide, long), along, z),
        upright("anode", ANODE, (-wide, long), (wide, long), across, z),
        upright("wall", WALL, (wide, long), (wide, 0), along, z),
    ]
    wire, square = wire_outline()
    outward = spaced(WIRE_BOX - WIRE_RADIUS, 1.5e-3, start=0.2e-3)
    for k in range(WIRE_SIDES):
        a, b = wire[k], wire[(k + 1) % WIRE_SIDES]
        c, d = square[(k + 1) % WIRE_SIDES], square[k]
        faces.append(upright("wire", WIRE, a, b, one, z))
        faces.append(floor((a, d, c, b), outward, one, height))
    xs = (-wide, -WIRE_BOX, WIRE_BOX, wide)
    ys = (0.0, WIRE_AT - WIRE_BOX, WIRE_AT + WIRE_BOX, long)
    for i, j in product(range(3), range(3)):
        if (i, j) != (1, 1):
            u, v = (spaced(ends[1] - ends[0], coarse) for ends in (xs[i : i + 2], ys[j : j + 2]))
            faces.append(floor(rectangle(xs[i], xs[i + 1], ys[j], ys[j + 1]), u, v, height))
    return DrawnCell(faces=tuple(faces))


def _cup_cell() -> DrawnCell:
    """The cup stands on end along x, its mouth at x = CUP_HEIGHT; the lower half."""
    inner, height, sides = CUP_RADIUS - CUP_WALL, CUP_HEIGHT, 48
    left, right = CUP_TANK_ENDS
    along = spaced(height - CUP_WALL, 5 * CUP_WALL)
    faces = (
        turned("outside", CATHODE, (height, CUP_RADIUS), (0, CUP_RADIUS), along, sides),
        disc("base", CATHODE, 0.0, CUP_RADIUS, sides, upstream=True),
        turned("inside", CATHODE, (CUP_WALL, inner), (height, inner), along, sides),
        disc("floor of the cup", CATHODE, CUP_WALL, inner, sides, upstream=False),
        turned("rim", CATHODE, (height, inner), (height, CUP_RADIUS), np.array([0.0, 1.0]), sides),
        turned(
            "anode", ANODE, (left, CUP_TANK_RADIUS), (right, CUP_TANK_RADIUS),
            spaced(right - left, 6e-3), 32,
        ),
        disc("wall", WALL, left, CUP_TANK_RADIUS, 32, upstream=False),
        disc("wall", WALL, right, CUP_TANK_RADIUS, 32, upstream=True),
    )  # fmt: skip
    return DrawnCell(faces=faces)
