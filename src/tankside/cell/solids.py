"""Closed meshes as exact solids: do two overlap and how deep, how near do they come, do they leave
the tank.

Overlap is the intersection's solid (manifold3d); "by how much" is its least width over the axes,
its own main axes and the line between the two bodies. The distance between two solids is exact over
all pairs of triangles. Walls are upright, so the distance to them is taken in the plan view. A mesh
that is not closed, or that is inside out, is refused.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import MeshDefect
from tankside.cell.nearness import Nearness
from tankside.cell.polygons import prism
from tankside.part.mesh import TriangleMesh

_NO_VOLUME = 1e-15
"""Less than this is no overlap but round-off [m³]."""

_LEAST_PIECE = 1e-8
"""Less than this is no piece of solution but round-off beside what stands flat [m³]."""

_WETS = 1e-6
"""A piece of solution this near to a body wets it [m]."""

_NO_AREA = 1e-12
"""Less than this is no area in the plan view [m²]."""


@dataclass(frozen=True, eq=False)
class Solid:
    """A closed body: its triangles and the exact solid that they bound."""

    mesh: TriangleMesh
    exact: Any

    @property
    def volume(self) -> float:
        """[m³]"""
        return float(self.exact.volume())

    @cached_property
    def nearness(self) -> Nearness:
        """Distances from its surface."""
        return Nearness.to_meshes([self.mesh])


def solid(mesh: TriangleMesh, name: str) -> Solid:
    """The solid that a closed mesh bounds; MeshDefect where it bounds none."""
    import manifold3d

    given = manifold3d.Mesh64(
        np.array(mesh.vertices), np.array(mesh.triangles, dtype=np.uint64, order="C")
    )
    exact = manifold3d.Manifold(given)
    if not len(mesh.triangles) or exact.status() != manifold3d.Error.NoError:
        raise MeshDefect("its mesh is not a closed surface; repair it first", where=name)
    if exact.volume() <= 0:
        raise MeshDefect("its mesh is inside out or encloses nothing; repair it first", where=name)
    return Solid(mesh, exact)


def below(body: Solid, height: float) -> Solid:
    """What of a solid lies below z = height, closed there; perhaps nothing."""
    if body.mesh.vertices[:, 2].max() <= height:
        return body
    exact = body.exact.trim_by_plane((0.0, 0.0, -1.0), -height)
    return Solid(_mesh_of(exact), exact)


def overlap(one: Solid, other: Solid) -> float:
    """How deep two solids stand in each other [m]; 0 where they do not overlap."""
    if _boxes_apart(one, other):
        return 0.0
    shared = one.exact ^ other.exact
    if shared.is_empty() or shared.volume() <= _NO_VOLUME:
        return 0.0
    points = _mesh_of(shared).vertices
    _, _, own = np.linalg.svd(points - points.mean(axis=0), full_matrices=False)
    between = other.mesh.vertices.mean(axis=0) - one.mesh.vertices.mean(axis=0)
    length = np.linalg.norm(between)
    lines = np.concatenate([np.eye(3), own, between[None] / length if length > 0 else np.eye(3)])
    return float(np.ptp(points @ lines.T, axis=0).min())


def distance(one: Solid, other: Solid) -> float:
    """The least distance between two solids [m]; 0 where they touch or overlap."""
    at_most = min(
        float(a.nearness.distances(b.mesh.vertices).min()) for a, b in ((one, other), (other, one))
    )
    return float(one.exact.min_gap(other.exact, at_most * (1 + 1e-9) + 1e-12))


def outside(body: Solid, footprint: Floats, height: float) -> float:
    """How far a body reaches out of the walls below the rim at `height` [m], if at all."""
    from manifold3d import CrossSection

    low = body.exact.trim_by_plane((0.0, 0.0, -1.0), -height)
    beyond = low.project() - CrossSection([np.ascontiguousarray(footprint)])
    if beyond.area() <= _NO_AREA:
        return 0.0
    corners = np.concatenate(beyond.to_polygons())
    return float(plan_distances(corners, sides_of(footprint)).max())


def wall_distance(body: Solid, sides: Floats) -> float:
    """The least distance between a body and upright walls over `sides` (n, 2, 2) [m], to 1e-8 of
    its size."""
    loops = body.exact.project().to_polygons()
    outline = np.concatenate([sides_of(loop) for loop in loops])
    return float(
        min(
            plan_distances(outline[:, 0], sides).min(),
            plan_distances(sides.reshape(-1, 2), outline).min(),
        )
    )


@dataclass(frozen=True, eq=False)
class Piece:
    """A piece of solution: everything that bounds it, and its volume [m³]."""

    mesh: TriangleMesh
    volume: float

    @cached_property
    def nearness(self) -> Nearness:
        """Distances from what bounds it."""
        return Nearness.to_meshes([self.mesh])

    def wets(self, body: Solid) -> bool:
        """True where the piece and the body share some of their surfaces."""
        return bool(
            (body.nearness.distances(self.mesh.centroids) < _WETS).any()
            or (self.nearness.distances(body.mesh.centroids) < _WETS).any()
        )


def pieces_of_solution(footprint: Floats, level: float, bodies: Sequence[Solid]) -> list[Piece]:
    """The separate pieces of solution around the bodies, largest first."""
    from manifold3d import Manifold, OpType

    column = prism((footprint,), level)
    rest = Manifold.batch_boolean([column, *(body.exact for body in bodies)], OpType.Subtract)
    skins = [_mesh_of(skin) for skin in rest.decompose() if abs(skin.volume()) > _NO_VOLUME]
    outer = sorted((skin for skin in skins if skin.signed_volume > 0), key=_volume_of)
    around: list[list[TriangleMesh]] = [[skin] for skin in outer]
    for inner in (skin for skin in skins if skin.signed_volume < 0):
        holder = next((k for k, skin in enumerate(outer) if _holds(skin, inner)), None)
        if holder is not None:
            around[holder].append(inner)
    pieces = [Piece(mesh=_joined(rows), volume=sum(map(_volume_of, rows))) for rows in around]
    kept = [piece for piece in pieces if piece.volume > _LEAST_PIECE]
    return sorted(kept, key=lambda piece: piece.volume, reverse=True)


def _volume_of(mesh: TriangleMesh) -> float:
    return mesh.signed_volume


def _holds(skin: TriangleMesh, inner: TriangleMesh) -> bool:
    """True where a closed surface winds round another's first corner, the surfaces being apart."""
    import igl

    wound: Any = igl.winding_number(
        np.array(skin.vertices), np.array(skin.triangles), np.array(inner.vertices[:1])
    )
    return bool(np.asarray(wound).reshape(-1)[0] > 0.5)


def _joined(meshes: Sequence[TriangleMesh]) -> TriangleMesh:
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes)])
    return TriangleMesh(
        vertices=np.concatenate([mesh.vertices for mesh in meshes]),
        triangles=np.concatenate(
            [mesh.triangles + start for mesh, start in zip(meshes, starts, strict=False)]
        ),
    )


def plan_distances(points: Floats, sides: Floats) -> Floats:
    """Distance in the plan view of each point from the nearest side (n,) [m]."""
    start, along = sides[:, 0], sides[:, 1] - sides[:, 0]
    squared = np.maximum((along**2).sum(axis=1), 1e-300)
    share = np.einsum("nsk,sk->ns", points[:, None] - start, along) / squared
    nearest = start + np.clip(share, 0, 1)[..., None] * along
    distances: Floats = np.linalg.norm(points[:, None] - nearest, axis=2).min(axis=1)
    return distances


def sides_of(loop: Floats) -> Floats:
    """The sides of a closed loop (n, 2, 2) [m]."""
    return np.stack([loop, np.roll(loop, -1, axis=0)], axis=1)


def _boxes_apart(one: Solid, other: Solid) -> bool:
    (low, high), (low2, high2) = one.mesh.box, other.mesh.box
    return bool((low > high2).any() or (low2 > high).any())


def _mesh_of(exact: Any) -> TriangleMesh:
    given = exact.to_mesh64()
    return TriangleMesh(
        vertices=np.asarray(given.vert_properties)[:, :3], triangles=np.asarray(given.tri_verts)
    )
