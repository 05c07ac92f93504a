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

    solids = []
    for body in found.bodies:
        if body.inside:
            continue
        members = [
            one.number
            for one in found.bodies
            if one.number == body.number or _belongs(found, one.number, body.number)
        ]
        own = np.isin(found.body_of_triangle, np.array(members) - 1)
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


def _belongs(found: Bodies, inner: int, outer: int) -> bool:
    """Whether body `inner` is a cavity, or loose in a cavity, of the outermost body `outer`."""
    body = found.bodies[inner - 1]
    if body.kind not in (BodyKind.CAVITY, BodyKind.LOOSE_IN_CAVITY):
        return False
    while body.inside:
        body = found.bodies[body.inside - 1]
    return body.number == outer
