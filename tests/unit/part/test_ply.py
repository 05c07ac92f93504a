"""PLY in its three forms, with polygons, strips and properties that do not matter."""

import struct

import numpy as np
import pytest

from tankside.base.errors import BadInput, MeshDefect
from tankside.part.formats.ply import read_ply

POINTS = [(0, 0, 0), (2, 0, 0), (2, 1, 0), (0, 1, 0), (1, 2, 0)]


def head(form: str, points: int, faces: int, more: str = "", element: str = "face") -> str:
    return (
        f"ply\nformat {form} 1.0\ncomment for the theatre\nelement vertex {points}\n"
        f"property float x\nproperty uchar red\nproperty double y\nproperty float z\n"
        f"element {element} {faces}\n{more}property list uchar int vertex_indices\nend_header\n"
    )


def in_text(faces: list[list[int]], element: str = "face") -> bytes:
    rows = [f"{x} 7 {y} {z}" for x, y, z in POINTS]
    rows += [" ".join(map(str, [len(face), *face])) for face in faces]
    return (head("ascii", len(POINTS), len(faces), element=element) + "\n".join(rows)).encode()


def in_binary(faces: list[list[int]], order: str, element: str = "face") -> bytes:
    form = "binary_little_endian" if order == "<" else "binary_big_endian"
    body = b"".join(struct.pack(order + "fBdf", x, 7, y, z) for x, y, z in POINTS)
    for face in faces:
        body += struct.pack(f"{order}hB{len(face)}i", 5, len(face), *face)
    top = head(form, len(POINTS), len(faces), "property short flags\n", element)
    return top.encode() + body


def area(data: bytes) -> float:
    read = read_ply(data)
    a, b, c = (read.vertices[read.triangles[:, k]] for k in range(3))
    return float(np.cross(b - a, c - a)[:, 2].sum() / 2)


FORMS = [in_text, lambda faces: in_binary(faces, "<"), lambda faces: in_binary(faces, ">")]


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(
    ("faces", "expected"),
    [
        ([[0, 1, 2], [0, 2, 3]], 2.0),
        ([[0, 1, 2, 3]], 2.0),
        ([[0, 1, 2, 3], [3, 2, 4]], 3.0),
        ([[0, 1, 2, 4, 3]], 3.0),
    ],
)
def test_every_form_gives_the_same_area(form, faces, expected) -> None:  # type: ignore[no-untyped-def]
    assert area(form(faces)) == pytest.approx(expected, rel=1e-15)


@pytest.mark.parametrize("form", [in_text, lambda f, e: in_binary(f, "<", e)])
def test_strips_are_unrolled_with_every_second_one_turned(form) -> None:  # type: ignore[no-untyped-def]
    assert area(form([[0, 1, 3, 2, -1, 3, 2, 4]], "tristrips")) == pytest.approx(3.0)


def test_elements_that_do_not_matter_are_passed_over() -> None:
    data = in_binary([[0, 1, 2, 3]], "<")
    extra = b"element edge 2\nproperty list uchar float weights\nproperty int side\nelement vertex"
    top, _, body = data.partition(b"end_header\n")
    top = top.replace(b"element vertex", extra)
    edges = struct.pack("<B2fi", 2, 1.0, 2.0, 3) + struct.pack("<B1fi", 1, 1.0, 3)
    assert area(top + b"end_header\n" + edges + body) == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("data", "kind", "words"),
    [
        (b"ply\nformat ascii 1.0\n", BadInput, "'end_header' is missing"),
        (b"ply\nformat runes 1.0\nend_header\n", BadInput, "'format runes 1.0'"),
        (b"ply\nelement vertex 0\nend_header\n", BadInput, "gives no format"),
        (b"ply\nformat ascii 1.0\nelement face 0\nproperty list uchar int vertex_indices\n"
         b"end_header\n", BadInput, "no element 'vertex'"),
        (in_text([]), MeshDefect, "5 corners but no faces"),
        (in_text([[0, 1, 9]]), MeshDefect, "names corner 10, but the file holds 5"),
        (in_text([[0, 1, 2]])[:-8], BadInput, "cut short or damaged in its element 'face'"),
        (in_binary([[0, 1, 2]], "<")[:-3], BadInput, "cut short or damaged in its element 'face'"),
        (in_binary([[0, 1, 2]], "<")[:-40], BadInput, "damaged in its element 'vertex'"),
        (in_text([[0, 1, 2]]).replace(b"2 7 0 0", b"2 7 nan 0"), MeshDefect, "corner 2 is not"),
        (in_text([[0, 1, 2]]).replace(b"2 7 0 0", b"2 7 x 0"), BadInput, "holds text"),
        (in_text([[0, 1, 2]]).replace(b"float z", b"float zz"), BadInput, "have no z"),
        (in_text([[0, 1, 2]]).replace(b"vertex_indices", b"nothing"), BadInput, "does not list"),
        (in_text([[0, 1, 2]]).replace(b"element vertex 5", b"element vertex -5"), BadInput,
         "below zero"),
        (in_binary([[0, 1, 2]], "<").replace(b"element face 1", b"element face 9999999999"),
         BadInput, "cut short or damaged"),
    ],
)  # fmt: skip
def test_what_is_no_ply_is_refused(data: bytes, kind: type[BadInput], words: str) -> None:
    with pytest.raises(kind, match=words):
        read_ply(data)
