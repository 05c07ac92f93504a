"""PLY, text and binary of either byte order: corners, polygons or triangle strips, no unit.

The head is a small language of its own; properties that do not concern the shape are skipped over
by their sizes. A file with corners but no faces is a point cloud and is refused.
"""

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.errors import BadInput, MeshDefect
from tankside.base.messages import said
from tankside.part.formats.file_mesh import FileMesh, checked_corners, checked_count
from tankside.part.formats.ply_body import Binary, Element, Property, Source, Words
from tankside.part.formats.polygons import triangulated

_TYPES = {
    "char": "i1", "int8": "i1", "uchar": "u1", "uint8": "u1",
    "short": "i2", "int16": "i2", "ushort": "u2", "uint16": "u2",
    "int": "i4", "int32": "i4", "uint": "u4", "uint32": "u4",
    "float": "f4", "float32": "f4", "double": "f8", "float64": "f8",
}  # fmt: skip
_ORDERS = {"ascii": "", "binary_little_endian": "<", "binary_big_endian": ">"}
_FACE_LISTS = ("vertex_indices", "vertex_index")


def read_ply(data: bytes) -> FileMesh:
    """The polygons of a PLY file as triangles; BadInput or MeshDefect where it is damaged."""
    order, elements, start = _head(data)
    vertices: Floats | None = None
    corners, sizes = np.zeros(0, np.int64), np.zeros(0, np.int64)
    strips = np.zeros((0, 3), np.int64)
    source: Source = Words(data, start) if not order else Binary(data, start, order)
    for element in elements:
        if element.name == "vertex":
            vertices = _corner_places(source, element)
        elif element.name == "face":
            corners, sizes = _runs(source, element, _FACE_LISTS)
        elif element.name == "tristrips":
            strips = _unrolled(_runs(source, element, _FACE_LISTS))
        else:
            source.skip(element)
    if vertices is None:
        raise BadInput("the PLY declares no element 'vertex'")
    return _assembled(vertices, corners, sizes, strips)


def _assembled(vertices: Floats, corners: Ints, sizes: Ints, strips: Ints) -> FileMesh:
    finite = np.isfinite(vertices).all(axis=1)
    if not finite.all():
        raise MeshDefect("corner {np} is not made of finite numbers", np=int(np.argmin(finite)) + 1)
    if not len(sizes) and not len(strips):
        raise MeshDefect(
            "the PLY holds {vertices:,} corners but no faces; a point cloud has no surface",
            vertices=len(vertices),
        )
    checked_corners(corners, len(vertices))
    checked_corners(strips, len(vertices))
    large = sizes >= 3
    checked_count(int((sizes[large] - 2).sum()) + len(strips))
    kept = corners[np.repeat(large, sizes)]
    triangles = triangulated(vertices, kept, sizes[large])[0]
    notes = []
    if not large.all():
        notes.append(
            said(
                "faces that name fewer than three corners, left out: {int}", int=int((~large).sum())
            )
        )
    if (sizes > 3).any():
        notes.append(
            said(
                "polygons with more than three corners, cut into triangles: {int}",
                int=int((sizes > 3).sum()),
            )
        )
    return FileMesh(
        vertices=vertices, triangles=np.concatenate([triangles, strips]), notes=tuple(notes)
    )


def _head(data: bytes) -> tuple[str, list[Element], int]:
    end = data.find(b"end_header")
    if end < 0 or b"\n" not in data[end : end + 14]:
        raise BadInput("the PLY has no whole head: 'end_header' is missing")
    start = data.index(b"\n", end) + 1
    order: str | None = None
    elements: list[Element] = []
    for line in data[:end].decode("ascii", "replace").splitlines()[1:]:
        words = line.split()
        try:
            if not words or words[0] in ("comment", "obj_info"):
                continue
            if words[0] == "format":
                order = _ORDERS[words[1]]
            elif words[0] == "element":
                elements.append(Element(words[1], int(words[2]), ()))
            elif words[0] == "property":
                last = elements.pop()
                elements.append(
                    Element(last.name, last.count, (*last.properties, _property(words)))
                )
        except (KeyError, IndexError, ValueError) as error:
            raise BadInput(
                "a line of the PLY's head cannot be read: {line!r}", line=line
            ) from error
    if order is None or any(item.count < 0 for item in elements):
        raise BadInput("the PLY's head gives no format, or a count below zero")
    return order, elements, start


def _property(words: list[str]) -> Property:
    if words[1] == "list":
        return Property(words[4], _TYPES[words[3]], _TYPES[words[2]])
    return Property(words[2], _TYPES[words[1]])


def _corner_places(source: Source, element: Element) -> Floats:
    if not element.plain:
        raise BadInput("the PLY's corners carry lists, which this reader does not know")
    columns = source.columns(element)
    missing = [name for name in "xyz" if name not in columns]
    if missing:
        raise BadInput("the PLY's corners have no {missing}", missing=", ".join(missing))
    return np.stack([columns[name] for name in "xyz"], axis=1)


def _runs(source: Source, element: Element, names: tuple[str, ...]) -> tuple[Ints, Ints]:
    wanted = [
        item.name for item in element.properties if item.name in names and item.is_list_of_integers
    ]
    if not wanted:
        raise BadInput(
            "the PLY's element {element!r} does not list corner numbers", element=element.name
        )
    return source.runs(element, wanted[0])


def _unrolled(strips: tuple[Ints, Ints]) -> Ints:
    """Triangles of strips, each ended by -1; every second one is turned."""
    values, sizes = strips
    ends = np.cumsum(sizes)
    pieces = []
    for run in np.split(values, ends[:-1]):
        for strip in np.split(run, np.flatnonzero(run < 0)):
            corners = strip[strip >= 0]
            three = np.stack([corners[:-2], corners[1:-1], corners[2:]], axis=1)
            three[1::2] = three[1::2, ::-1]
            pieces.append(three)
    triangles = np.concatenate(pieces)
    repeated = (triangles == np.roll(triangles, 1, axis=1)).any(axis=1)
    kept: Ints = triangles[~repeated]
    return kept
