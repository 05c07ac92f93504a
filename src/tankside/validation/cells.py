"""Cells whose boundary is drawn by hand, for cases with an answer from elsewhere.

A cell is a list of faces, each a grid of triangles on a mapped rectangle, with a name to average
over and the group (body) that it belongs to; normals point into the solution. Plane problems are
prisms between an insulating floor and the liquid's surface, where nothing changes along the height;
problems of revolution are half bodies, their axis in the liquid's surface.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import ceil, pi, sin, sqrt

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.constants import thermal_voltage
from tankside.base.errors import BadInput
from tankside.field.kinetics import ButlerVolmer, LinearPolarisation
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, ElectrodeLaw, FieldProblem, FieldSolution
from tankside.field.solve import solve

WALL, ANODE, CATHODE = 0, 1, 2
"""Group numbers; further bodies count on from here."""

CONDUCTIVITY = 20.0
"""Of the solution in these cells [S m⁻¹]."""
CATHODE_RESISTANCE, ANODE_RESISTANCE = 3e-4, 1e-5
"""Of linear polarisation [ohm m²]: a Wagner number of 0.6 on a centimetre."""
CATHODE_EXCHANGE, ANODE_EXCHANGE = 20.0, 100.0
"""Of Butler-Volmer kinetics with alpha_c = 0.5 and alpha_a = 1.5 [A m⁻²]."""
TEMPERATURE = 298.15
"""[K]"""

Mapping = Callable[[Floats, Floats], Floats]
"""From two parameters (k,) to points (k, 3) [m]."""


Electrodes = tuple[Electrode, ...]

Point = tuple[float, float] | Floats
"""Two coordinates [m]."""


@dataclass(frozen=True, kw_only=True)
class Face:
    """Triangles (n, 3, 3) [m] of one name and group, in columns between the `stops` of the first
    parameter; `column` (n,) counts from 0."""

    name: str
    group: int
    corners: Floats
    stops: Floats
    column: Ints


def electrodes_of(kinetics: str, *, cathodes: tuple[int, ...] = (CATHODE,)) -> Electrodes:
    """Anode and cathodes with "linear" or "butler-volmer" polarisation, as a copper bath has."""
    if kinetics == "linear":
        cathode: ElectrodeLaw = LinearPolarisation(resistance=CATHODE_RESISTANCE)
        anode: ElectrodeLaw = LinearPolarisation(resistance=ANODE_RESISTANCE)
    elif kinetics == "butler-volmer":
        cathode, anode = butler_volmer(CATHODE_EXCHANGE), butler_volmer(ANODE_EXCHANGE)
    else:
        raise BadInput(
            "kinetics must be 'linear' or 'butler-volmer', not {kinetics!r}", kinetics=kinetics
        )
    return (
        Electrode(group=ANODE, anode=True, law=anode),
        *(Electrode(group=group, anode=False, law=cathode) for group in cathodes),
    )


def butler_volmer(exchange: float) -> ButlerVolmer:
    """Copper's two transfer coefficients at 25 °C, with an exchange current density [A m⁻²]."""
    return ButlerVolmer(
        exchange_current_density=exchange,
        cathodic_transfer=0.5,
        anodic_transfer=1.5,
        thermal_voltage=thermal_voltage(TEMPERATURE),
    )


def mapped(name: str, group: int, mapping: Mapping, u: Floats, v: Floats) -> Face:
    """The face over the grid u by v; its normal is that of d/du x d/dv. Triangles that the mapping
    shrinks to nothing are left out."""
    grid_u, grid_v = np.meshgrid(u, v, indexing="ij")
    points = mapping(grid_u.ravel(), grid_v.ravel()).reshape(len(u), len(v), 3)
    a, b, c, d = (
        corner.reshape(-1, 3)
        for corner in (points[:-1, :-1], points[1:, :-1], points[1:, 1:], points[:-1, 1:])
    )
    row, line = np.divmod(np.arange(len(a)), len(v) - 1)
    even = ((row + line) % 2 == 0)[:, None, None]
    first = np.where(even, np.stack([a, b, c], 1), np.stack([a, b, d], 1))
    second = np.where(even, np.stack([a, c, d], 1), np.stack([b, c, d], 1))
    corners = np.concatenate([first, second])
    sides = corners[:, 1:] - corners[:, :1]
    doubled = np.linalg.norm(np.cross(sides[:, 0], sides[:, 1]), axis=1)
    kept = doubled > 1e-9 * doubled.max()
    return Face(
        name=name, group=group, corners=corners[kept],
        stops=u, column=np.concatenate([row, row])[kept],
    )  # fmt: skip


def disc(name: str, group: int, x: float, radius: float, sides: int, *, upstream: bool) -> Face:
    """The lower half (z < 0) of a disc across the x axis, with sides / 2 edges on its rim; its
    normal points along +x, or along -x where `upstream`. Squares are bent onto the disc ring by
    ring, which keeps triangles of even size."""
    count = sides // 4
    edge = np.linspace(-1.0, 1.0, count + 1)
    rings = np.linspace(-1.0, 0.0, count // 2 + 1)

    def position(s: Floats, t: Floats) -> Floats:
        reach = np.maximum(np.abs(s), np.abs(t))
        safe = np.where(reach > 0, reach, 1.0)
        angle = np.where(
            np.abs(t) >= np.abs(s),
            np.arctan2(-1.0, 0.0) + np.pi / 4 * s / safe,
            np.where(s > 0, np.pi / 4 * t / safe, -np.pi - np.pi / 4 * t / safe),
        )
        rim = radius * _equal_area(sides) * reach
        return np.stack([np.full_like(s, x), rim * np.cos(angle), rim * np.sin(angle)], 1)

    if upstream:
        return mapped(name, group, lambda s, t: position(t, s), rings, edge)
    return mapped(name, group, position, edge, rings)


def turned(
    name: str,
    group: int,
    start: Point,
    end: Point,
    stops: Floats,
    sides: int,
) -> Face:
    """The lower half (z < 0) of what the segment from `start` to `end`, both (x, radius), sweeps
    about the x axis, with `sides` edges on a full turn. Its normal points to the right of the
    segment in the (x, radius) plane: to the axis where the segment runs along +x."""
    scale = _equal_area(sides)
    angles = np.linspace(-pi, 0.0, sides // 2 + 1)

    def position(s: Floats, t: Floats) -> Floats:
        x = start[0] + (end[0] - start[0]) * s
        radius = scale * (start[1] + (end[1] - start[1]) * s)
        return np.stack([x, radius * np.cos(t), radius * np.sin(t)], 1)

    return mapped(name, group, position, stops, angles)


def upright(
    name: str,
    group: int,
    start: Point,
    end: Point,
    stops: Floats,
    heights: Floats,
) -> Face:
    """The upright face over the segment from `start` to `end`, both (x, y), between the floor and
    the liquid's surface at z = 0. Its normal points to the right of the segment, seen from above.
    """

    def position(s: Floats, z: Floats) -> Floats:
        x = start[0] + (end[0] - start[0]) * s
        return np.stack([x, start[1] + (end[1] - start[1]) * s, z], 1)

    return mapped(name, group, position, stops, heights)


def rectangle(left: float, right: float, low: float, high: float) -> tuple[Point, ...]:
    """Its corners (x, y), anticlockwise."""
    return (left, low), (right, low), (right, high), (left, high)


def floor(corners: Iterable[Point], u: Floats, v: Floats, depth: float) -> Face:
    """Four-sided piece of the insulating floor at z = -depth; corners (x, y) anticlockwise seen
    from above, u along the first side."""
    a, b, c, d = (np.array([x, y, -depth]) for x, y in corners)

    def position(s: Floats, t: Floats) -> Floats:
        out: Floats = np.outer((1 - s) * (1 - t), a) + np.outer(s * (1 - t), b)
        out += np.outer(s * t, c) + np.outer((1 - s) * t, d)
        return out

    return mapped("floor", WALL, position, u, v)


def polygon(radius: float, sides: int) -> Floats:
    """Corners (sides, 2) of the regular figure of a circle's area about the origin [m],
    anticlockwise from the x axis."""
    angles = np.arange(sides) * (2 * pi / sides)
    corners: Floats = radius * _equal_area(sides) * np.stack([np.cos(angles), np.sin(angles)], 1)
    return corners


def _equal_area(sides: int) -> float:
    """Radius of a many-sided figure's corners, over that of the circle of equal area."""
    return sqrt(2 * pi / sides / sin(2 * pi / sides))


def spaced(length: float, coarse: float, start: float = 0.0, end: float = 0.0) -> Floats:
    """Stops from 0 to 1 on a side of `length` [m], about `coarse` [m] apart, growing by half from
    `start` [m] at its start and `end` [m] at its end where those are given."""
    if start and end:
        low = _growing(length / 2, coarse, start)
        high = length - _growing(length / 2, coarse, end)[-2::-1]
        return np.concatenate([low, high]) / length
    if start:
        return _growing(length, coarse, start) / length
    if end:
        return 1.0 - _growing(length, coarse, end)[::-1] / length
    return np.linspace(0.0, 1.0, max(1, ceil(length / coarse - 1e-9)) + 1)


def _growing(length: float, coarse: float, first: float) -> Floats:
    steps = [first]
    while sum(steps) < length:
        steps.append(min(1.5 * steps[-1], coarse))
    edges = np.concatenate([[0.0], np.cumsum(steps)])
    return np.asarray(edges * (length / edges[-1]))


@dataclass(frozen=True, kw_only=True)
class DrawnCell:
    """Faces of a closed boundary; the liquid's surface, if any, at z = mirror_level."""

    faces: tuple[Face, ...]
    mirror_level: float | None = 0.0

    def panels(self) -> Panels:
        """All triangles, face by face."""
        return Panels(
            corners=np.concatenate([face.corners for face in self.faces]),
            group=np.concatenate([np.full(len(face.corners), face.group) for face in self.faces]),
            mirror_level=self.mirror_level,
        )

    def electrolysed(
        self, electrodes: Electrodes, *, conductivity: float, total_current: float
    ) -> "Electrolysis":
        """The field at a total current [A]."""
        problem = FieldProblem(
            panels=self.panels(), electrodes=electrodes,
            conductivity=conductivity, total_current=total_current,
        )  # fmt: skip
        return Electrolysis(cell=self, solution=solve(problem))


@dataclass(frozen=True, kw_only=True)
class Electrolysis:
    """A solution, read face by face."""

    cell: DrawnCell
    solution: FieldSolution

    def current(self, *names: str) -> float:
        """Current that enters the faces of these names [A], positive in deposition."""
        return sum(float(currents.sum()) for _, currents, _ in self._on(names))

    def area(self, *names: str) -> float:
        """Their area [m²]."""
        return sum(float(areas.sum()) for _, _, areas in self._on(names))

    def mean(self, *names: str) -> float:
        """Current density averaged over their area [A m⁻²]."""
        return self.current(*names) / self.area(*names)

    def mean_between(self, name: str, start: float, end: float) -> float:
        """Current density averaged between two values of a face's first parameter [A m⁻²]: the
        current summed column by column, linear in between."""
        (face, currents, areas), *others = self._on((name,))
        if others:
            raise ValueError(f"several faces are named {name!r}")
        count = len(face.stops) - 1
        sums = [np.bincount(face.column, values, count) for values in (currents, areas)]
        current, area = (
            np.diff(np.interp([start, end], face.stops, np.concatenate([[0.0], np.cumsum(values)])))
            for values in sums
        )
        return float(current[0] / area[0])

    def _on(self, names: tuple[str, ...]) -> list[tuple[Face, Floats, Floats]]:
        """Face, currents [A] and areas [m²] of its panels."""
        areas = self.solution.problem.panels.areas
        currents = areas * self.solution.current_density
        ends = np.cumsum([len(face.corners) for face in self.cell.faces])
        found = [
            (face, currents[end - len(face.corners) : end], areas[end - len(face.corners) : end])
            for face, end in zip(self.cell.faces, ends, strict=True)
            if face.name in names
        ]
        if len({face.name for face, _, _ in found}) < len(set(names)):
            raise KeyError(f"the cell lacks one of the faces {names}")
        return found
