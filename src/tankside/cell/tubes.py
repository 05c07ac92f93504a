"""Wires as surfaces: a six-sided tube along a line of points, of the round wire's perimeter.

Bends are mitred, so that every side stays flat and the side's area is the perimeter times the
axis's length. Sharp bends are first rounded off by cutting their corners twice. Rings of panels lie
close near the start, where a wire meets its part, and up to `stretch` times a side apart far from
it. What bends too sharply for its thickness is refused.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import pi, sin

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.errors import Impossible
from tankside.base.messages import Quantity
from tankside.cell.placing import unit
from tankside.cell.polyhedra import equal_perimeter_polygon
from tankside.part.mesh import TriangleMesh

WIRE_SIDES = 6
"""Sides of the polygon that stands for a round wire."""

_FIRST = 1.0
"""Distance of the first rings over the polygon's side [-]."""

_GROWTH = 0.15
"""Growth of the rings' distance with the way from the start [-]."""

_STRETCH = (4.0, 12.0)
"""Least and largest distance of rings, far from the start, over the polygon's side [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tube:
    """A line of points (n, 3) [m], at least two, and a diameter [m]; `open_end` where the line ends
    in the liquid's surface, upright."""

    axis: Floats
    diameter: float
    open_end: bool

    @property
    def length(self) -> float:
        """Of the axis [m]."""
        return float(np.linalg.norm(np.diff(self.axis, axis=0), axis=1).sum())

    @property
    def side(self) -> float:
        """Side of the section [m]."""
        return pi * self.diameter / WIRE_SIDES

    @property
    def reach(self) -> float:
        """Farthest corner of the section from the axis [m]."""
        return self.side / (2 * sin(pi / WIRE_SIDES))


def tube_surface(tube: Tube, stretch: float) -> TriangleMesh:
    """The tube's surface, normals outward; open at the end where `open_end`."""
    rings = _rings(tube, _stations(tube, stretch))
    count = len(rings)
    points = rings.reshape(-1, 3)
    triangles = [_side_triangles(count), _cap(0, len(points), first=True)]
    points = np.concatenate([points, rings[:1].mean(axis=1)])
    if not tube.open_end:
        triangles.append(_cap((count - 1) * WIRE_SIDES, len(points), first=False))
        points = np.concatenate([points, rings[-1:].mean(axis=1)])
    return TriangleMesh(vertices=points, triangles=np.concatenate(triangles))


def stretch_for(tubes: Sequence[Tube], budget: int) -> float:
    """Distance of rings over a side, far from the start, with which the tubes have about `budget`
    panels; within _STRETCH."""
    low, high = _STRETCH

    def panels(stretch: float) -> int:
        return 2 * WIRE_SIDES * sum(len(_stations(tube, stretch)) for tube in tubes)

    if panels(low) <= budget:
        return low
    for _ in range(20):
        middle = (low + high) / 2
        low, high = (middle, high) if panels(middle) > budget else (low, middle)
    return high


def rounded(points: Floats, diameter: float, name: str) -> Floats:
    """The line with every bend above 50 degrees cut twice; refuses bends without room."""
    for reach in (1.5 * diameter, 0.5 * diameter):
        kept = [points[0]]
        for before, here, after in zip(points, points[1:], points[2:], strict=False):
            one, two = unit(here - before), unit(after - here)
            if one @ two > np.cos(np.deg2rad(50.0)):
                kept.append(here)
                continue
            room = 0.4 * float(min(np.linalg.norm(here - before), np.linalg.norm(after - here)))
            if room < reach / 3:
                raise Impossible(
                    "{name} bends sharply within {room}, which is too close for its diameter of "
                    "{diameter}; set its points farther apart",
                    name=name,
                    room=Quantity(room / 0.4, "mm"),
                    diameter=Quantity(diameter, "mm"),
                )
            kept += [here - min(room, reach) * one, here + min(room, reach) * two]
        points = np.array([*kept, points[-1]])
    return points


def _stations(tube: Tube, stretch: float) -> list[tuple[int, float]]:
    """(segment, share along it) of every ring."""
    found: list[tuple[int, float]] = []
    way = 0.0
    for number, (a, b) in enumerate(pairwise(tube.axis)):
        length = float(np.linalg.norm(b - a))
        share = np.linspace(0, 1, 65)
        step = np.minimum(
            _FIRST * tube.side + _GROWTH * (way + share * length), stretch * tube.side
        )
        count = np.concatenate([[0], np.cumsum(length / 64 * (1 / step[1:] + 1 / step[:-1]) / 2)])
        pieces = max(1, round(float(count[-1])))
        at = np.interp(np.arange(pieces) / pieces * count[-1], count, share)
        found += [(number, float(s)) for s in at]
        way += length
    return [*found, (len(tube.axis) - 2, 1.0)]


def _rings(tube: Tube, stations: Sequence[tuple[int, float]]) -> Floats:
    """Corners of every ring (rings, sides, 3) [m]."""
    joints = _joints(tube)
    rows = [joints[k] + share * (joints[k + 1] - joints[k]) for k, share in stations]
    return np.array(rows)


def _joints(tube: Tube) -> Floats:
    """Corners of the sections at the start, at each bend (mitred) and at the end."""
    ways = [unit(b - a) for a, b in pairwise(tube.axis)]
    section = equal_perimeter_polygon(tube.diameter, WIRE_SIDES)
    ring = tube.axis[0] + section @ _across(ways[0])
    joints = [ring]
    for number, way in enumerate(ways):
        point = tube.axis[number + 1]
        after = ways[number + 1] if number + 1 < len(ways) else way
        normal = unit(way + after)
        ring = ring + ((point - ring) @ normal / (way @ normal))[:, None] * way
        joints.append(ring)
    if tube.open_end:
        joints[-1][:, 2] = tube.axis[-1, 2]
    return np.array(joints)


def _across(way: Floats) -> Floats:
    """Two unit rows across a direction, right-handed with it."""
    helper = np.eye(3)[int(np.abs(way).argmin())]
    one = unit(np.cross(helper, way))
    return np.array([one, np.cross(way, one)])


def _side_triangles(count: int) -> Ints:
    rings, corners = np.meshgrid(np.arange(count - 1), np.arange(WIRE_SIDES), indexing="ij")
    a = (rings * WIRE_SIDES + corners).ravel()
    b = (rings * WIRE_SIDES + (corners + 1) % WIRE_SIDES).ravel()
    c, d = a + WIRE_SIDES, b + WIRE_SIDES
    slant = ((rings + corners) % 2 == 0).ravel()[:, None]
    one = np.where(slant, np.stack([a, b, d], axis=1), np.stack([a, b, c], axis=1))
    two = np.where(slant, np.stack([a, d, c], axis=1), np.stack([b, d, c], axis=1))
    return np.concatenate([one, two])


def _cap(start: int, centre: int, *, first: bool) -> Ints:
    here = start + np.arange(WIRE_SIDES)
    there = start + (np.arange(WIRE_SIDES) + 1) % WIRE_SIDES
    middle = np.full(WIRE_SIDES, centre)
    return np.stack([there, here, middle] if first else [here, there, middle], axis=1)
