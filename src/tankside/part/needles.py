"""Triangles without height, turned away by swapping an edge.

A needle lies along the longer side of a neighbour; taking it out would tear the surface open. The
two are replaced by the two triangles over the other diagonal, which cover the same surface within
the tolerance. Where that edge exists already, or the longest side has no single neighbour, the
needle stays and is counted.
"""

import numpy as np

from tankside.base.arrays import Floats
from tankside.part.crossings import heights
from tankside.part.mesh import TriangleMesh

_PASSES = 20


def without_needles(mesh: TriangleMesh, tolerance: float) -> tuple[TriangleMesh, int, int]:
    """(mesh, needles swapped away, needles left); triangles keep their places in the list."""
    flat = heights(mesh) <= tolerance
    if not flat.any():
        return mesh, 0, 0
    surface = _Surface(mesh)
    swapped = 0
    waiting = np.flatnonzero(flat).tolist()
    for _ in range(_PASSES):
        left = []
        for needle in waiting:
            changed = surface.swap(needle, tolerance)
            swapped += bool(changed)
            left += [one for one in changed or [needle] if surface.is_needle(one, tolerance)]
        if len(left) == len(waiting) and set(left) == set(waiting):
            break
        waiting = sorted(set(left))
    turned = TriangleMesh(vertices=mesh.vertices, triangles=np.array(surface.triangles))
    return turned, swapped, int((heights(turned) <= tolerance).sum())


class _Surface:
    """Triangles that can be changed, with the triangles at each edge."""

    def __init__(self, mesh: TriangleMesh) -> None:
        self._vertices: Floats = mesh.vertices
        self.triangles: list[list[int]] = mesh.triangles.tolist()
        self._at_edge: dict[tuple[int, int], list[int]] = {}
        for number, corners in enumerate(self.triangles):
            self._add(number, corners)

    def is_needle(self, number: int, tolerance: float) -> bool:
        """Whether a triangle is no higher than the tolerance."""
        return self._height(self.triangles[number]) <= tolerance

    def swap(self, needle: int, tolerance: float) -> list[int]:
        """Swap the longest edge of a needle for the other diagonal; the triangles changed, or none
        where that is not possible or makes matters worse."""
        one, two, tip = self._longest_first(self.triangles[needle])
        others = [item for item in self._at_edge[_key(one, two)] if item != needle]
        if len(others) != 1:
            return []
        neighbour = others[0]
        far = next(item for item in self.triangles[neighbour] if item not in (one, two))
        if (
            far == tip
            or _key(far, tip) in self._at_edge
            or not self._wound_alike(neighbour, two, one)
        ):
            return []
        new = [[one, far, tip], [far, two, tip]]
        before = sum(
            self._height(self.triangles[item]) <= tolerance for item in (needle, neighbour)
        )
        if sum(self._height(item) <= tolerance for item in new) > before:
            return []
        for number, corners in zip((needle, neighbour), new, strict=True):
            self._remove(number, self.triangles[number])
            self.triangles[number] = corners
        for number, corners in zip((needle, neighbour), new, strict=True):
            self._add(number, corners)
        return [needle, neighbour]

    def _wound_alike(self, number: int, start: int, end: int) -> bool:
        corners = self.triangles[number]
        return corners[(corners.index(start) + 1) % 3] == end

    def _longest_first(self, corners: list[int]) -> list[int]:
        points = self._vertices[corners]
        lengths = np.linalg.norm(np.roll(points, -1, axis=0) - points, axis=1)
        longest = int(np.argmax(lengths))
        return corners[longest:] + corners[:longest]

    def _height(self, corners: list[int]) -> float:
        a, b, c = self._vertices[corners]
        longest = max(float(np.linalg.norm(side)) for side in (b - a, c - b, a - c))
        area = float(np.linalg.norm(np.cross(b - a, c - a)))
        return area / longest if longest else 0.0

    def _add(self, number: int, corners: list[int]) -> None:
        for k in range(3):
            self._at_edge.setdefault(_key(corners[k], corners[k - 1]), []).append(number)

    def _remove(self, number: int, corners: list[int]) -> None:
        for k in range(3):
            key = _key(corners[k], corners[k - 1])
            self._at_edge[key].remove(number)
            if not self._at_edge[key]:
                del self._at_edge[key]


def _key(one: int, two: int) -> tuple[int, int]:
    return (one, two) if one < two else (two, one)
