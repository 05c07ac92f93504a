"""Meshes whose answers are known exactly."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tankside.base.arrays import Floats, Ints
from tankside.part.mesh import TriangleMesh

MESHES = Path(__file__).parents[4] / "shared" / "meshes"

Point = tuple[float, float, float]

_CORNERS = np.array([[i, j, k] for i in (0, 1) for j in (0, 1) for k in (0, 1)], dtype=float)
_FACES = np.array(
    [
        [0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1],
        [2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4], [1, 5, 7], [1, 7, 3],
    ]
)  # fmt: skip


def box(sizes: Point = (0.01, 0.01, 0.01), at: Point = (0.0, 0.0, 0.0)) -> TriangleMesh:
    """A box of these sides with its middle at a point [m]."""
    vertices = (_CORNERS - 0.5) * np.array(sizes) + np.array(at)
    return TriangleMesh(vertices=vertices, triangles=_FACES)


def merged(*meshes: TriangleMesh) -> TriangleMesh:
    """Several meshes as one, no corner shared between them."""
    starts = np.cumsum([0] + [len(mesh.vertices) for mesh in meshes[:-1]])
    return TriangleMesh(
        vertices=np.concatenate([mesh.vertices for mesh in meshes]),
        triangles=np.concatenate(
            [mesh.triangles + start for mesh, start in zip(meshes, starts, strict=True)]
        ),
    )


def without(mesh: TriangleMesh, *triangles: int) -> TriangleMesh:
    """The mesh without some of its triangles."""
    return TriangleMesh(
        vertices=mesh.vertices, triangles=np.delete(mesh.triangles, triangles, axis=0)
    )


def turned(mesh: TriangleMesh, *triangles: int) -> TriangleMesh:
    """The mesh with some of its triangles facing the other way."""
    changed: Ints = mesh.triangles.copy()
    changed[list(triangles)] = changed[list(triangles)][:, ::-1]
    return TriangleMesh(vertices=mesh.vertices, triangles=changed)


def taken_apart(mesh: TriangleMesh) -> TriangleMesh:
    """The mesh with three corners of its own for each triangle, as an STL has them."""
    return TriangleMesh(
        vertices=mesh.corners.reshape(-1, 3),
        triangles=np.arange(3 * len(mesh.triangles)).reshape(-1, 3),
    )


def from_manifold(solid: Any) -> TriangleMesh:
    """A solid of manifold3d, which the tests use to carve shapes."""
    mesh = solid.to_mesh64()
    return TriangleMesh(
        vertices=np.asarray(mesh.vert_properties)[:, :3],
        triangles=np.asarray(mesh.tri_verts, dtype=np.int64),
    )


def sphere(radius: float = 0.01, rings: int = 24) -> TriangleMesh:
    """A sphere of flat triangles inscribed in a radius [m]."""
    import manifold3d

    return from_manifold(manifold3d.Manifold.sphere(radius, rings))


def cup(height: float, outer: float, inner: float, floor: float, sides: int = 64) -> TriangleMesh:
    """A round cup, open above, standing on z = 0 [m]; its walls are prisms of `sides` sides with
    corners on the radii."""
    import manifold3d

    body = manifold3d.Manifold.cylinder(height, outer, outer, sides)
    inside = manifold3d.Manifold.cylinder(height, inner, inner, sides).translate((0, 0, floor))
    return from_manifold(body - inside)


def drilled(side: float, diameter: float, depth: float, sides: int = 32) -> TriangleMesh:
    """A cube around the origin with a hole of `sides` sides, its flats a diameter apart, drilled
    into its upper face [m]."""
    import manifold3d

    radius = diameter / 2 / np.cos(np.pi / sides)
    hole = manifold3d.Manifold.cylinder(2 * depth, radius, radius, sides)
    block = manifold3d.Manifold.cube((side, side, side), True)
    return from_manifold(block - hole.translate((0, 0, side / 2 - depth)))


def polygon_area(radius: float, sides: int) -> float:
    """Area of a regular polygon with its corners on a radius [m²]."""
    return 0.5 * sides * radius**2 * float(np.sin(2 * np.pi / sides))


def rotation(angle: float, axis: Point = (1.0, 2.0, 3.0)) -> Floats:
    """The rotation by an angle [rad] about an axis."""
    x, y, z = np.array(axis) / np.linalg.norm(axis)
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.asarray(np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross)


def real_mesh(name: str) -> bytes:
    """A real mesh file, where the folder with them stands beside the checkout; else the test is
    skipped."""
    if not (MESHES / name).exists():
        pytest.skip(f"the real mesh {name} is not beside this checkout")
    return (MESHES / name).read_bytes()
