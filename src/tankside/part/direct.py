"""The outer skin of a mesh that is whole: bodies united, sealed hollows left out.

Shells that overlap are united exactly; what is sealed inside is left out, as no current can reach
it. Refuses (by saying why) a mesh that is open or branches, or of which a shell crosses itself: its
inside is not certain.
"""

from dataclasses import dataclass

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from tankside.base.arrays import Floats, Ints
from tankside.base.messages import said
from tankside.part.box_pairs import overlapping_pairs
from tankside.part.direct_shells import Broken, Shell, closed_shells
from tankside.part.mesh import TriangleMesh
from tankside.part.remesh_crossings import crossings
from tankside.part.remesh_tree import tree_of

FLAT = 1e-9
"""Bodies whose volume is below this share of the cube over the diagonal are flat [-]."""


@dataclass(frozen=True, kw_only=True)
class Skin:
    """A closed, consistently wound surface: vertices (nv, 3) [m], triangles (nt, 3); notes on what
    was left out or assumed; grain, the width of the grid that it was drawn on, if any [m]."""

    vertices: Floats
    triangles: Ints
    notes: tuple[str, ...] = ()
    grain: float = 0.0


def outer_skin(mesh: TriangleMesh) -> Skin | Broken:
    """The outer skin of a whole mesh, or why it is not whole."""
    shells = closed_shells(mesh)
    if isinstance(shells, Broken):
        return shells
    low, high = mesh.box
    size = float(np.linalg.norm(high - low))
    bodies = [shell for shell in shells if shell.volume > FLAT * size**3]
    if not bodies:
        return Broken(reason="encloses no volume")
    for body in bodies:
        if len(crossings(tree_of(body.vertices[body.triangles]), body.triangles)):
            return Broken(reason=said("has a body that passes through itself"))
    if len(bodies) == 1:
        skin: Skin | Broken = Skin(vertices=bodies[0].vertices, triangles=bodies[0].triangles)
    else:
        skin = _united(bodies, (low + high) / 2, size)
    if isinstance(skin, Broken) or len(shells) == len(bodies):
        return skin
    note = said(
        "{shells} sheets or crumbs of next to no volume were left out.",
        shells=len(shells) - len(bodies),
    )
    return Skin(vertices=skin.vertices, triangles=skin.triangles, notes=(note, *skin.notes))


def _united(bodies: list[Shell], centre: Floats, size: float) -> Skin | Broken:
    """The union of bodies, without what is sealed inside; worked in units of the diagonal."""
    from manifold3d import Error, Manifold, Mesh64, OpType

    solids = []
    for body in bodies:
        points = np.ascontiguousarray((body.vertices - centre) / size)
        solid = Manifold(Mesh64(points, body.triangles.astype(np.uint64)))
        if solid.status() != Error.NoError:
            return Broken(
                reason=said("is refused by the solid modeller ({status})", status=solid.status())
            )
        solids.append(solid)
    parts = []
    for group in _groups(bodies):
        if len(group) == 1:
            parts.append(solids[group[0]])
        else:
            near = [solids[number] for number in group]
            parts += Manifold.batch_boolean(near, OpType.Add).decompose()
    outside = [part for part in parts if part.volume() > FLAT]
    result = Manifold.compose(outside).to_mesh64()
    return Skin(
        vertices=np.asarray(result.vert_properties, dtype=np.float64)[:, :3] * size + centre,
        triangles=np.asarray(result.tri_verts).astype(np.int64),
        notes=_union_notes(len(solids), len(outside), any(one.volume() < -FLAT for one in parts)),
    )


def _union_notes(shells: int, outside: int, hollows: bool) -> tuple[str, ...]:
    notes = []
    if shells > outside:
        notes.append(
            said(
                "{solids} shells overlap, touch or lie within each other; the outer skin has "
                "{outside}, and what it encloses was left out, as no current reaches it.",
                solids=shells,
                outside=outside,
            )
        )
    if hollows:
        notes.append(
            said("Hollows sealed between bodies were left out, as no current reaches them.")
        )
    return tuple(notes)


def _groups(bodies: list[Shell]) -> list[Ints]:
    """The bodies in groups such that bodies of different groups are apart by their boxes; only
    within a group must they be united, which takes the longer the more there are."""
    low = np.array([body.vertices.min(axis=0) for body in bodies])
    high = np.array([body.vertices.max(axis=0) for body in bodies])
    nothing = np.zeros(0, np.int64)
    pairs = [(nothing, nothing), *overlapping_pairs(low, high)]
    one, two = (np.concatenate([pair[side] for pair in pairs]) for side in (0, 1))
    size = len(bodies)
    graph = coo_array((np.ones(len(one)), (one, two)), shape=(size, size))
    number, label = connected_components(graph, directed=False)
    order = np.argsort(label, kind="stable")
    return np.split(order, np.cumsum(np.bincount(label, minlength=number))[:-1])


def simplified(skin: Skin, tolerance: float) -> Skin | Broken:
    """The skin with fewer triangles where it is flat, no further than `tolerance` [m] away."""
    from manifold3d import Error, Manifold, Mesh64

    centre = skin.vertices.mean(axis=0)
    size = float(np.linalg.norm(np.ptp(skin.vertices, axis=0)))
    points = np.ascontiguousarray((skin.vertices - centre) / size)
    solid = Manifold(Mesh64(points, skin.triangles.astype(np.uint64)))
    if solid.status() != Error.NoError:
        return Broken(
            reason=said("is refused by the solid modeller ({status})", status=solid.status())
        )
    result = solid.simplify(tolerance / size).to_mesh64()
    return Skin(
        vertices=np.asarray(result.vert_properties, dtype=np.float64)[:, :3] * size + centre,
        triangles=np.asarray(result.tri_verts).astype(np.int64),
        notes=skin.notes,
    )
