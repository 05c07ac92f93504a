"""STL: what is read, and each way in which a file can be none."""

import struct
from collections.abc import Callable

import numpy as np
import pytest

from tankside.base.errors import BadInput, MeshDefect
from tankside.part.formats.stl import read_stl
from tankside.part.mesh import TriangleMesh
from tankside.part.read import read_part
from tests.unit.part.solids import box


def binary(mesh: TriangleMesh, head: bytes = b"", count: int | None = None) -> bytes:
    records = b"".join(
        struct.pack("<12fH", *normal, *corners.reshape(-1), 0)
        for normal, corners in zip(mesh.normals, mesh.corners, strict=True)
    )
    announced = len(mesh.triangles) if count is None else count
    return head.ljust(80, b"\0") + struct.pack("<I", announced) + records


def text(mesh: TriangleMesh, name: str = "finial") -> bytes:
    lines = [f"solid {name}"]
    for corners in mesh.corners:
        lines += ["  facet normal 0 0 0", "    outer loop"]
        lines += [f"      vertex {x:.9e} {y:.9e} {z:.9e}" for x, y, z in corners]
        lines += ["    endloop", "  endfacet"]
    return "\n".join([*lines, f"endsolid {name}", ""]).encode()


UNIT = box((10.0, 20.0, 30.0))


@pytest.mark.parametrize("data", [binary(UNIT), text(UNIT), text(UNIT).upper()])
def test_corners_at_one_place_are_one(data: bytes) -> None:
    read = read_stl(data)
    assert read.vertices.shape == (8, 3)
    mesh = TriangleMesh(vertices=read.vertices, triangles=read.triangles)
    assert mesh.signed_volume == pytest.approx(6000.0, rel=1e-12)
    assert np.array_equal(mesh.corners, UNIT.corners)
    assert "36 corners of its 12 triangles stand at 8 places" in read.notes[-1]


def test_zero_and_minus_zero_are_one_place() -> None:
    corners = [[[0.0, 0, 0], [1, 0, 0], [0, 1, 0]], [[-0.0, 0, 0], [0, 1, 0], [0, 0, 1]]]
    mesh = TriangleMesh(vertices=np.reshape(corners, (-1, 3)), triangles=[[0, 1, 2], [3, 4, 5]])
    assert len(read_stl(binary(mesh)).vertices) == 4


def test_several_solids_keep_their_names() -> None:
    read = read_stl(text(UNIT, "vertex cap 1 2 3") + text(box((1, 1, 1)), ""))
    assert read.object_names == ("vertex cap 1 2 3", "solid")
    assert read.object_of_triangle is not None
    assert read.object_of_triangle.tolist() == [0] * 12 + [1] * 12


def test_a_binary_head_may_begin_with_solid() -> None:
    assert len(read_stl(binary(UNIT, head=b"solid made by a slicer facet")).triangles) == 12


def test_windows_line_ends_and_indents_do_not_matter() -> None:
    assert len(read_stl(text(UNIT).replace(b"\n", b"\r\n").replace(b"    ", b"\t")).vertices) == 8


@pytest.mark.parametrize("count", [0, 0xFFFFFFFF])
def test_a_count_left_open_is_taken_from_the_length(count: int) -> None:
    read = read_stl(binary(UNIT, count=count))
    assert len(read.triangles) == 12
    assert "leaves its count of triangles open" in read.notes[0]


def test_bytes_after_the_last_triangle_are_named() -> None:
    assert "7 bytes after the last triangle" in read_stl(binary(UNIT) + b"trailer").notes[0]


def test_a_text_that_ends_early_but_between_facets_is_named() -> None:
    whole = text(UNIT)
    cut = whole[: whole.rindex(b"  facet normal")]
    read = read_stl(cut)
    assert len(read.triangles) == 11
    assert "does not end with 'endsolid'" in read.notes[0]


def test_normals_against_the_corners_are_named() -> None:
    flipped = TriangleMesh(vertices=UNIT.vertices, triangles=UNIT.triangles[:, ::-1])
    data = bytearray(binary(UNIT))
    data[84:] = b"".join(
        struct.pack("<12fH", *normal, *corners.reshape(-1), 0)
        for normal, corners in zip(flipped.normals, UNIT.corners, strict=True)
    )
    assert "normals stored with 12 triangles point against" in read_stl(bytes(data)).notes[0]


def test_text_blocks_join_without_a_seam(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tankside.part.formats.stl._BLOCK", 300)
    read = read_stl(text(UNIT))
    assert np.array_equal(read.vertices[read.triangles], UNIT.corners)


@pytest.mark.parametrize(
    ("data", "kind", "words"),
    [
        (binary(UNIT)[:-30], BadInput, "cut short: it announces 12 triangles and holds 11"),
        (b"\1" * 40, BadInput, "40 bytes are less than its head needs"),
        (b"\1" * 200, BadInput, "not a whole binary STL"),
        (binary(UNIT, count=0)[:84], MeshDefect, "without triangles"),
        (b"solid nothing\nendsolid nothing\n", MeshDefect, "without triangles"),
        (b"solid gold prices rise\n", BadInput, "holds no facets"),
        (b"solid a\nfacet normal 0 0 1\n", BadInput, "of 1 facets 0 are closed"),
        (b"solid a\nfacet\nendfacet\nendsolid\n", BadInput, "of 1 facets 1 are closed, with 0"),
        (text(UNIT)[:-200], BadInput, "of 12 facets 11 are closed, with 33"),
        (text(UNIT).replace(b"5.0", b"5,0", 1), BadInput, "line 4 of the text STL has '-5,0000"),
        (text(UNIT).replace(b"5.000000000e+00", b"nan", 1), MeshDefect, "triangle 1 has a corner"),
        (binary(UNIT)[:146] + struct.pack("<f", np.inf) + binary(UNIT)[150:], MeshDefect,
         "triangle 2 has a corner that is not a finite number"),
    ],
)  # fmt: skip
def test_what_is_no_stl_is_refused(data: bytes, kind: type[BadInput], words: str) -> None:
    with pytest.raises(kind, match=words):
        read_stl(data)


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data.replace(b"\n", b"\r"),
        lambda data: data.replace(b"\n", b" "),
        lambda data: data.replace(b"\n", b"\r\n").replace(b"vertex", b"VERTEX \t"),
        lambda data: data.replace(b"e+0", b"D+0").replace(b"e-0", b"d-00"),
    ],
    ids=["lines of an old Mac", "one line", "tabs and capitals", "Fortran's exponents"],
)
def test_text_in_other_hands_is_read_alike(change: Callable[[bytes], bytes]) -> None:
    data = change(text(UNIT, "finial facet 2"))
    assert data != text(UNIT, "finial facet 2")
    read = read_stl(data)
    mesh = TriangleMesh(vertices=read.vertices, triangles=read.triangles)
    assert mesh.signed_volume == pytest.approx(6000.0, rel=1e-12)
    assert len(read.vertices) == 8
    assert "endsolid" not in " ".join(read.notes)


def test_a_mark_before_the_text_is_passed_over() -> None:
    assert len(read_part(b"\xef\xbb\xbf" + text(UNIT), "finial.stl").mesh.triangles) == 12


def test_a_decimal_comma_is_named_with_its_line() -> None:
    with pytest.raises(BadInput, match=r"line 4 of the text STL has '-5,0.*a point, not a comma"):
        read_stl(text(UNIT).replace(b".000000000", b",000000000"))
