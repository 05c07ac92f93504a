"""What a file of triangles holds, before any unit is given to its numbers.

Every reader of this folder takes bytes and returns a `FileMesh`. Nothing is repaired: corners that
stand at exactly the same place are joined only where the format has no other way to say that two
triangles share a corner, and the notes say how many were.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.errors import BadInput, MeshDefect

MOST_TRIANGLES = 10_000_000
"""Files with more triangles than this are refused: a bench part needs a hundredth of it."""


@dataclass(frozen=True, kw_only=True)
class FileMesh:
    """vertices (nv, 3) in file units; triangles (nt, 3); object_of_triangle (nt,) into names;
    unit is the length unit that the file states, or None; notes are sentences."""

    vertices: Floats
    triangles: Ints
    object_names: tuple[str, ...] = ()
    object_of_triangle: Ints | None = None
    unit: str | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Placed:
    """One object of a scene as it stands there: corners moved already, triangles its own."""

    name: str
    vertices: Floats
    triangles: Ints


def joined(objects: Sequence[Placed], *, unit: str | None, notes: Sequence[str]) -> FileMesh:
    """All objects of a scene as one mesh; no corner is shared between two objects."""
    if not objects:
        raise MeshDefect("the file holds no triangles")
    starts = np.cumsum([0] + [len(item.vertices) for item in objects[:-1]])
    return FileMesh(
        vertices=np.concatenate([item.vertices for item in objects]),
        triangles=np.concatenate(
            [item.triangles + start for item, start in zip(objects, starts, strict=True)]
        ),
        object_names=tuple(item.name for item in objects),
        object_of_triangle=np.repeat(
            np.arange(len(objects)), [len(item.triangles) for item in objects]
        ),
        unit=unit,
        notes=tuple(notes),
    )


def moved(vertices: Floats, triangles: Ints, matrix: Floats) -> tuple[Floats, Ints]:
    """Corners under an affine matrix (4, 4) that acts on columns; a mirror turns the winding."""
    linear = matrix[:3, :3]
    if not np.isfinite(matrix).all():
        raise BadInput("an object is placed by a matrix that holds numbers that are not finite")
    determinant = float(np.linalg.det(linear))
    if determinant == 0.0:
        raise MeshDefect("an object is placed by a matrix that flattens it; export the part again")
    placed = vertices @ linear.T + matrix[:3, 3]
    return placed, triangles[:, ::-1] if determinant < 0 else triangles


def checked_count(triangles: int) -> int:
    """The count, where it is one that can be handled; BadInput otherwise."""
    if triangles > MOST_TRIANGLES:
        raise BadInput(
            "the file holds {triangles:,} triangles and at most {most_triangles:,} are read; "
            "reduce the mesh in the program that made it",
            triangles=triangles,
            most_triangles=MOST_TRIANGLES,
        )
    return triangles


def checked_corners(triangles: Ints, corners: int) -> Ints:
    """Corner numbers (nt, 3), where all of them exist; MeshDefect otherwise."""
    if triangles.size:
        low, high = int(triangles.min()), int(triangles.max())
        if low < 0 or high >= corners:
            wrong = high if high >= corners else low
            raise MeshDefect(
                "a triangle names corner {wrong}, but the file holds {corners:,} corners",
                wrong=wrong + 1,
                corners=corners,
            )
    return triangles
