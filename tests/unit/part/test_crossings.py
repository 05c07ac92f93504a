"""Crossings, against exact whole-number arithmetic over all pairs."""

import itertools

import numpy as np
import pytest

from tankside.base.arrays import Bools, Ints
from tankside.part.box_pairs import overlapping_pairs
from tankside.part.crossings import crossings_of
from tankside.part.mesh import TriangleMesh
from tests.unit.part.solids import box, merged, rotation, sphere, without

_PAIR_SIDES = [(k, (k + 1) % 3) for k in range(3)]


def side_of(a: Ints, b: Ints, c: Ints, d: Ints) -> Ints:
    """Sign of the volume of tetrahedra of whole numbers (n, 3) each: exact in 64 bits."""
    return np.sign(np.einsum("ij,ij->i", np.cross(b - a, c - a), d - a))


def pierces(edge: tuple[Ints, Ints], triangle: Ints, *, strictly: bool) -> Bools:
    """Whether edges (n, 3), (n, 3) pass through triangles (n, 3, 3): strictly through the inside,
    or touching counted too."""
    p, q = edge
    a, b, c = (triangle[:, k] for k in range(3))
    above, below = side_of(a, b, c, p), side_of(a, b, c, q)
    around = np.stack([side_of(p, q, a, b), side_of(p, q, b, c), side_of(p, q, c, a)])
    if strictly:
        return np.asarray((above * below < 0) & (np.abs(around.sum(axis=0)) == 3))
    inside = (around >= 0).all(axis=0) | (around <= 0).all(axis=0)
    return np.asarray((above * below <= 0) & inside)


def exact_pairs(vertices: Ints, triangles: Ints, *, strictly: bool) -> set[tuple[int, int]]:
    pairs = np.array(list(itertools.combinations(range(len(triangles)), 2)))
    found = np.zeros(len(pairs), dtype=np.bool_)
    for one, two in ((0, 1), (1, 0)):
        mine, theirs = vertices[triangles[pairs[:, one]]], vertices[triangles[pairs[:, two]]]
        for start, end in _PAIR_SIDES:
            found |= pierces((mine[:, start], mine[:, end]), theirs, strictly=strictly)
    return {(int(one), int(two)) for one, two in pairs[found]}


def found_pairs(mesh: TriangleMesh) -> set[tuple[int, int]]:
    return {(int(one), int(two)) for one, two in crossings_of(mesh).crossing}


@pytest.mark.parametrize("seed", range(4))
def test_a_soup_crosses_where_exact_arithmetic_says(seed: int) -> None:
    """Every strict crossing is found, and nothing is found that does not even touch."""
    vertices = np.random.default_rng(seed).integers(0, 48, (300, 3))
    triangles = np.arange(300).reshape(-1, 3)
    found = found_pairs(TriangleMesh(vertices=vertices, triangles=triangles))
    strict = exact_pairs(vertices, triangles, strictly=True)
    assert len(strict) > 300
    assert strict <= found <= exact_pairs(vertices, triangles, strictly=False)


@pytest.mark.parametrize("seed", range(3))
def test_a_crumpled_ball_crosses_where_exact_arithmetic_says(seed: int) -> None:
    """Neighbours share corners and edges here, which touch without crossing."""
    ball = sphere(20.0, 24)
    noise = np.random.default_rng(seed).integers(-9, 10, ball.vertices.shape)
    vertices = np.round(ball.vertices).astype(np.int64) + noise
    found = found_pairs(TriangleMesh(vertices=vertices, triangles=ball.triangles))
    strict = exact_pairs(vertices, ball.triangles, strictly=True)
    assert len(strict) > 100
    assert strict <= found


def test_whole_solids_do_not_cross() -> None:
    for mesh in (box(), sphere(0.02, 48), sphere(0.02, 48).moved(rotation(0.7), np.ones(3))):
        crossings = crossings_of(mesh)
        assert len(crossings.crossing) == len(crossings.lying_on) == 0


def test_boxes_that_overlap_cross_along_six_lines() -> None:
    """Each of three faces of one box meets two faces of the other; every line lies in one
    triangle of each, ending on diagonals, where careless tests lose it."""
    pair = merged(box((2.0, 2.0, 2.0)), box((2.0, 2.0, 2.0), at=(1.0, 1.0, 1.0)))
    crossings = crossings_of(pair)
    assert len(crossings.crossing) == 6
    assert (crossings.crossing[:, 0] < 12).all()
    assert (crossings.crossing[:, 1] >= 12).all()


def test_boxes_that_touch_over_a_face_lie_on_one_another_but_do_not_cross() -> None:
    crossings = crossings_of(merged(box(), box(at=(0.01, 0.0, 0.0))))
    assert len(crossings.crossing) == 0
    assert len(crossings.lying_on) in (2, 4)


def test_boxes_that_touch_in_an_edge_or_a_corner_do_neither() -> None:
    for at in ((0.01, 0.01, 0.0), (0.01, 0.01, 0.01)):
        crossings = crossings_of(merged(box(), box(at=at)))
        assert len(crossings.crossing) == len(crossings.lying_on) == 0


def test_a_sheet_folded_back_on_itself_lies_on_itself() -> None:
    fold = TriangleMesh(
        vertices=np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0.2, 0.8, 0.0]]),
        triangles=[[0, 1, 2], [1, 0, 3]],
    )
    crossings = crossings_of(fold)
    assert len(crossings.crossing) == 0
    assert crossings.lying_on.tolist() == [[0, 1]]


def test_a_fan_over_one_corner_crosses_itself_where_it_runs_through() -> None:
    """Two triangles share a corner; the second one pierces the first beyond it."""
    corner = np.array([0.0, 0.0, 0.0])
    vertices = np.array([corner, [2, -1, 0], [2, 1, 0], [2, 0, -1], [2, 0.3, 1]])
    fan = [[0, 1, 2], [0, 3, 4]]
    assert found_pairs(TriangleMesh(vertices=vertices, triangles=fan)) == {(0, 1)}
    apart = vertices * np.array([[1, 1, 1]] * 3 + [[-1, 1, 1]] * 2)
    assert found_pairs(TriangleMesh(vertices=apart, triangles=fan)) == set()


def test_single_precision_does_not_look_like_crossings() -> None:
    """A curved surface moved far off, rounded as an STL rounds, and taken apart at its seams."""
    ball = sphere(20.0, 64).moved(rotation(0.3), np.array([150.0, -80.0, 60.0]))
    rounded = TriangleMesh(
        vertices=ball.vertices.astype(np.float32).astype(float), triangles=ball.triangles
    )
    assert found_pairs(rounded) == set()
    assert found_pairs(without(rounded, 5, 77)) == set()


def test_all_overlapping_boxes_are_found_once() -> None:
    random = np.random.default_rng(7)
    low = random.random((500, 3))
    high = low + 0.2 * random.random((500, 3)) ** 3
    pairs = [np.stack(pair, axis=1) for pair in overlapping_pairs(low, high)]
    found = [tuple(pair) for pair in np.concatenate(pairs).tolist()]
    meet = (low[:, None] <= high[None]).all(axis=2) & (low[None] <= high[:, None]).all(axis=2)
    expected = {(int(i), int(j)) for i, j in np.argwhere(np.triu(meet, 1))}
    assert len(found) == len(set(found))
    assert set(found) == expected
