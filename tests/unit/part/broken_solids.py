"""Meshes that are broken in a known way, and a few more whole ones with exact measures."""

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.part.mesh import TriangleMesh
from tests.unit.part.solids import sphere


def tube_along(curve: Floats, radius: float, sides: int) -> TriangleMesh:
    """A closed tube of `sides` sides around a closed plane curve (n, 3) in z = 0 [m]."""
    ahead = np.roll(curve, -1, axis=0) - np.roll(curve, 1, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1)[:, None]
    outward = np.cross(ahead, [0.0, 0.0, 1.0])
    angle = 2 * np.pi * np.arange(sides) / sides
    ring = np.cos(angle)[None, :, None] * outward[:, None] + np.sin(angle)[None, :, None] * [
        0,
        0,
        1,
    ]
    points = curve[:, None] + radius * ring
    mesh = TriangleMesh(vertices=points.reshape(-1, 3), triangles=_closed_grid(len(curve), sides))
    return mesh if mesh.signed_volume > 0 else mesh.flipped()


def torus(around: float, radius: float, steps: int = 96, sides: int = 48) -> TriangleMesh:
    """A ring torus of flat triangles, corners on its surface [m]."""
    angle = 2 * np.pi * np.arange(steps) / steps
    curve = around * np.stack([np.cos(angle), np.sin(angle), 0 * angle], axis=1)
    return tube_along(curve, radius, sides)


def figure_of_eight() -> TriangleMesh:
    """A tube that passes through itself once: one closed shell with a doubtful inside [m]."""
    angle = 2 * np.pi * np.arange(300) / 300
    curve = 0.02 * np.stack([np.sin(angle), np.sin(angle) * np.cos(angle), 0 * angle], axis=1)
    return tube_along(curve, 0.0025, 20)


def wavy_sheet(steps: int = 24) -> TriangleMesh:
    """A sheet without thickness, 40 mm square [m]."""
    x, y = np.meshgrid(np.linspace(0, 0.04, steps), np.linspace(0, 0.04, steps), indexing="ij")
    points = np.stack([x, y, 0.003 * np.sin(150 * x)], axis=-1).reshape(-1, 3)
    k = np.arange(steps - 1)
    first = (k[:, None] * steps + k).reshape(-1)
    triangles = np.concatenate(
        [
            np.stack([first, first + steps, first + steps + 1], axis=1),
            np.stack([first, first + steps + 1, first + 1], axis=1),
        ]
    )
    return TriangleMesh(vertices=points, triangles=triangles)


def scattered_triangles(count: int = 120) -> TriangleMesh:
    """Triangles thrown at random into a cube of 10 mm [m]."""
    corners = np.random.default_rng(5).uniform(0, 0.01, (3 * count, 3))
    return TriangleMesh(vertices=corners, triangles=np.arange(3 * count).reshape(-1, 3))


def sphere_with_opening(radius: float = 0.02, below: float = 0.018) -> TriangleMesh:
    """A sphere without its cap above z = `below` [m]."""
    ball = sphere(radius, 64)
    kept = ball.centroids[:, 2] < below
    return TriangleMesh(vertices=ball.vertices, triangles=ball.triangles[kept])


def _closed_grid(rows: int, columns: int) -> Ints:
    i, j = (index.reshape(-1) for index in np.indices((rows, columns)))
    k, m = (i + 1) % rows, (j + 1) % columns
    a, b, c, d = i * columns + j, k * columns + j, k * columns + m, i * columns + m
    return np.concatenate([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)])
