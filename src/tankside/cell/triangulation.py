"""Triangulates a flat polygon with holes: every given point becomes a corner, every border holds.

Constrained Delaunay: ear clipping of the polygon's corners, then one point after another, each
followed by edge flips until no circle through three corners holds a fourth (Lawson 1977 in
principle). The border's edges are never flipped. Inner points may be relaxed towards the mean of
their neighbours, which evens out the triangles. It refuses nothing: the polygon has been checked by
its maker; a point that lies outside is an error of the caller and raises ValueError.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np

from tankside.base.arrays import Floats, Ints

_TURN = 1e-14
"""An orientation or in-circle value below this fraction of its scale counts as zero [-]."""


def triangulated(
    loops: Sequence[Floats], border: Sequence[Sequence[Floats]], inner: Floats, *, relaxations: int
) -> tuple[Floats, Ints]:
    """Points and triangles of a polygon.

    loops        outer loop anticlockwise, holes clockwise, each (k, 2) [m]: the corners
    border       per loop, per edge (from corner i to i + 1): points inside it, in order (m, 2)
    inner        points inside the polygon (m, 2)
    relaxations  rounds of smoothing of the inner points
    returns      points (n, 2): corners of all loops, then border points in order, then inner
                 points; and triangles (m, 3), anticlockwise.
    """
    corners = np.concatenate(list(loops))
    rows = [points for edges in border for points in edges]
    points = np.concatenate([corners, *[np.reshape(row, (-1, 2)) for row in rows], inner])
    net = _Net(points)
    net.start(_ear_clipped(loops))
    net.split_border(loops, border)
    first_inner = len(points) - len(inner)
    for number in _along_a_snake(points, first_inner):
        net.insert(int(number))
    for _ in range(relaxations if len(inner) else 0):
        net.relax(first_inner)
    return np.array(net.points), net.triangles()


def _ear_clipped(loops: Sequence[Floats]) -> Ints:
    import manifold3d

    found: Any = manifold3d.triangulate(
        [np.ascontiguousarray(loop) for loop in loops], allow_convex=False
    )
    return np.asarray(found, dtype=np.int64).reshape(-1, 3)


def _along_a_snake(points: Floats, first: int) -> Ints:
    """Numbers of the points from `first` on, row by row to and fro, so that neighbours follow."""
    inner = points[first:]
    if not len(inner):
        return np.zeros(0, dtype=np.int64)
    low, high = inner.min(axis=0), inner.max(axis=0)
    rows = max(1, int(np.sqrt(len(inner))))
    row = np.floor((inner[:, 1] - low[1]) / max(high[1] - low[1], 1e-300) * rows)
    along = np.where(row % 2 == 0, inner[:, 0], -inner[:, 0])
    return first + np.lexsort((along, row))


class _Net:
    """A triangulation as a table: (a, b) -> c for every triangle a, b, c and each of its edges."""

    def __init__(self, points: Floats) -> None:
        self.points: list[tuple[float, float]] = [(float(x), float(y)) for x, y in points]
        self.apex: dict[tuple[int, int], int] = {}

    def start(self, triangles: Ints) -> None:
        """Takes the first triangles, and flips them to Delaunay."""
        for a, b, c in triangles.tolist():
            self._add(a, b, c)
        self._flip_all()

    def split_border(self, loops: Sequence[Floats], border: Sequence[Sequence[Floats]]) -> None:
        """Puts the border's points, numbered after all corners, on the border's edges."""
        number = sum(len(loop) for loop in loops)
        first = 0
        for loop, edges in zip(loops, border, strict=True):
            count = len(loop)
            for k, inside in enumerate(edges):
                a, b = first + k, first + (k + 1) % count
                for _ in range(len(inside)):
                    self._split_edge(a, b, number)
                    a, number = number, number + 1
            first += count

    def insert(self, number: int) -> None:
        """Puts an inner point into the triangle that holds it."""
        a, b = self._located(number)
        c = self.apex[a, b]
        for p, q in ((a, b), (b, c), (c, a)):
            if abs(self._turn(p, q, number)) <= _TURN * self._scale(p, q):
                self._split_edge(p, q, number)
                return
        self._remove(a, b, c)
        for p, q in ((a, b), (b, c), (c, a)):
            self._add(p, q, number)
        self._legalise(number, [(a, b), (b, c), (c, a)])

    def relax(self, first_inner: int) -> None:
        """Moves each inner point to the mean of its neighbours where no triangle turns over."""
        triangles = self.triangles()
        points = np.array(self.points)
        total = np.zeros_like(points)
        count = np.zeros(len(points))
        for shift in (1, 2):
            np.add.at(total, triangles, points[np.roll(triangles, shift, axis=1)])
        np.add.at(count, triangles, 2.0)
        wanted = points.copy()
        wanted[first_inner:] = total[first_inner:] / count[first_inner:, None]
        still = np.zeros(len(points), dtype=bool)
        for _ in range(20):
            moved = np.where(still[:, None], points, wanted)
            bad = _signed_areas(moved, triangles) < 0.2 * _signed_areas(points, triangles)
            if not bad.any():
                break
            still[triangles[bad]] = True
        else:
            moved = points
        self.points = [(float(x), float(y)) for x, y in moved]
        self._flip_all()

    def triangles(self) -> Ints:
        """All triangles once, anticlockwise (n, 3)."""
        rows = [(a, b, c) for (a, b), c in self.apex.items() if a < b and a < c]
        return np.array(rows, dtype=np.int64).reshape(-1, 3)

    def _add(self, a: int, b: int, c: int) -> None:
        self.apex[a, b] = c
        self.apex[b, c] = a
        self.apex[c, a] = b
        self._last = (a, b)

    def _remove(self, a: int, b: int, c: int) -> None:
        del self.apex[a, b], self.apex[b, c], self.apex[c, a]

    def _split_edge(self, a: int, b: int, number: int) -> None:
        outer: list[tuple[int, int]] = []
        for p, q in ((a, b), (b, a)):
            c = self.apex.get((p, q))
            if c is not None:
                self._remove(p, q, c)
                self._add(p, number, c)
                self._add(number, q, c)
                outer += [(q, c), (c, p)]
        self._legalise(number, outer)

    def _legalise(self, number: int, edges: list[tuple[int, int]]) -> None:
        """Flips edges opposite to a new point until they are Delaunay."""
        while edges:
            a, b = edges.pop()
            d = self.apex.get((b, a))
            if d is not None and self.apex.get((a, b)) == number and self._flips(a, b, number, d):
                self._flip(a, b, number, d)
                edges += [(a, d), (d, b)]

    def _flip_all(self) -> None:
        edges = [edge for edge in self.apex if edge[0] < edge[1]]
        for _ in range(50 * len(edges) + 50):
            if not edges:
                return
            a, b = edges.pop()
            c, d = self.apex.get((a, b)), self.apex.get((b, a))
            if c is not None and d is not None and self._flips(a, b, c, d):
                self._flip(a, b, c, d)
                edges += [(a, d), (d, b), (b, c), (c, a)]

    def _flip(self, a: int, b: int, c: int, d: int) -> None:
        self._remove(a, b, c)
        self._remove(b, a, d)
        self._add(a, d, c)
        self._add(d, b, c)

    def _flips(self, a: int, b: int, c: int, d: int) -> bool:
        """True where d lies within the circle through a, b, c, and the flip turns nothing over."""
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = (self.points[k] for k in (a, b, c, d))
        ux, uy, vx, vy, wx, wy = ax - dx, ay - dy, bx - dx, by - dy, cx - dx, cy - dy
        u, v, w = ux * ux + uy * uy, vx * vx + vy * vy, wx * wx + wy * wy
        circle = u * (vx * wy - wx * vy) - v * (ux * wy - wx * uy) + w * (ux * vy - vx * uy)
        scale = max(u, v, w)
        if circle <= 1e-12 * scale * scale:
            return False
        return self._turn(a, d, c) > _TURN * scale and self._turn(d, b, c) > _TURN * scale

    def _turn(self, a: int, b: int, c: int) -> float:
        """Twice the signed area of a, b, c."""
        (ax, ay), (bx, by), (cx, cy) = self.points[a], self.points[b], self.points[c]
        return (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)

    def _scale(self, a: int, b: int) -> float:
        (ax, ay), (bx, by) = self.points[a], self.points[b]
        return (bx - ax) ** 2 + (by - ay) ** 2

    def _located(self, number: int) -> tuple[int, int]:
        """An edge of the triangle that holds the point: by a walk, else by looking at all."""
        a, b = self._last
        for _ in range(len(self.apex)):
            c = self.apex[a, b]
            for p, q in ((b, c), (c, a), (a, b)):
                if self._turn(p, q, number) < 0:
                    if (q, p) not in self.apex:
                        return self._searched(number)
                    a, b = q, p
                    break
            else:
                return a, b
        return self._searched(number)

    def _searched(self, number: int) -> tuple[int, int]:
        """The triangle that holds the point best: on an edge, round-off may put it in neither."""
        best, found = -1e-9, None
        for (a, b), c in self.apex.items():
            inside = min(
                self._turn(p, q, number) / self._scale(p, q) for p, q in ((a, b), (b, c), (c, a))
            )
            if inside > best:
                best, found = inside, (a, b)
        if found is None:
            raise ValueError(f"the point {self.points[number]} lies outside the polygon")
        return found


def _signed_areas(points: Floats, triangles: Ints) -> Floats:
    a, b, c = (points[triangles[:, k]] for k in range(3))
    area: Floats = (
        (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    ) / 2
    return area
