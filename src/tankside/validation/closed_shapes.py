"""Surfaces of the cells that have closed forms, as triangles (n, 3, 3) [m], anticlockwise from the
side that normals point to.

Curved surfaces are replaced by polyhedra blown up a little, so that volume (spheres) or area
(circles) is the true one; what is left of the curvature's error falls with the square of the panel.
"""

from collections.abc import Callable
from math import pi, sin

import numpy as np

from tankside.base.arrays import Floats

Position = Callable[[Floats, Floats], tuple[Floats, Floats, Floats]]
"""From two parameters between 0 and 1 to x, y, z [m]."""


def patch(position: Position, across: int, along: int) -> Floats:
    """A surface over the unit square in 2 * across * along triangles with alternating diagonals;
    normals along dx/du x dx/dv; triangles that shrink to a line are left out."""
    u, v = np.meshgrid(np.linspace(0, 1, across + 1), np.linspace(0, 1, along + 1), indexing="ij")
    points: Floats = np.stack(np.broadcast_arrays(*position(u, v)), axis=-1).astype(np.float64)
    a, b, c, d = points[:-1, :-1], points[1:, :-1], points[1:, 1:], points[:-1, 1:]
    odd = (np.add.outer(np.arange(across), np.arange(along)) % 2 == 1)[..., None, None]
    first = np.where(odd, _triangles(a, b, c), _triangles(a, b, d))
    second = np.where(odd, _triangles(a, c, d), _triangles(b, c, d))
    corners: Floats = np.concatenate([first.reshape(-1, 3, 3), second.reshape(-1, 3, 3)])
    size = np.linalg.norm(_area_vectors(corners), axis=1)
    return np.asarray(corners[size > 1e-9 * size.max()])


def turned(corners: Floats) -> Floats:
    """The same triangles with normals to the other side."""
    return np.asarray(corners[:, ::-1])


def sphere(radius: float, frequency: int) -> Floats:
    """A sphere about the origin in 20 frequency² triangles, normals outward."""
    corners = _geodesic(frequency)
    volume = float(np.einsum("ij,ij->i", corners[:, 0], _area_vectors(corners)).sum()) / 3
    return np.asarray(corners * radius * (4 / 3 * pi / volume) ** (1 / 3))


def half_spheroid(across: float, depth: float, rings: int) -> Floats:
    """The lower half (z < 0) of a spheroid with semi-axes `across` in x and y and `depth` in z, in
    6 rings² triangles, normals outward, the rim in z = 0."""
    corners = _polar(rings, lambda t: np.sin(pi / 2 * t), lambda t: -np.cos(pi / 2 * t))
    volume = -float(np.einsum("ij,ij->i", corners[:, 0], _area_vectors(corners)).sum()) / 3
    blown_up = np.array([across, across, depth]) * (2 / 3 * pi / volume) ** (1 / 3)
    return np.asarray(turned(corners) * blown_up)


def disc(radius: float, rings: int, grading: float) -> Floats:
    """A flat disc in z = 0 about the origin in 6 rings² triangles from the centre out, normals down
    (-z); ring k ends at 1 - (1 - k / rings) ** grading of the radius."""
    corners = _polar(rings, lambda t: 1 - (1 - t) ** grading, lambda t: 0 * t)
    return np.asarray(turned(corners) * np.array([radius, radius, 1.0]) * _equal_area(6 * rings))


def box(x: Floats, y: Floats, z: Floats) -> dict[str, Floats]:
    """The inside of a box, cut at the given coordinates [m], which begin and end at its faces:
    faces "x-", "x+", "y-" ... by name, normals into the box."""

    def face(fixed: int, level: float, first: Floats, second: Floats) -> Floats:
        def position(u: Floats, v: Floats) -> tuple[Floats, Floats, Floats]:
            along = [_between(first, u), _between(second, v)]
            along.insert(fixed, level + 0 * u)
            return along[0], along[1], along[2]

        return patch(position, len(first) - 1, len(second) - 1)

    return {
        "x-": face(0, x[0], y, z),
        "x+": turned(face(0, x[-1], y, z)),
        "y-": turned(face(1, y[0], x, z)),
        "y+": face(1, y[-1], x, z),
        "z-": face(2, z[0], x, y),
        "z+": turned(face(2, z[-1], x, y)),
    }


def annulus(
    inner: float, outer: float, height: float, cells: tuple[int, int, int]
) -> dict[str, Floats]:
    """The space between two upright cylinders: "inner", "outer", "floor", "ceiling", normals into
    it; `cells` around, up and across."""
    around, up, across = cells
    blown_up = _equal_area(around)

    def side(radius: float) -> Position:
        def position(u: Floats, v: Floats) -> tuple[Floats, Floats, Floats]:
            r = radius * blown_up
            return r * np.cos(2 * pi * u), r * np.sin(2 * pi * u), height * v

        return position

    def end(level: float) -> Position:
        def position(u: Floats, v: Floats) -> tuple[Floats, Floats, Floats]:
            r = blown_up * (inner + (outer - inner) * v)
            return r * np.cos(2 * pi * u), r * np.sin(2 * pi * u), level + 0 * u

        return position

    return {
        "inner": patch(side(inner), around, up),
        "outer": turned(patch(side(outer), around, up)),
        "floor": turned(patch(end(0.0), around, across)),
        "ceiling": patch(end(height), around, across),
    }


def _between(lines: Floats, share: Floats) -> Floats:
    """Coordinates at equal shares of the count of `lines`."""
    return np.asarray(np.interp(share, np.linspace(0, 1, len(lines)), lines), dtype=np.float64)


def _triangles(a: Floats, b: Floats, c: Floats) -> Floats:
    return np.stack([a, b, c], axis=-2)


def _area_vectors(corners: Floats) -> Floats:
    sides = corners[:, 1:] - corners[:, :1]
    return np.asarray(np.cross(sides[:, 0], sides[:, 1]) / 2)


def _equal_area(sides: int) -> float:
    """Radius of a regular polygon with the area of the unit circle."""
    return float(np.sqrt((2 * pi / sides) / sin(2 * pi / sides)))


def _polar(
    rings: int, radius: Callable[[Floats], Floats], height: Callable[[Floats], Floats]
) -> Floats:
    """A surface of revolution over rings t = k / rings with 6 k corners each; anticlockwise from
    above."""
    share = np.arange(rings + 1) / rings
    radii, heights = radius(share), height(share)

    def point(ring: int, step: int) -> tuple[float, float, float]:
        angle = 2 * pi * step / max(6 * ring, 1)
        return radii[ring] * np.cos(angle), radii[ring] * np.sin(angle), heights[ring]

    corners = []
    for ring in range(1, rings + 1):
        for sector in range(6):
            inner, outer = (ring - 1) * sector, ring * sector
            for step in range(ring):
                a = point(ring - 1, inner + step)
                b, c = point(ring, outer + step), point(ring, outer + step + 1)
                corners.append((a, b, c))
                if step < ring - 1:
                    corners.append((a, c, point(ring - 1, inner + step + 1)))
    return np.array(corners, dtype=np.float64)


def _geodesic(frequency: int) -> Floats:
    """The icosahedron's faces cut into frequency² each, blown up onto the unit sphere."""
    up = [(i, j) for i in range(frequency) for j in range(frequency - i)]
    down = [(i, j) for i in range(frequency - 1) for j in range(frequency - 1 - i)]
    cut = [((i, j), (i + 1, j), (i, j + 1)) for i, j in up]
    cut += [((i + 1, j), (i + 1, j + 1), (i, j + 1)) for i, j in down]
    steps = np.array(cut, dtype=np.float64) / frequency
    weights = np.concatenate([steps, 1 - steps.sum(axis=2, keepdims=True)], axis=2)
    points = np.einsum("tcw,fwd->ftcd", weights, _icosahedron()).reshape(-1, 3, 3)
    return np.asarray(points / np.linalg.norm(points, axis=2, keepdims=True))


def _icosahedron() -> Floats:
    """Faces (20, 3, 3) on the unit sphere, normals outward."""
    golden = (1 + 5**0.5) / 2
    points = np.array(
        [
            turn
            for short in (1.0, -1.0)
            for long in (golden, -golden)
            for turn in ((0.0, short, long), (short, long, 0.0), (long, 0.0, short))
        ]
    )
    near = np.abs(np.linalg.norm(points[:, None] - points[None], axis=2) - 2) < 1e-9
    faces = [
        (a, b, c)
        for a in range(12)
        for b in range(a + 1, 12)
        for c in range(b + 1, 12)
        if near[a, b] and near[b, c] and near[a, c]
    ]
    corners: Floats = points[np.array(faces)] / np.linalg.norm(points[0])
    inward = np.einsum("ij,ij->i", corners[:, 0], _area_vectors(corners)) < 0
    corners[inward] = corners[inward][:, ::-1]
    return corners
