"""Slopes on panels, potentials at corners and their moments, against linear functions and sums."""

import numpy as np
import pytest
from scipy.sparse import csr_array

from tankside.base.arrays import Floats
from tankside.field.corrections import Corrections, near_corrections
from tankside.field.dense import corner_moments_of, rises, slopes
from tankside.field.integrals import exact, packed
from tankside.field.moments import corner_moments
from tankside.field.panels import Panels
from tankside.field.reconstruction import fitted_slopes, reconstruction, tangents
from tankside.field.spreading import spread
from tankside.validation.closed_shapes import box, sphere, turned


def gradients(panels: Panels, potential: Floats) -> Floats:
    """(n, 3) by the fast form."""
    geometry = packed(panels, np.arange(len(panels)))
    fitted = fitted_slopes(geometry, panels.group)
    result = np.zeros((len(panels), 3))
    for i in range(len(panels)):
        run = slice(fitted.start[i], fitted.start[i] + fitted.count[i])
        steps = potential[fitted.panel[run]] - potential[i]
        along, across = steps @ fitted.weight[run]
        frame = np.array(tangents(geometry, i)).reshape(2, 3)
        result[i] = along * frame[0] + across * frame[1]
    return result


@pytest.fixture(scope="module")
def cube() -> Panels:
    lines = np.linspace(0, 0.1, 5)
    faces = list(box(lines, lines**1.1, lines**0.9).values())
    return Panels(
        corners=np.concatenate(faces), group=np.repeat([0, 0, 0, 0, 0, 1], [len(f) for f in faces])
    )


def test_linear_potentials_have_their_own_slope(cube: Panels) -> None:
    slope = np.array([1.0, -2.0, 3.0])
    along = slope - (cube.normals @ slope)[:, None] * cube.normals
    assert gradients(cube, cube.centroids @ slope) == pytest.approx(along, rel=1e-4, abs=1e-4)


def test_constant_potentials_have_no_slope(cube: Panels) -> None:
    assert not gradients(cube, np.full(len(cube), 3.3)).any()


def test_slopes_stop_at_sharp_edges_and_at_other_bodies(cube: Panels) -> None:
    # Each face has a value of its own: no slope may leak from one to the next.
    faces = np.rint(cube.normals @ [1, 2, 4])
    assert gradients(cube, faces) == pytest.approx(np.zeros((len(cube), 3)), abs=1e-12)


def test_slopes_go_around_gentle_bends() -> None:
    corners = sphere(1.0, 8)
    panels = Panels(corners=corners, group=np.zeros(len(corners), dtype=int))
    found = gradients(panels, panels.centroids[:, 2])
    up = np.array([0.0, 0.0, 1.0])
    along = up - panels.normals[:, 2:] * panels.normals
    assert np.abs(found - along).max() < 0.05


def test_fast_and_plain_slopes_agree() -> None:
    pieces = [turned(sphere(0.05, 4)), sphere(0.04, 3) + np.array([0.1, 0, 0])]
    panels = Panels(
        corners=np.concatenate(pieces), group=np.repeat([0, 1], [len(p) for p in pieces])
    )
    potential = np.random.default_rng(0).normal(size=len(panels))
    plain = (slopes(panels) @ potential).reshape(-1, 3)
    assert gradients(panels, potential) == pytest.approx(plain, rel=1e-4, abs=1e-4 * plain.max())


def test_a_lone_panel_has_no_slope() -> None:
    panels = Panels(corners=sphere(1.0, 1)[:1], group=np.zeros(1, dtype=int))
    assert not gradients(panels, np.ones(1)).any()


def test_panels_in_one_row_have_a_slope_along_it_alone() -> None:
    # A strip of two-sided neighbours: no panel lies across the row.
    strip = np.array([[[0, 0, 0], [1, 0, 0], [0.5, 1, 0]], [[1, 0, 0], [2, 0, 0], [1.5, 1, 0]]])
    panels = Panels(corners=strip, group=np.zeros(2, dtype=int))
    assert gradients(panels, np.array([0.0, 5.0])) == pytest.approx(
        np.array([[5.0, 0, 0], [5.0, 0, 0]]), rel=1e-5
    )


def risen(panels: Panels, potential: Floats) -> Floats:
    """(n, 3) from centroids to corners, by the fast form: each rise as a unit moment's weights."""
    count = len(panels)
    found = reconstruction(packed(panels, np.arange(count)), panels.group)
    slopes_, corners = found.slopes, found.corners
    unit = np.zeros((3, 1, 3), dtype=np.float32)
    unit[range(3), 0, range(3)] = 1.0
    sums = np.zeros((3, count, 3), dtype=np.float32)
    slot, items = np.full(count, -1), np.zeros(count, dtype=int)
    meeting = len(corners.start) - 1
    rise = np.zeros((count, 3))
    for j in range(count):
        slot[j], items[0] = 0, j
        reached = spread(
            slopes_.start, slopes_.count, slopes_.panel, slopes_.weight,
            corners.number, corners.part, corners.start, corners.panel, corners.weight,
            1, unit, sums, np.zeros((meeting, 3), dtype=np.float32),
            slot, items, np.full(meeting, -1), np.zeros(meeting, dtype=int),
        )  # fmt: skip
        rise[j] = sums[0, :reached].T @ potential[items[:reached]]
        slot[items[:reached]] = -1
    return rise


def test_linear_potentials_rise_to_their_own_values_at_all_corners(cube: Panels) -> None:
    slope = np.array([1.0, -2.0, 3.0])
    due = (cube.corners - cube.centroids[:, None]) @ slope
    assert risen(cube, cube.centroids @ slope) == pytest.approx(due, rel=1e-4, abs=1e-5)


def test_constant_potentials_do_not_rise(cube: Panels) -> None:
    assert np.abs(risen(cube, np.full(len(cube), 3.3))).max() < 1e-6


def test_the_potential_is_one_at_a_corner_whatever_meets_there() -> None:
    # Panels of one height: each takes the whole of what meets at its corners.
    lines = np.linspace(0, 0.1, 5)
    panels = Panels(corners=np.concatenate(list(box(lines, lines, lines).values())),
                    group=np.zeros(192, dtype=int))  # fmt: skip
    potential = np.random.default_rng(1).normal(size=len(panels))
    at_corner = (potential[:, None] + risen(panels, potential)).reshape(-1)
    places = np.round(panels.corners.reshape(-1, 3), 9)
    numbers = np.unique(places, axis=0, return_inverse=True)[1].reshape(-1)
    means = np.bincount(numbers, at_corner) / np.bincount(numbers)
    assert at_corner == pytest.approx(means[numbers], abs=1e-5)


def test_beside_a_narrow_rim_a_panel_keeps_its_own_slope() -> None:
    # A plate 20 times as wide as thick: its rim's potential is not that of half a panel beside it.
    lines = np.linspace(0, 0.1, 3)
    faces = box(lines, lines, np.linspace(0, 0.005, 2))
    panels = Panels(corners=np.concatenate(list(faces.values())),
                    group=np.zeros(sum(map(len, faces.values())), dtype=int))  # fmt: skip
    on_rim = np.abs(panels.normals[:, 2]) < 0.5
    rise = risen(panels, on_rim.astype(float))
    assert np.abs(rise[~on_rim]).max() < 0.02
    assert rise[on_rim].min() < -0.3


def test_fast_and_plain_rises_agree(cube: Panels) -> None:
    potential = np.random.default_rng(2).normal(size=len(cube))
    plain = (rises(cube) @ potential).reshape(-1, 3)
    assert risen(cube, potential) == pytest.approx(plain, abs=1e-5 * np.abs(plain).max())


TRIANGLE = np.array([[0.0, 0.0, 0.0], [2.0, 0.3, 0.4], [0.5, 1.2, -0.3]])


def moments_by_pieces(corners: Floats, point: Floats, cuts: int) -> Floats:
    """The corners' moments (3,) by the closed double layer of cuts^2 similar small triangles on
    each of the panel's three pieces, times the function at their middle."""
    total = np.zeros(3)
    middle = corners.mean(axis=0)
    for side in range(3):
        a, b, c = middle, corners[side], corners[(side + 1) % 3]
        for i in range(cuts):
            for j in range(cuts - i):
                for third in (False, True) if i + j < cuts - 1 else (False,):
                    at = [(i, j), (i + 1, j), (i, j + 1)]
                    if third:
                        at = [(i + 1, j), (i + 1, j + 1), (i, j + 1)]
                    small = np.array([a + (s * (b - a) + t * (c - a)) / cuts for s, t in at])
                    panels = Panels(corners=small[None], group=np.zeros(1, dtype=int))
                    origin = (small.min(axis=0) + small.max(axis=0)) / 2
                    share = exact(packed(panels, np.arange(1)), 0, *(point - origin))[1]
                    s, t = np.mean(at, axis=0) / cuts
                    total[side] += share * s
                    total[(side + 1) % 3] += share * t
    return total


@pytest.mark.parametrize(
    "place", [(0.3, 0.3, 0.4), (0.3, 0.3, -0.4), (0.5, 0.0, 0.3), (1.4, 0.2, 0.5), (-1.0, 2.0, 1.0)]
)
def test_corner_moments_agree_with_a_sum_over_pieces(place: tuple[float, float, float]) -> None:
    panels = Panels(corners=TRIANGLE[None], group=np.zeros(1, dtype=int))
    geometry = packed(panels, np.arange(1))
    a, b, c = TRIANGLE
    point = a + place[0] * (b - a) + place[1] * (c - a) + place[2] * panels.normals[0]
    middle = (TRIANGLE.min(axis=0) + TRIANGLE.max(axis=0)) / 2
    found = np.array(corner_moments(geometry, 0, *(point - middle)))
    pieces = moments_by_pieces(TRIANGLE, point, 24)
    assert found == pytest.approx(pieces, abs=2e-3 * np.abs(pieces).max())


def test_targets_in_the_panels_plane_have_no_moment() -> None:
    panels = Panels(corners=TRIANGLE[None], group=np.zeros(1, dtype=int))
    geometry = packed(panels, np.arange(1))
    middle = (TRIANGLE.min(axis=0) + TRIANGLE.max(axis=0)) / 2
    assert corner_moments(geometry, 0, *(TRIANGLE[1] * 1.5 - TRIANGLE[0] - middle)) == (0, 0, 0)


def test_corrections_are_the_moments_times_the_rises() -> None:
    corners = sphere(0.05, 6) - np.array([0, 0, 0.06])
    panels = Panels(corners=corners, group=np.zeros(len(corners), dtype=int), mirror_level=0.0)
    count = len(panels)
    geometry = packed(panels, np.arange(count))
    whole = np.array([[0, count, 0, count]] * 2)
    found = reconstruction(geometry, panels.group)
    pieces = near_corrections(geometry, whole, np.array([False, True]), found)
    rows = Corrections.joined(pieces)
    held = csr_array((rows.weight, rows.panel, rows.row), shape=(count, count)).toarray()
    ways = panels.centroids, panels.centroids * [1, 1, -1]
    moments = sum(corner_moments_of(panels, at) for at in ways)
    due = moments @ rises(panels)
    # Beyond two sizes by quadrature, whose error is a hundredth of what is largest there.
    assert held == pytest.approx(due, abs=2e-3 * np.abs(due).max())
    assert np.abs(held.sum(axis=1)).max() < 1e-5  # what was left out as negligible


def test_one_piece_of_corrections_follows_another() -> None:
    one, two = (
        Corrections(
            start=start, stop=start + 2, row=np.array([0, 1, 3]),
            panel=np.array(panel, dtype=np.int32), weight=np.array([1, 0, 2], dtype=np.float32),
        )
        for start, panel in ((0, [3, 1, 2]), (2, [0, 3, 1]))
    )  # fmt: skip
    joined = Corrections.joined([one, two])
    assert (joined.start, joined.stop, list(joined.row)) == (0, 4, [0, 1, 3, 4, 6])
    kept = joined.kept()
    assert list(kept.row) == [0, 1, 2, 3, 4]
    assert list(kept.panel) == [3, 2, 0, 1]
