"""STL, binary and text: triangles without shared corners and without a unit.

As the format cannot say that two triangles share a corner, corners at exactly the same place are
one corner here, and the notes say so. Normals in the file are not used: the order of the corners
says which side is out, and a note tells where the two disagree. Text may end its lines as any
system does, or have none, and write exponents with a D as Fortran does.
"""

import re

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.errors import BadInput, MeshDefect
from tankside.base.messages import said
from tankside.part.formats.file_mesh import FileMesh, checked_count
from tankside.part.welding import same_place

_HEAD = 84
_RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
_UNSET_COUNTS = (0, 0xFFFFFFFF)
_BLOCK = 4_000_000
_SOLID_WORD = re.compile(rb"solid")
_CORNER = re.compile(rb"vertex\s+(\S+\s+\S+\s+\S+)")
_LINE_STARTS = re.compile(rb"\b(facet\s+normal|endsolid)\b", re.IGNORECASE)


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
            "triangle {number} has a corner that is not a finite number",
            number=int(np.argmin(finite)) + 1,
        )
    against = _against_stored_normals(corners, records["normal"].astype(np.float64))
    if against:
        notes.append(
            said(
                "the normals stored with {against} triangles point against the order of their "
                "corners; the order is used",
                against=against,
            )
        )
    places = np.arange(3 * len(corners)).reshape(-1, 3)
    return _welded(corners.reshape(-1, 3), places, (), None, notes)


def _record_count(data: bytes) -> tuple[int, list[str]]:
    if len(data) < _HEAD:
        raise BadInput(
            "the file is not an STL: {data} bytes are less than its head needs", data=len(data)
        )
    announced = _announced(data)
    held, rest = divmod(len(data) - _HEAD, 50)
    if announced in _UNSET_COUNTS and held and not rest:
        return held, [
            said("the file leaves its count of triangles open; it holds {held}", held=held)
        ]
    if announced > held:
        if announced > 20 * held + 1000:
            raise BadInput(
                "the file is not a whole binary STL: its head announces {announced:,} triangles "
                "and its length is enough for {held:,}",
                announced=announced,
                held=held,
            )
        raise BadInput(
            "the file is cut short: it announces {announced:,} triangles and holds {held:,}; copy "
            "or export it again",
            announced=announced,
            held=held,
        )
    if announced == 0:
        raise MeshDefect("the file is an STL without triangles")
    left = len(data) - _HEAD - 50 * announced
    return announced, [
        said("{left} bytes after the last triangle were not read", left=left)
    ] if left else []


def _against_stored_normals(corners: Floats, normals: Floats) -> int:
    edge_1, edge_2 = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    with np.errstate(invalid="ignore", over="ignore"):
        agreement = np.einsum("ij,ij->i", np.cross(edge_1, edge_2), normals)
    return int((agreement < 0).sum())


def _read_text(data: bytes) -> FileMesh:
    data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    if b"\n" not in data.strip():
        data = _LINE_STARTS.sub(rb"\n\1", data)
    names, pieces = _solids(data)
    places: dict[bytes, int] = {}
    blocks = [_corners_of(piece, places) for piece in pieces]
    counts = [len(block) for block in blocks]
    if not sum(counts):
        raise _no_facets(data)
    checked_count(sum(counts))
    corners = np.concatenate(blocks)
    points = _numbers(places, data)
    finite = np.isfinite(points)[corners].all(axis=(1, 2))
    if not finite.all():
        raise MeshDefect(
            "triangle {number} has a corner that is not a finite number",
            number=int(np.argmin(finite)) + 1,
        )
    notes = []
    if b"endsolid" not in data[-500:].lower():
        notes.append(said("the text STL does not end with 'endsolid'; it may be cut short"))
    held = [place for place, count in enumerate(counts) if count]
    if not all(names[place] for place in held):
        return _welded(points, corners, (), None, notes)
    kept = tuple(names[place] for place in held)
    return _welded(points, corners, kept, [counts[place] for place in held], notes)


def _solids(data: bytes) -> tuple[list[str], list[bytes]]:
    """The text, in small letters, between the lines that begin with 'solid' or 'endsolid', and the
    name of the solid that each piece is."""
    lowered = data.lower()
    names, pieces, start = [""], [], 0
    for match in _SOLID_WORD.finditer(lowered):
        line_start = data.rfind(b"\n", 0, match.start()) + 1
        line_end = data.find(b"\n", match.end())
        line_end = len(data) if line_end < 0 else line_end
        line = data[line_start:line_end].strip()
        if line_start < start or not line.lower().startswith((b"solid", b"endsolid")):
            continue
        pieces.append(lowered[start:line_start])
        opens = line.lower().startswith(b"solid")
        names.append(line[5:].strip().decode("utf-8", "replace") or "solid" if opens else "")
        start = line_end
    pieces.append(lowered[start:])
    return names, pieces


def _corners_of(piece: bytes, places: dict[bytes, int]) -> Ints:
    """For the facets in a piece of text, the numbers of their corners (n, 3) among the `places`,
    to which new ones are added; block by block, to keep memory small."""
    blocks, start = [np.zeros((0, 3), np.int64)], 0
    while start < len(piece):
        end = min(start + _BLOCK, len(piece))
        if end < len(piece):
            close = piece.find(b"endfacet", end)
            end = len(piece) if close < 0 else close + len(b"endfacet")
        blocks.append(_corners_of_block(piece[start:end], places))
        start = end
    return np.concatenate(blocks)


def _corners_of_block(text: bytes, places: dict[bytes, int]) -> Ints:
    rows = _CORNER.findall(text)
    closed = text.count(b"endfacet")
    begun = text.count(b"facet") - closed
    if len(rows) != 3 * closed or begun != closed:
        raise BadInput(
            "the text STL is damaged or cut short: of {begun:,} facets {closed:,} are closed, "
            "with {rows:,} corners, and each needs three; export it again",
            begun=begun,
            closed=closed,
            rows=len(rows),
        )
    numbers = [places.setdefault(row, len(places)) for row in rows]
    return np.array(numbers, dtype=np.int64).reshape(-1, 3)


def _numbers(places: dict[bytes, int], data: bytes) -> Floats:
    """Positions (n, 3) of the places, each of which stands in the text many times."""
    words = b" ".join(places).split()
    try:
        return np.fromiter(map(float, words), np.float64, len(words)).reshape(-1, 3)
    except ValueError:
        numbers = [_number(word, data) for word in words]
        return np.array(numbers, dtype=np.float64).reshape(-1, 3)


def _number(word: bytes, data: bytes) -> float:
    """A number that may have a D before its exponent; BadInput, with its line, where it is none."""
    try:
        return float(word.replace(b"d", b"e"))
    except ValueError as error:
        line = data[: data.lower().find(word)].count(b"\n") + 1
        raise BadInput(
            "line {line} of the text STL has {word!r} where a number should be; numbers have a "
            "point, not a comma, as their decimal mark",
            line=line,
            word=word[:40].decode("utf-8", "replace"),
        ) from error


def _no_facets(data: bytes) -> BadInput:
    if b"endsolid" in data.lower():
        return MeshDefect("the file is an STL without triangles")
    return BadInput("the file begins like a text STL but holds no facets")


def _welded(
    points: Floats,
    corners: Ints,
    names: tuple[str, ...],
    counts: list[int] | None,
    notes: list[str],
) -> FileMesh:
    first, number = same_place(points)
    notes.append(
        said(
            "an STL has no shared corners: the {corners} corners of its {corners_2} "
            "triangles stand at {first} places, and those at exactly the same place are one",
            corners=3 * len(corners),
            corners_2=len(corners),
            first=len(first),
        )
    )
    return FileMesh(
        vertices=points[first],
        triangles=number[corners],
        object_names=names,
        object_of_triangle=None if counts is None else np.repeat(np.arange(len(counts)), counts),
        notes=tuple(notes),
    )
