"""Bodies that overlap, united into one skin, by manifold3d's exact booleans.

Each outermost body goes in with the cavities that lie in it. Bodies nested in a solid disappear in
it. The outcome keeps sealed cavities as bodies that face inwards.
"""

import numpy as np

from tankside.part.bodies import Bodies, BodyKind
from tankside.part.mesh import TriangleMesh


def united(mesh: TriangleMesh, found: Bodies) -> TriangleMesh | None:
    """The union of all bodies of a mesh, or None where the library refuses one of them."""
    import manifold3d

    order = np.argsort(found.body_of_triangle, kind="stable")
    starts = np.searchsorted(found.body_of_triangle[order], np.arange(1, len(found.bodies)))
    triangles_of = np.split(order, starts)
    solids = []
    for members in _members(found):
        own = np.concatenate([triangles_of[number - 1] for number in members])
        used, place = np.unique(mesh.triangles[own], return_inverse=True)
        solid = manifold3d.Manifold(
            manifold3d.Mesh64(mesh.vertices[used], place.reshape(-1, 3).astype(np.uint64))
        )
        if solid.status() != manifold3d.Error.NoError:
            return None
        solids.append(solid)
    whole = manifold3d.Manifold.batch_boolean(solids, manifold3d.OpType.Add)
    skin = whole.to_mesh64()
    return TriangleMesh(
        vertices=np.asarray(skin.vert_properties)[:, :3],
        triangles=np.asarray(skin.tri_verts, dtype=np.int64),
    )


def _members(found: Bodies) -> list[list[int]]:
    """For each outermost body its own number, and those of the cavities, and of what lies loose in
    cavities, that belong to it."""
    members = {body.number: [body.number] for body in found.bodies if not body.inside}
    for body in found.bodies:
        if body.kind in (BodyKind.CAVITY, BodyKind.LOOSE_IN_CAVITY):
            around = body
            while around.inside:
                around = found.bodies[around.inside - 1]
            members[around.number].append(body.number)
    return list(members.values())
