"""STL, binary and text: triangles without shared corners and without a unit.

As the format cannot say that two triangles share a corner, corners at exactly the same place are
one corner here, and the notes say so. Normals in the file are not used: the order of the corners
says which side is out, and a note tells where the two disagree.
"""

import re

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, MeshDefect
from tankside.part.formats.file_mesh import FileMesh, checked_count
from tankside.part.welding import same_place

_HEAD = 84
_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
_UNSET_COUNTS = (0, 0xFFFFFFFF)
_SOLID_LINE = re.compile(rb"^[ \t]*solid\b[ \t]*(.*?)[ \t\r]*$", re.MULTILINE | re.IGNORECASE)
_NAME_LINE = re.compile(rb"^[ \t]*(?:end)?solid\b.*$", re.MULTILINE | re.IGNORECASE)
_CORNER = re.compile(rb"\bvertex\s+(\S+\s+\S+\s+\S+)", re.IGNORECASE)


def read_stl(data: bytes) -> FileMesh:
    """The triangles of an STL file; BadInput or MeshDefect where it is none or is damaged."""
    if _is_text(data):
        return _read_text(data)
    return _read_binary(data)


def _is_text(data: bytes) -> bool:
    if len(data) >= _HEAD and len(data) == _HEAD + 50 * _announced(data):
        return False
    head = data[:2000].lower()
    return head.lstrip().startswith(b"solid") and b"\0" not in head


def _announced(data: bytes) -> int:
    return int.from_bytes(data[80:_HEAD], "little")


def _read_binary(data: bytes) -> FileMesh:
    count, notes = _record_count(data)
    records = np.frombuffer(data, dtype=_RECORD, count=checked_count(count), offset=_HEAD)
    corners = records["corners"].astype(np.float64)
    finite = np.isfinite(corners).all(axis=(1, 2))
    if not finite.all():
        raise MeshDefect(
            f"triangle {int(np.argmin(finite)) + 1} has a corner that is not a finite number"
        )
    against = _against_stored_normals(corners, records["normal"].astype(np.float64))
    if against:
        notes.append(
            f"the normals stored with {against:,} triangles point against the order of their "
            "corners; the order is used"
        )
    return _welded(corners, (), None, notes)


def _record_count(data: bytes) -> tuple[int, list[str]]:
    if len(data) < _HEAD:
        raise BadInput(f"the file is not an STL: {len(data)} bytes are less than its head needs")
    announced = _announced(data)
    held, rest = divmod(len(data) - _HEAD, 50)
    if announced in _UNSET_COUNTS and held and not rest:
        return held, [f"the file leaves its count of triangles open; it holds {held:,}"]
    if announced > held:
        if announced > 20 * held + 1000:
            raise BadInput(
                f"the file is not a whole binary STL: its head announces {announced:,} triangles "
                f"and its length is enough for {held:,}"
            )
        raise BadInput(
            f"the file is cut short: it announces {announced:,} triangles and holds {held:,}; "
            "copy or export it again"
        )
    if announced == 0:
        raise MeshDefect("the file is an STL without triangles")
    left = len(data) - _HEAD - 50 * announced
    return announced, [f"{left:,} bytes after the last triangle were not read"] if left else []


def _against_stored_normals(corners: Floats, normals: Floats) -> int:
    edge_1, edge_2 = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    with np.errstate(invalid="ignore", over="ignore"):
        agreement = np.einsum("ij,ij->i", np.cross(edge_1, edge_2), normals)
    return int((agreement < 0).sum())


def _read_text(data: bytes) -> FileMesh:
    names = [match.group(1).decode("utf-8", "replace") for match in _SOLID_LINE.finditer(data)]
    pieces = _NAME_LINE.split(data)
    tokens: list[bytes] = []
    counts: list[int] = []
    for piece in pieces:
        found = _CORNER.findall(piece)
        tokens += found
        counts.append(len(found))
    facets = sum(piece.lower().count(b"endfacet") for piece in pieces)
    _check_text(data, tokens, facets)
    corners = _numbers(tokens).reshape(-1, 3, 3)
    solids = [index for index, count in enumerate(counts) if count]
    names = [name or "solid" for name, count in zip(names, counts[1::2], strict=False) if count]
    if len(names) != len(solids):
        return _welded(corners, (), None, [])
    return _welded(corners, tuple(names), [counts[index] // 3 for index in solids], [])


def _check_text(data: bytes, tokens: list[bytes], facets: int) -> None:
    if not tokens:
        if b"facet" in data.lower():
            raise BadInput("the file is a text STL whose facets hold no corners")
        if re.search(rb"^\s*endsolid", data, re.MULTILINE | re.IGNORECASE):
            raise MeshDefect("the file is an STL without triangles")
        raise BadInput("the file begins like a text STL but holds no facets")
    if len(tokens) != 3 * facets:
        raise BadInput(
            f"the text STL is damaged or cut short: {len(tokens):,} corners for {facets:,} closed "
            "facets, and each needs three; export it again"
        )
    checked_count(facets)


def _numbers(tokens: list[bytes]) -> Floats:
    try:
        words = b" ".join(tokens).split()
        numbers = np.fromiter(map(float, words), np.float64, len(words)).reshape(-1, 3)
    except ValueError as error:
        raise BadInput(f"the text STL holds a corner that is no number: {error}") from error
    finite = np.isfinite(numbers).all(axis=1)
    if not finite.all():
        raise MeshDefect(
            f"triangle {int(np.argmin(finite)) // 3 + 1} has a corner that is not a finite number"
        )
    return numbers


def _welded(
    corners: Floats, names: tuple[str, ...], counts: list[int] | None, notes: list[str]
) -> FileMesh:
    points = corners.reshape(-1, 3)
    first, number = same_place(points)
    notes.append(
        f"an STL has no shared corners: the {len(points):,} corners of its {len(corners):,} "
        f"triangles stand at {len(first):,} places, and those at exactly the same place are one"
    )
    return FileMesh(
        vertices=points[first],
        triangles=number.reshape(-1, 3),
        object_names=names,
        object_of_triangle=None if counts is None else np.repeat(np.arange(len(counts)), counts),
        notes=tuple(notes),
    )
