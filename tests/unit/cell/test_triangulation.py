"""Constrained Delaunay: the border holds, the area is exact, no circle holds a fourth corner."""

import numpy as np
import pytest

from tankside.base.arrays import Floats, Ints
from tankside.cell.triangulation import triangulated

SQUARE = np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.0]])
HOLE = np.array([[1.0, 1.0], [1.0, 2.0], [2.0, 2.0], [2.0, 1.0]])
ELL = np.array([[0.0, 0.0], [3.0, 0.0], [3.0, 1.0], [1.0, 1.0], [1.0, 3.0], [0.0, 3.0]])


def divided(loop: Floats, count: int) -> list[Floats]:
    shares = (np.arange(count) + 1)[:, None] / (count + 1)
    return [a + shares * (b - a) for a, b in zip(loop, np.roll(loop, -1, axis=0), strict=True)]


def signed_areas(points: Floats, triangles: Ints) -> Floats:
    a, b, c = (points[triangles[:, k]] for k in range(3))
    one, two = b - a, c - a
    return (one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]) / 2


def edges_of(triangles: Ints) -> set[tuple[int, int]]:
    return {(int(t[k]), int(t[(k + 1) % 3])) for t in triangles for k in range(3)}


def random_inside(loops: list[Floats], count: int, seed: int) -> Floats:
    rng = np.random.default_rng(seed)
    places = rng.uniform(loops[0].min(axis=0) + 0.1, loops[0].max(axis=0) - 0.1, (count, 2))
    if loops[0] is ELL:
        return places[(places[:, 0] < 0.9) | (places[:, 1] < 0.9)]
    return places[(np.abs(places - 1.5) > 0.6).any(axis=1)] if len(loops) > 1 else places


@pytest.mark.parametrize(
    ("loops", "area"), [([SQUARE], 12.0), ([SQUARE, HOLE], 11.0), ([ELL], 5.0)]
)
@pytest.mark.parametrize("relaxations", [0, 3])
def test_fills_the_polygon_and_keeps_its_border(
    loops: list[Floats], area: float, relaxations: int
) -> None:
    border = [divided(loop, 3) for loop in loops]
    inner = random_inside(loops, 60, 7)
    points, triangles = triangulated(loops, border, inner, relaxations=relaxations)
    areas = signed_areas(points, triangles)
    assert areas.min() > 0
    assert areas.sum() == pytest.approx(area, rel=1e-12)
    corners = sum(len(loop) for loop in loops)
    outline = [e for e in edges_of(triangles) if (e[1], e[0]) not in edges_of(triangles)]
    assert len(outline) == corners * 4
    assert {k for edge in outline for k in edge} == set(range(corners * 4))
    assert len(points) == corners * 4 + len(inner)
    assert set(triangles.ravel()) == set(range(len(points)))
    assert len(triangles) == len(points) + len(inner) - 2 + 2 * (len(loops) - 1)


def test_no_circle_through_a_triangle_holds_its_neighbour() -> None:
    points, triangles = triangulated(
        [SQUARE], [divided(SQUARE, 5)], random_inside([SQUARE], 150, 3), relaxations=0
    )
    opposite = {
        (int(t[k]), int(t[(k + 1) % 3])): int(t[(k + 2) % 3]) for t in triangles for k in range(3)
    }
    checked = 0
    for (a, b), c in opposite.items():
        d = opposite.get((b, a))
        if d is None:
            continue
        pa, pb, pc, pd = (points[k] for k in (a, b, c, d))
        angles = [
            np.arccos((u @ v) / np.linalg.norm(u) / np.linalg.norm(v))
            for u, v in ((pa - pc, pb - pc), (pa - pd, pb - pd))
        ]
        assert sum(angles) <= np.pi + 1e-9
        checked += 1
    assert checked > 300


def test_smoothing_evens_out_the_triangles() -> None:
    inner = random_inside([SQUARE], 80, 11)
    shares = []
    for relaxations in (0, 5):
        points, triangles = triangulated(
            [SQUARE], [divided(SQUARE, 6)], inner, relaxations=relaxations
        )
        areas = signed_areas(points, triangles)
        shares.append(float(areas.std() / areas.mean()))
    assert shares[1] < 0.75 * shares[0]


def test_points_on_a_common_line_make_no_flat_triangles() -> None:
    strip = np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 0.3], [0.0, 0.3]])
    ends = [np.zeros((0, 2))] * 4
    ends[0], ends[2] = divided(strip, 19)[0], divided(strip, 19)[2]
    points, triangles = triangulated([strip], [ends], np.zeros((0, 2)), relaxations=2)
    assert signed_areas(points, triangles).min() == pytest.approx(0.15, rel=1e-9)
    assert len(triangles) == 40


def test_a_point_outside_is_refused() -> None:
    outside = np.array([[5.0, 1.0]])
    with pytest.raises(ValueError, match="outside the polygon"):
        triangulated([SQUARE], [[np.zeros((0, 2))] * 4], outside, relaxations=0)
