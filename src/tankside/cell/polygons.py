"""Polygons with holes in a plane: what one has in common with another, and what it has besides.

Each polygon becomes an upright prism one metre high, the prisms meet as exact solids (manifold3d,
double precision; its own plane polygons hold single precision, which is too coarse for panels that
must share points), and the outcome's top is read off as loops.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np

from tankside.base.arrays import Floats, Ints

Polygon = tuple[Floats, ...]
"""Loops (k, 2) [m]: the outline anticlockwise, then holes clockwise."""

_DIGITS = 12
"""Decimal places of a metre that coordinates are rounded to, so that equal ones stay equal."""


def prism(polygon: Polygon, height: float = 1.0) -> Any:
    """The upright solid over a polygon, from z = 0 to `height` [m]."""
    import manifold3d

    loops = [np.round(loop, _DIGITS) for loop in polygon]
    flat: Any = manifold3d.triangulate([np.ascontiguousarray(loop) for loop in loops])
    lid: Ints = np.asarray(flat, dtype=np.int64).reshape(-1, 3)
    points = np.concatenate(loops)
    count = len(points)
    walls = []
    for loop, start in zip(loops, np.cumsum([0, *map(len, loops)]), strict=False):
        here = start + np.arange(len(loop))
        there = start + (np.arange(len(loop)) + 1) % len(loop)
        walls += [
            np.stack([here, there, there + count], axis=1),
            np.stack([here, there + count, here + count], axis=1),
        ]
    triangles = np.concatenate([lid[:, ::-1], lid + count, *walls]).astype(np.uint64)
    corners = np.concatenate([np.column_stack([points, np.full(count, z)]) for z in (0.0, height)])
    return manifold3d.Manifold(manifold3d.Mesh64(corners, np.ascontiguousarray(triangles)))


def common(one: Polygon, other: Polygon) -> tuple[Polygon, ...]:
    """The pieces that two polygons share."""
    return _tops(prism(one) ^ prism(other))


def besides(one: Polygon, others: Sequence[Polygon]) -> tuple[Polygon, ...]:
    """The pieces of a polygon that the others leave."""
    left = prism(one)
    for other in others:
        left -= prism(other)
    return _tops(left)


def area_of(polygon: Polygon) -> float:
    """Area of a polygon less its holes [m²]."""
    return sum(_signed_area(loop) for loop in polygon)


def _tops(solid: Any) -> tuple[Polygon, ...]:
    pieces = [_top(piece) for piece in solid.decompose()]
    return tuple(piece for piece in pieces if piece)


def _top(piece: Any) -> Polygon:
    """The loops round the top of a prism, the outline first."""
    mesh = piece.to_mesh64()
    points = np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3]
    triangles = np.asarray(mesh.tri_verts, dtype=np.int64)
    upper = triangles[(points[triangles][:, :, 2] > 0.5).all(axis=1)]
    half = {(int(t[k]), int(t[(k + 1) % 3])) for t in upper for k in range(3)}
    after = {a: b for a, b in half if (b, a) not in half}
    loops = []
    while after:
        first, here = after.popitem()
        loop = [first]
        while here != first:
            loop.append(here)
            here = after.pop(here)
        loops.append(points[loop, :2])
    return tuple(sorted(loops, key=_signed_area, reverse=True))


def _signed_area(loop: Floats) -> float:
    after = np.roll(loop, -1, axis=0)
    return float((loop[:, 0] * after[:, 1] - loop[:, 1] * after[:, 0]).sum()) / 2
