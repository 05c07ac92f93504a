"""Where an anode hangs: from which side it faces the parts, how far, and how much of it.

It looks at the middle of all parts from a bearing and an elevation; its distance runs from just off
the parts' box to the nearest wall, floor or surface on that way. A sheet can be tilted and cut down
to a third of its width and height; baskets and rods stay upright and whole.
"""

from dataclasses import dataclass, replace

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.messages import said
from tankside.cell.description import Basket, CellDescription, Plate, Rod, Shape
from tankside.plan.rigs.freedom import (
    CLEARANCE,
    Variable,
    parts_box,
    plain_features,
    share_of,
    shared,
    tank_box,
)
from tankside.plan.rigs.rig import STEP_M, Rig, settable

NEAREST = 0.012
"""The nearest approach of what is moved to the box of the parts [m]: our choice; nearer, and a part
that swings on its wires touches it."""

SMALLEST_SHARE = 1 / 3

_LEVEL = 0.05
"""A way that climbs less than this is level: then height is not what stops it [-]."""


@dataclass(frozen=True, kw_only=True)
class AnodeFreedom:
    """Anode `number` may hang elsewhere; a `sheet` may be tilted and cut."""

    number: int
    sheet: bool

    @property
    def name(self) -> str:
        """Which anode's place."""
        return said("place of anode {number}", number=self.number)

    @property
    def variables(self) -> tuple[Variable, ...]:
        """Bearing, elevation, distance; width and height of a sheet."""
        sizes = (
            Variable(name="width", low=SMALLEST_SHARE, high=1.0, unit="share of the sheet"),
            Variable(name="tallness", low=SMALLEST_SHARE, high=1.0, unit="share of the sheet"),
        )
        return (*AROUND, *(sizes if self.sheet else ()))

    def own(self, rig: Rig) -> Floats:
        """Where the anode hangs, whole."""
        description = rig.description
        shape = description.anodes[self.number - 1]
        low, high = parts_box(description)
        out = np.array(getattr(shape, "at", high)) - (low + high) / 2
        bearing = float(np.degrees(np.arctan2(out[1], out[0])))
        elevation = float(np.degrees(np.arctan2(out[2], np.hypot(out[0], out[1]))))
        way = Way.of(description, bearing, elevation, shape)
        share = share_of(way.near, way.far, float(out @ way.outward))
        return np.array([bearing, elevation, share] + [1.0, 1.0] * self.sheet)

    def applied(self, values: Floats, rig: Rig) -> Rig:
        """Hung there, facing the parts."""
        description = rig.description
        shape = description.anodes[self.number - 1]
        if self.sheet and isinstance(shape, Plate):
            shape = _cut(shape, values[3], values[4])
        anodes = list(description.anodes)
        anodes[self.number - 1] = placed_around(description, shape, *values[:3].tolist())
        return replace(rig, description=replace(description, anodes=tuple(anodes)))

    def features(self, values: Floats) -> Floats:
        """Bearing, elevation, distance, sizes."""
        return plain_features(self.variables, values)


AROUND = (
    Variable(name="bearing", low=-180.0, high=180.0, unit="degrees", circular=True),
    Variable(name="elevation", low=-90.0, high=90.0, unit="degrees"),
    Variable(name="distance", low=0.0, high=1.0, unit="share of the room"),
)
"""The variables of `placed_around`."""


_FACING_DIGITS = 3
"""Decimals of a facing's components in a job file."""


@dataclass(frozen=True, kw_only=True)
class Way:
    """The way from the parts' middle outwards: middle (3,) [m], unit direction (3,), distances of a
    body's centre just off the parts and at the walls [m], and the lowest and highest place (3,) of
    the centre in the tank [m]."""

    middle: Floats
    outward: Floats
    near: float
    far: float
    least: Floats
    most: Floats

    def place(self, distance: float) -> Floats:
        """At a distance [m], moved sideways where a wide body would reach through a wall."""
        straight = self.middle + distance * self.outward
        fits = self.least <= self.most
        return np.where(fits, np.clip(straight, self.least, self.most), straight)

    @classmethod
    def of(
        cls, description: CellDescription, bearing: float, elevation: float, shape: Shape
    ) -> "Way":
        """For a body that looks at the middle from a bearing and an elevation [degrees]."""
        low, high = parts_box(description)
        middle = (low + high) / 2
        around, up = np.radians(bearing), np.radians(elevation)
        outward = np.array([np.cos(around) * np.cos(up), np.sin(around) * np.cos(up), np.sin(up)])
        half, deep = half_box(shape, _as_set(outward))
        floor, ceiling = tank_box(description.tank)
        least = np.append(floor, 0.0) + half + CLEARANCE
        most = np.append(ceiling, description.liquid_depth) - half - CLEARANCE
        room = np.where(outward > 0, most - middle, middle - least)
        steep = np.abs(outward) > np.array([1e-9, 1e-9, _LEVEL])
        far = float(np.min(room[steep] / np.abs(outward[steep])))
        near = float(np.abs(outward) @ (high - low) / 2) + NEAREST + deep
        return cls(
            middle=middle, outward=outward, near=min(near, far), far=far, least=least, most=most
        )


def placed_around(
    description: CellDescription, shape: Shape, bearing: float, elevation: float, distance: float
) -> Shape:
    """A body that looks at the parts from a bearing and an elevation [degrees], at a distance that
    is a share of the room."""
    way = Way.of(description, bearing, elevation, shape)
    place = settable(way.place(shared(way.near, way.far, distance)))
    x, y, z = (-np.round(way.outward, _FACING_DIGITS)).tolist()
    if isinstance(shape, Plate):
        return replace(shape, at=place, facing=(x, y, z))
    if isinstance(shape, Basket):
        return replace(shape, at=place, facing=(x, y, 0.0) if x or y else shape.facing)
    return replace(shape, at=place) if isinstance(shape, Rod) else shape


def _as_set(outward: Floats) -> Floats:
    """A way as a job file will have it: what is all but upright is upright there, and a sheet that
    faces it lies otherwise than one that faces the slightest tilt."""
    rounded = np.round(outward, _FACING_DIGITS)
    return np.asarray(rounded / np.linalg.norm(rounded))


def half_box(shape: Shape, outward: Floats) -> tuple[Floats, float]:
    """Half the size (3,) of the box of a body that faces inwards along a way, and half its own
    depth along it [m]."""
    across = np.array([-outward[1], outward[0], 0.0])
    level = float(np.linalg.norm(across))
    across = across / level if level > 1e-9 else np.array([1.0, 0.0, 0.0])
    match shape:
        case Plate():
            sides = (shape.thickness, *shape.size)
            axes = np.array([outward, across, np.cross(outward, across)])
        case Basket() | Rod():
            sides = shape.size if isinstance(shape, Basket) else _of_rod(shape)
            ahead = np.array([across[1], -across[0], 0.0])
            axes = np.array([ahead, across, [0.0, 0.0, 1.0]])
        case _:
            return np.zeros(3), 0.0
    half = np.abs(axes).T @ np.array(sides) / 2
    return half, float(np.abs(axes @ outward) @ np.array(sides)) / 2


def can_move(shape: Shape) -> bool:
    """Sheets and baskets, and rods that hang upright."""
    if isinstance(shape, Rod):
        return abs(shape.axis[0]) + abs(shape.axis[1]) < 1e-9
    return isinstance(shape, Plate | Basket)


def _of_rod(rod: Rod) -> tuple[float, float, float]:
    return rod.diameter, rod.diameter, rod.length


def _cut(sheet: Plate, wide: float, tall: float) -> Plate:
    width, height = (
        max(STEP_M, round(side * share / STEP_M) * STEP_M)
        for side, share in zip(sheet.size, (wide, tall), strict=True)
    )
    return replace(sheet, size=(width, height))
