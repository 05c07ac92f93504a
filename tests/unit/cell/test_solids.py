"""Overlap, distance, walls and pieces of solution against figures that can be told by hand."""

from math import sqrt

import numpy as np
import pytest

from tankside.base.errors import MeshDefect
from tankside.cell.placing import posed
from tankside.cell.solids import (
    Solid,
    below,
    distance,
    outside,
    overlap,
    pieces_of_solution,
    sides_of,
    solid,
    wall_distance,
)
from tankside.part.mesh import TriangleMesh
from tests.unit.cell.scenes import block, sphere

FLOOR = np.array([[-0.2, -0.1], [0.2, -0.1], [0.2, 0.1], [-0.2, 0.1]])
ELL = np.array([[0, 0], [0.3, 0], [0.3, 0.1], [0.1, 0.1], [0.1, 0.3], [0, 0.3]])


def cube(x: float, y: float, z: float, turn: float = 0.0, size: float = 0.04) -> Solid:
    return solid(posed(block((size, size, size), 2), (x, y, z), (0, 0, turn)), "part 1")


def test_distance_between_faces_edges_and_corners() -> None:
    here = cube(0, 0, 0)
    assert distance(here, cube(0.05, 0.003, 0)) == pytest.approx(0.01, abs=1e-12)
    assert distance(here, cube(0.05, 0.05, 0)) == pytest.approx(0.01 * sqrt(2), abs=1e-12)
    assert distance(here, cube(0.05, 0.05, 0.05)) == pytest.approx(0.01 * sqrt(3), abs=1e-12)
    assert distance(here, cube(0.05, 0, 0, 45)) == pytest.approx(0.03 - 0.02 * sqrt(2), abs=1e-12)


def test_crossing_edges_far_from_any_corner() -> None:
    one = solid(posed(block((0.2, 0.01, 0.01), 1), (0, 0, 0), (45, 0, 0)), "a")
    other = solid(posed(block((0.01, 0.2, 0.01), 1), (0, 0, 0.02), (0, 45, 0)), "b")
    assert distance(one, other) == pytest.approx(0.02 - 0.01 * sqrt(2), abs=1e-12)


def test_depth_of_an_overlap() -> None:
    here = cube(0, 0, 0)
    assert overlap(here, cube(0.037, 0.01, 0.01)) == pytest.approx(0.003, abs=1e-12)
    assert overlap(here, cube(0.041, 0, 0)) == 0.0
    assert overlap(here, cube(0.04, 0, 0)) == 0.0
    ball = solid(sphere(0.03, 4), "ball")
    other = solid(posed(sphere(0.03, 4), (0.04, 0.03, 0), (0, 0, 0)), "ball")
    assert overlap(ball, other) == pytest.approx(0.01, rel=0.03)


def test_a_thin_thing_right_through_another() -> None:
    sheet = solid(block((0.002, 0.1, 0.1), 1), "sheet")
    rod = solid(block((0.2, 0.02, 0.02), 1), "rod")
    assert overlap(sheet, rod) == pytest.approx(0.002, abs=1e-12)


def test_reaching_out_of_walls() -> None:
    assert outside(cube(0.1, 0, 0.1), FLOOR, 0.3) == 0.0
    assert outside(cube(0.185, 0, 0.1), FLOOR, 0.3) == pytest.approx(0.005, abs=1e-7)
    assert outside(cube(0.5, 0, 0.1), FLOOR, 0.3) == pytest.approx(0.32, abs=1e-7)
    assert outside(cube(0.5, 0, 0.4), FLOOR, 0.3) == 0.0
    assert outside(cube(0.1, 0.1, 0.1), ELL, 0.3) == pytest.approx(0.02, abs=1e-7)


def test_distance_from_walls_also_round_a_corner_that_juts_in() -> None:
    assert wall_distance(cube(0.1, 0.03, 0.1), sides_of(FLOOR)) == pytest.approx(0.05, abs=1e-7)
    assert wall_distance(cube(0.08, 0.08, 0.1, 45, 0.02), sides_of(ELL)) == pytest.approx(
        0.02 * sqrt(2) - 0.01, abs=1e-7
    )


def test_what_lies_below_a_level() -> None:
    low = below(cube(0, 0, 0), 0.01)
    assert low.volume == pytest.approx(0.04 * 0.04 * 0.03)
    assert low.mesh.box[1][2] == pytest.approx(0.01)
    whole = cube(0, 0, 0)
    assert below(whole, 0.02) is whole


def test_pieces_of_solution() -> None:
    wall = solid(block((0.01, 0.2, 1.0), 1), "wall")
    pieces = pieces_of_solution(FLOOR, 0.2, [wall])
    assert [piece.volume for piece in pieces] == pytest.approx([0.195 * 0.2 * 0.2] * 2)
    assert pieces[0].wets(wall)
    assert pieces[1].wets(wall)
    assert pieces_of_solution(FLOOR, 0.2, [solid(block((1, 1, 1), 1), "all")]) == []


def test_a_piece_of_solution_within_another() -> None:
    outer, inner = block((0.1, 0.1, 0.1)), block((0.08, 0.08, 0.08)).flipped()
    shell = TriangleMesh(
        vertices=np.concatenate([outer.vertices, inner.vertices]) + np.array([0, 0, 0.1]),
        triangles=np.concatenate([outer.triangles, inner.triangles + len(outer.vertices)]),
    )
    within, beside = cube(0, 0, 0.1), cube(0.1, 0, 0.1)
    large, small = pieces_of_solution(FLOOR, 0.2, [solid(shell, "shell"), within, beside])
    assert large.volume == pytest.approx(0.4 * 0.2 * 0.2 - 0.1**3 - 0.04**3)
    assert small.volume == pytest.approx(0.08**3 - 0.04**3)
    assert (large.wets(within), small.wets(within)) == (False, True)
    assert (large.wets(beside), small.wets(beside)) == (True, False)


@pytest.mark.parametrize(
    ("mesh", "words"),
    [
        (
            TriangleMesh(
                vertices=block((1, 1, 1)).vertices, triangles=block((1, 1, 1)).triangles[1:]
            ),
            "not a closed surface",
        ),
        (block((1, 1, 1)).flipped(), "inside out"),
        (TriangleMesh(vertices=np.zeros((0, 3)), triangles=np.zeros((0, 3))), "not a closed"),
    ],
)
def test_a_mesh_that_bounds_no_solid_is_refused(mesh: TriangleMesh, words: str) -> None:
    with pytest.raises(MeshDefect, match=words) as refused:
        solid(mesh, "anode 3")
    assert refused.value.where == "anode 3"
