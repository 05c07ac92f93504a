"""Polygons less polygons, exactly, also where they share sides."""

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.cell.polygons import area_of, besides, common, prism

WALL = (np.array([[-0.2, 0.0], [0.2, 0.0], [0.2, 0.26], [-0.2, 0.26]]),)


def rectangle(x0: float, x1: float, y0: float, y1: float) -> tuple[Floats, ...]:
    return (np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]),)


def test_a_hole() -> None:
    (piece,) = besides(WALL, [rectangle(-0.1, 0.1, 0.05, 0.15)])
    outline, hole = piece
    assert area_of((outline,)) == pytest.approx(0.104, rel=1e-12)
    assert area_of((hole,)) == pytest.approx(-0.02, rel=1e-12)
    assert {tuple(p) for p in hole} == {(-0.1, 0.05), (0.1, 0.05), (0.1, 0.15), (-0.1, 0.15)}


def test_a_notch_keeps_corners_to_the_last_digit() -> None:
    (piece,) = besides(WALL, [rectangle(-0.1, 0.1, 0.07, 0.26)])
    (outline,) = piece
    assert {tuple(p) for p in outline} == {
        *map(tuple, WALL[0]),
        *((-0.1, 0.26), (-0.1, 0.07), (0.1, 0.07), (0.1, 0.26)),
    }


def test_a_band_from_floor_to_top_leaves_two_pieces() -> None:
    pieces = besides(WALL, [rectangle(-0.1, 0.1, 0.0, 0.26)])
    assert sorted(area_of(piece) for piece in pieces) == pytest.approx([0.026, 0.026])
    assert all(len(piece) == 1 and len(piece[0]) == 4 for piece in pieces)


def test_what_is_all_covered_leaves_nothing() -> None:
    assert besides(WALL, [WALL]) == ()
    assert besides(WALL, [rectangle(-0.3, 0.3, -0.1, 0.3)]) == ()


def test_round_off_in_the_shared_sides_leaves_no_slivers() -> None:
    rng = np.random.default_rng(5)
    for _ in range(20):
        jitter = rectangle(-0.2, 0.1, 0.0, 0.26)[0] + rng.uniform(-1e-16, 1e-16, (4, 2))
        (piece,) = besides(WALL, [(jitter,)])
        assert area_of(piece) == pytest.approx(0.026, rel=1e-9)
        assert len(piece[0]) == 4


def test_what_two_polygons_share() -> None:
    (piece,) = common(WALL, rectangle(0.1, 0.3, 0.2, 0.4))
    assert area_of(piece) == pytest.approx(0.006, rel=1e-12)
    assert common(WALL, rectangle(0.2, 0.3, 0.0, 0.26)) == ()
    ring = (rectangle(-0.1, 0.1, -0.1, 0.1)[0], rectangle(-0.05, 0.05, -0.05, 0.05)[0][::-1])
    assert area_of(common(ring, ring)[0]) == pytest.approx(0.03, rel=1e-12)


def test_the_prism_over_a_polygon_with_a_hole() -> None:
    ring = (rectangle(-0.1, 0.1, -0.1, 0.1)[0], rectangle(-0.05, 0.05, -0.05, 0.05)[0][::-1])
    assert prism(ring, 0.5).volume() == pytest.approx(0.015, rel=1e-12)
