"""Values of panels averaged to their corners, without smearing them over sharp edges.

At a corner, a panel takes the area-weighted mean of those panels round that corner that face nearly
the same way as itself, so that the two sides of a fin or the flanks of an edge stay apart. For
pictures only: extremes are read from the panels.
"""

from math import cos, pi

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Floats, Ints
from tankside.part.mesh import TriangleMesh

EDGE_ANGLE = 50 * pi / 180
"""Panels that face apart by more than this are on two sides of an edge [rad]."""


def corner_means(mesh: TriangleMesh, values: Floats) -> Floats:
    """Values (nt,) or (nt, k) as corner values (nt, 3) or (nt, 3, k)."""
    here, there = _neighbours(mesh)
    panel = here // 3
    alike = np.einsum("ij,ij->i", mesh.normals[panel], mesh.normals[there]) > cos(EDGE_ANGLE)
    alike |= panel == there
    here, there = here[alike], there[alike]
    weights = mesh.areas[there]
    total = np.bincount(here, weights, minlength=mesh.triangles.size)
    columns = np.reshape(values, (len(mesh.triangles), -1)).T
    means = (
        np.stack(
            [
                np.bincount(here, weights * column[there], minlength=len(total))
                for column in columns
            ],
            axis=1,
        )
        / np.where(total > 0, total, 1.0)[:, None]
    )
    return np.asarray(means.reshape(len(mesh.triangles), 3, *values.shape[1:]))


def _neighbours(mesh: TriangleMesh) -> tuple[Ints, npt.NDArray[np.int64]]:
    """All pairs (corner slot 3 t + k, triangle that shares its vertex)."""
    slots_vertex = mesh.triangles.reshape(-1)
    order = np.argsort(slots_vertex, kind="stable")
    counts = np.bincount(slots_vertex, minlength=len(mesh.vertices))
    starts = np.concatenate([[0], np.cumsum(counts)[:-1]])
    fan = counts[slots_vertex]
    here = np.repeat(np.arange(len(slots_vertex)), fan)
    place = np.arange(len(here)) - np.repeat(np.cumsum(fan) - fan, fan)
    there = order[starts[slots_vertex[here]] + place] // 3
    return here, there
