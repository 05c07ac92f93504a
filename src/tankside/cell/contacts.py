"""Where a wire meets its part: the place nearest to the point that was asked for.

Refused are points out of the solution, and points farther from the part than a fifth of its box's
diagonal or 3 cm, whichever is more: such a contact was meant for something else.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import Impossible
from tankside.cell.description import ContactSpec
from tankside.cell.nearness import Nearness
from tankside.cell.solids import Solid
from tankside.cell.wording import length
from tankside.part.mesh import TriangleMesh

_FARTHEST = 0.03
"""A contact is snapped over this [m] at least: our guess."""

_FARTHEST_SHARE = 0.2
"""And over this share of the diagonal of the part's box [-] where that is more: our guess."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place on a part: part number from 1, position (3,) [m], outward unit normal (3,), the
    triangle, its nearest corner, and the distance from where it was asked for [m]."""

    part: int
    position: Floats
    normal: Floats
    triangle: int
    vertex: int
    distance: float


def snapped(spec: ContactSpec, name: str, parts: Sequence[Solid], level: float) -> Place:
    """The place on the part that was named, or on the nearest one."""
    near = np.array([spec.near], dtype=np.float64)
    if near[0, 2] > level:
        raise Impossible(
            "{name} lies {height} above the liquid; hold the part at a place that is under it",
            name=name,
            height=length(near[0, 2] - level),
        )
    numbers = list(range(len(parts))) if spec.part is None else [spec.part - 1]
    found = {k: parts[k].nearness.nearest(near) for k in numbers}
    part = min(found, key=lambda k: float(found[k][0][0]))
    distance, triangle, position = (row[0] for row in found[part])
    mesh = parts[part].mesh
    low, high = mesh.box
    farthest = max(_FARTHEST, _FARTHEST_SHARE * float(np.linalg.norm(high - low)))
    if distance > farthest:
        raise Impossible(
            "{name} lies {distance} from part {part}, and is snapped over {farthest} at most; put "
            "it near {position}",
            name=name,
            distance=length(distance),
            part=part + 1,
            farthest=length(farthest),
            position=_coordinates(position),
        )
    corners = mesh.triangles[triangle]
    nearest = int(np.linalg.norm(mesh.vertices[corners] - position, axis=1).argmin())
    return Place(
        part=part + 1,
        position=position,
        normal=_normal_around(mesh, position, int(triangle)),
        triangle=int(triangle),
        vertex=int(corners[nearest]),
        distance=float(distance),
    )


def _normal_around(mesh: TriangleMesh, position: Floats, triangle: int) -> Floats:
    """The mean normal of all triangles that hold the position, by their angle or evenly on an edge;
    the triangle's own inside it, and where the mean vanishes."""
    corners = mesh.corners[triangle]
    scale = float(np.linalg.norm(corners - np.roll(corners, 1, axis=0), axis=1).max())
    at_corner = np.linalg.norm(corners - position, axis=1) < 1e-6 * scale
    shared = np.isin(mesh.triangles, mesh.triangles[triangle])
    if at_corner.any():
        vertex = mesh.triangles[triangle][at_corner.argmax()]
        around = np.flatnonzero((mesh.triangles == vertex).any(axis=1))
        weights = [_angle_at(mesh, int(k), int(vertex)) for k in around.tolist()]
    else:
        beside = np.flatnonzero(shared.sum(axis=1) >= 2)
        touching = [k for k in beside.tolist() if _holds(mesh.corners[k], position, 1e-6 * scale)]
        around = np.array(touching or [triangle])
        weights = [1.0] * len(around)
    mean = np.einsum("i,ij->j", np.array(weights), mesh.normals[around])
    size = float(np.linalg.norm(mean))
    normal: Floats = mean / size if size > 1e-3 else mesh.normals[triangle]
    return normal


def _angle_at(mesh: TriangleMesh, triangle: int, vertex: int) -> float:
    place = int(np.flatnonzero(mesh.triangles[triangle] == vertex)[0])
    a, b, c = (mesh.corners[triangle, (place + k) % 3] for k in range(3))
    return float(np.arctan2(np.linalg.norm(np.cross(b - a, c - a)), (b - a) @ (c - a)))


def _holds(corners: Floats, position: Floats, margin: float) -> bool:
    flat = Nearness(corners, np.array([[0, 1, 2]]))
    return bool(flat.distances(position[None])[0] < margin)


def _coordinates(position: Floats) -> str:
    return "[" + ", ".join(str(length(float(value))) for value in position) + "]"
