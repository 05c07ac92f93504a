"""OBJ: corners and polygons as text, without a unit.

Read are `v`, `f`, `o` and `g`; corner numbers may count back from the latest corner (negative).
Textures, normals, lines, curves and materials do not concern the shape and are passed over.
"""

from array import array
from dataclasses import dataclass, field

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.errors import BadInput, MeshDefect
from tankside.base.messages import said
from tankside.part.formats.file_mesh import FileMesh, checked_corners, checked_count
from tankside.part.formats.polygons import triangulated


@dataclass
class _Gathered:
    """What one pass over the lines collects."""

    coordinates: "array[float]" = field(default_factory=lambda: array("d"))
    corners: "array[int]" = field(default_factory=lambda: array("q"))
    sizes: "array[int]" = field(default_factory=lambda: array("q"))
    corners_so_far: "array[int]" = field(default_factory=lambda: array("q"))
    object_of_polygon: "array[int]" = field(default_factory=lambda: array("q"))
    names: list[str] = field(default_factory=lambda: [""])
    too_few: int = 0


def read_obj(data: bytes) -> FileMesh:
    """The polygons of an OBJ file as triangles; BadInput or MeshDefect where it is damaged."""
    gathered = _gathered(data.replace(b"\\\r\n", b" ").replace(b"\\\n", b" "))
    vertices = np.array(gathered.coordinates, dtype=np.float64).reshape(-1, 3)
    if not len(vertices):
        raise BadInput("the file is not an OBJ: no line of it gives a corner ('v x y z')")
    if not gathered.sizes:
        raise MeshDefect(
            "the OBJ holds {vertices:,} corners but no faces; a point cloud has no surface",
            vertices=len(vertices),
        )
    _check_finite(vertices)
    corners = _resolved(gathered, len(vertices))
    sizes = np.array(gathered.sizes, dtype=np.int64)
    checked_count(int((sizes - 2).sum()))
    triangles, polygon = triangulated(vertices, corners, sizes)
    used, numbers = np.unique(
        np.array(gathered.object_of_polygon, dtype=np.int64), return_inverse=True
    )
    names = tuple(gathered.names[index] for index in used)
    return FileMesh(
        vertices=vertices,
        triangles=triangles,
        object_names=names if any(names) else (),
        object_of_triangle=numbers[polygon] if any(names) else None,
        notes=_notes(gathered, sizes),
    )


def _gathered(data: bytes) -> _Gathered:
    gathered = _Gathered()
    for number, line in enumerate(data.split(b"\n"), start=1):
        parts = line.split()
        if not parts:
            continue
        try:
            _take(gathered, parts[0], parts)
        except (ValueError, OverflowError) as error:
            text = line.strip()[:60].decode("utf-8", "replace")
            raise BadInput(
                "line {number} of the OBJ cannot be read: {text!r}", number=number, text=text
            ) from error
    return gathered


def _take(gathered: _Gathered, word: bytes, parts: list[bytes]) -> None:
    if word == b"v":
        x, y, z = parts[1:4]
        gathered.coordinates.extend((float(x), float(y), float(z)))
    elif word == b"f":
        _take_face(gathered, parts)
    elif word in (b"o", b"g"):
        gathered.names.append(b" ".join(parts[1:]).decode("utf-8", "replace"))


def _take_face(gathered: _Gathered, parts: list[bytes]) -> None:
    corners = [int(part.partition(b"/")[0]) for part in parts[1:]]
    if len(corners) < 3:
        gathered.too_few += 1
        return
    gathered.corners.extend(corners)
    gathered.sizes.append(len(corners))
    gathered.corners_so_far.append(len(gathered.coordinates) // 3)
    gathered.object_of_polygon.append(len(gathered.names) - 1)


def _resolved(gathered: _Gathered, count: int) -> Ints:
    """Corner numbers from 0, with those that count back resolved."""
    given = np.array(gathered.corners, dtype=np.int64)
    if not given.all():
        raise MeshDefect("a face names corner 0, and the corners of an OBJ are counted from 1")
    back = np.repeat(
        np.array(gathered.corners_so_far, dtype=np.int64), np.array(gathered.sizes, dtype=np.int64)
    )
    return checked_corners(np.where(given > 0, given - 1, back + given), count)


def _check_finite(vertices: Floats) -> None:
    finite = np.isfinite(vertices).all(axis=1)
    if not finite.all():
        raise MeshDefect("corner {np} is not made of finite numbers", np=int(np.argmin(finite)) + 1)


def _notes(gathered: _Gathered, sizes: Ints) -> tuple[str, ...]:
    notes = []
    if gathered.too_few:
        notes.append(
            said(
                "faces that name fewer than three corners, left out: {too_few}",
                too_few=gathered.too_few,
            )
        )
    if (larger := int((sizes > 3).sum())) > 0:
        notes.append(
            said(
                "polygons with more than three corners, cut into triangles: {larger}", larger=larger
            )
        )
    return tuple(notes)
