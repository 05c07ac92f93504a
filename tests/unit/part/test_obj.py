"""OBJ: corners, polygons, names and what is wrong with them."""

import numpy as np
import pytest

from tankside.base.errors import BadInput, MeshDefect
from tankside.part.formats.obj import read_obj

SQUARE = b"v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\n"


def area(data: bytes) -> float:
    read = read_obj(data)
    a, b, c = (read.vertices[read.triangles[:, k]] for k in range(3))
    return float(np.cross(b - a, c - a)[:, 2].sum() / 2)


@pytest.mark.parametrize(
    "face",
    [
        b"f 1 2 3 4",
        b"f 1/7/9 2/7/9 3/7/9 4/7/9",
        b"f 1//1 2//1 3//1 4//1",
        b"f -4 -3 -2 -1",
        b"f 1 2 \\\n 3 4",
        b"  f\t1 2 3\n f 1 3 4",
    ],
)
def test_a_square_in_every_spelling(face: bytes) -> None:
    assert area(SQUARE + face) == 1.0


def test_corners_may_carry_colours_and_weights() -> None:
    assert area(SQUARE.replace(b"0\n", b"0 0.5 0.5 0.5\n") + b"f 1 2 3 4\n") == 1.0


def test_a_hollow_polygon_is_cut_inside_its_outline() -> None:
    """A square of side 4 with a notch of 2 x 3, whose reflex corners a fan would cross."""
    outline = [(0, 0), (4, 0), (4, 4), (3, 4), (3, 1), (1, 1), (1, 4), (0, 4)]
    data = "".join(f"v {x} {y} 0\n" for x, y in outline) + "f 1 2 3 4 5 6 7 8\n"
    read = read_obj(data.encode())
    a, b, c = (read.vertices[read.triangles[:, k]] for k in range(3))
    parts = np.cross(b - a, c - a)[:, 2] / 2
    assert len(parts) == 6
    assert (parts > 0).all()
    assert parts.sum() == pytest.approx(10.0, rel=1e-14)
    assert read.notes == ("polygons with more than three corners, cut into triangles: 1",)


@pytest.mark.parametrize("start", range(4))
def test_a_hollow_quadrilateral_is_cut_from_its_reflex_corner(start: int) -> None:
    arrow = np.roll([(0, 0), (4, 0), (1, 1), (0, 4)], start, axis=0)
    data = "".join(f"v {x} {y} 0\n" for x, y in arrow) + "f 1 2 3 4\n"
    read = read_obj(data.encode())
    a, b, c = (read.vertices[read.triangles[:, k]] for k in range(3))
    parts = np.cross(b - a, c - a)[:, 2] / 2
    assert (parts > 0).all()
    assert parts.sum() == pytest.approx(4.0)


def test_objects_keep_their_names() -> None:
    read = read_obj(b"o cap\n" + SQUARE + b"f 1 2 3\ng stem\nf 1 3 4\n")
    assert read.object_names == ("cap", "stem")
    assert read.object_of_triangle is not None
    assert read.object_of_triangle.tolist() == [0, 1]


def test_faces_of_two_corners_are_left_out_and_named() -> None:
    read = read_obj(SQUARE + b"f 1 2\nf 1 2 3\n")
    assert len(read.triangles) == 1
    assert read.notes == ("faces that name fewer than three corners, left out: 1",)


@pytest.mark.parametrize(
    ("data", "kind", "words"),
    [
        (b"hello\nworld\n", BadInput, "not an OBJ"),
        (SQUARE, MeshDefect, "4 corners but no faces"),
        (SQUARE + b"f 1 2 5\n", MeshDefect, "names corner 5, but the file holds 4"),
        (SQUARE + b"f 1 2 -9\n", MeshDefect, "a triangle names corner"),
        (SQUARE + b"f 0 1 2\n", MeshDefect, "names corner 0"),
        (SQUARE + b"f 1 two 3\n", BadInput, "line 5 of the OBJ cannot be read: 'f 1 two 3'"),
        (b"v 0 0\n", BadInput, "line 1 of the OBJ cannot be read"),
        (b"v 0 nan 0\nf 1 1 1", MeshDefect, "corner 1 is not made of finite numbers"),
        (SQUARE + b"f 1 2 " + b"9" * 30, BadInput, "line 5 of the OBJ"),
    ],
)
def test_what_is_no_obj_is_refused(data: bytes, kind: type[BadInput], words: str) -> None:
    with pytest.raises(kind, match=words):
        read_obj(data)
