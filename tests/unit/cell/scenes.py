"""Small cells and bodies that the cell's tests share."""

from dataclasses import replace
from typing import Any

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.cell.bodies import Cell
from tankside.cell.description import (
    BoxTank,
    CellDescription,
    ContactSpec,
    PanelBudget,
    PlacedPart,
    Plate,
    Vector,
)
from tankside.part.mesh import TriangleMesh


def block(size: Vector, pieces: int = 4) -> TriangleMesh:
    """A box about the origin, every side divided into `pieces` squares a way."""
    corners: list[Floats] = []
    triangles: list[Ints] = []
    grid = np.stack(np.meshgrid(*[np.arange(pieces + 1)] * 2, indexing="ij"), axis=-1)
    square = np.arange((pieces + 1) ** 2).reshape(pieces + 1, pieces + 1)
    a, b, c, d = square[:-1, :-1], square[1:, :-1], square[1:, 1:], square[:-1, 1:]
    two = np.concatenate(
        [np.stack([a, b, c], -1).reshape(-1, 3), np.stack([a, c, d], -1).reshape(-1, 3)]
    )
    for axis in range(3):
        for side in (-1, 1):
            place = np.zeros((len(grid.reshape(-1, 2)), 3))
            place[:, [(axis + 1) % 3, (axis + 2) % 3]] = grid.reshape(-1, 2) / pieces - 0.5
            place[:, axis] = side / 2
            triangles.append((two if side > 0 else two[:, ::-1]) + len(corners) * len(place))
            corners.append(place)
    stacked, number = np.unique(np.round(np.concatenate(corners), 12), axis=0, return_inverse=True)
    return TriangleMesh(
        vertices=stacked * size, triangles=number.reshape(-1)[np.concatenate(triangles)]
    )


def sphere(radius: float, rounds: int = 3) -> TriangleMesh:
    """An icosahedron, refined and put on the sphere."""
    import trimesh

    made: Any = trimesh.creation.icosphere(subdivisions=rounds, radius=radius)
    return TriangleMesh(vertices=np.array(made.vertices), triangles=np.array(made.faces))


def torus(ring: float, tube: float) -> TriangleMesh:
    """About the z axis: radius of the ring, and of its tube."""
    import trimesh

    made: Any = trimesh.creation.torus(ring, tube, major_sections=48, minor_sections=24)
    return TriangleMesh(vertices=np.array(made.vertices), triangles=np.array(made.faces))


BLOCK = PlacedPart(surface=block((0.03, 0.02, 0.06)), at=(0.0, 0.0, 0.14))
LEFT = Plate(size=(0.16, 0.2), at=(-0.13, 0.0, 0.14))
RIGHT = Plate(size=(0.16, 0.2), at=(0.13, 0.0, 0.16), facing=(-1.0, 0.0, 0.0))
TOP = ContactSpec(near=(0.0, 0.0, 0.17), wire_diameter=0.8e-3)

FEW = PanelBudget().scaled(0.25)
"""Panels enough where their number does not matter."""

PLAIN = CellDescription(
    tank=BoxTank(inside=(0.3, 0.24, 0.3)),
    liquid_depth=0.25,
    anodes=(LEFT, RIGHT),
    parts=(BLOCK,),
    contacts=(TOP,),
)
"""A block between two plates, of which the second reaches out of the liquid."""


def plain(**changes: Any) -> CellDescription:
    """The plain cell with some fields changed."""
    return replace(PLAIN, **changes)


def with_part(**changes: Any) -> CellDescription:
    """The plain cell with its part changed."""
    return plain(parts=(replace(BLOCK, **changes),))


def with_contact(**changes: Any) -> CellDescription:
    """The plain cell with its contact changed."""
    return plain(contacts=(replace(TOP, **changes),))


def with_left(**changes: Any) -> CellDescription:
    """The plain cell with its first anode changed."""
    return plain(anodes=(replace(LEFT, **changes), RIGHT))


def windings(cell: Cell, points: Floats) -> Floats:
    """How often the surfaces and their images above the liquid wind round each point (n,): -1 in
    the solution, as normals point into it, and 0 elsewhere, by the solid angle of every triangle
    (van Oosterom and Strackee 1983)."""
    total = np.zeros(len(points))
    for body in cell.bodies:
        corners = np.array(body.surface.corners)
        image = corners[:, ::-1] * [1, 1, -1] + [0, 0, 2 * cell.liquid_level]
        for a, b, c in (corners.transpose(1, 0, 2), image.transpose(1, 0, 2)):
            u, v, w = (side[None] - points[:, None] for side in (a, b, c))
            lengths = [np.linalg.norm(side, axis=2) for side in (u, v, w)]
            above = np.einsum("ijk,ijk->ij", u, np.cross(v, w))
            below = (
                lengths[0] * lengths[1] * lengths[2]
                + np.einsum("ijk,ijk->ij", u, v) * lengths[2]
                + np.einsum("ijk,ijk->ij", v, w) * lengths[0]
                + np.einsum("ijk,ijk->ij", w, u) * lengths[1]
            )
            total += 2 * np.arctan2(above, below).sum(axis=1) / (4 * np.pi)
    return total


def smallest_angles(mesh: TriangleMesh) -> Floats:
    """Smallest angle of each triangle (n,) [degrees]."""
    angles = []
    for k in range(3):
        one = mesh.corners[:, (k + 1) % 3] - mesh.corners[:, k]
        two = mesh.corners[:, (k + 2) % 3] - mesh.corners[:, k]
        across = np.linalg.norm(np.cross(one, two), axis=1)
        angles.append(np.arctan2(across, np.einsum("ij,ij->i", one, two)))
    return np.degrees(np.min(angles, axis=0))


def open_edges(meshes: list[TriangleMesh]) -> Floats:
    """Edges that only one triangle has, when points at one place count as one (n, 2, 3) [m]."""
    stacked = np.concatenate([mesh.corners for mesh in meshes])
    corners = stacked.reshape(-1, 3)
    _, first, number = np.unique(
        np.round(corners, 10), axis=0, return_index=True, return_inverse=True
    )
    points = corners[first]
    triangles = number.reshape(-1, 3)
    half = np.concatenate([triangles[:, [k, (k + 1) % 3]] for k in range(3)])
    forward = {tuple(edge) for edge in half.tolist()}
    return np.array([points[[a, b]] for a, b in forward if (b, a) not in forward]).reshape(-1, 2, 3)


def below_area(mesh: TriangleMesh, level: float) -> float:
    """Area of the mesh under the plane, triangle by triangle, by clipping each."""
    total = 0.0
    for corners in mesh.corners:
        ring = []
        for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
            if a[2] <= level:
                ring.append(a)
            if (a[2] - level) * (b[2] - level) < 0:
                ring.append(a + (level - a[2]) / (b[2] - a[2]) * (b - a))
        edges = np.array(ring) - ring[0] if ring else np.zeros((0, 3))
        total += float(np.linalg.norm(np.cross(edges[1:-1], edges[2:]).sum(axis=0))) / 2
    return total
