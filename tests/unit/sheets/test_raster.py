"""Hidden surfaces against geometry that is known."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.base.arrays import Floats
from tankside.part.mesh import TriangleMesh
from tankside.sheets.camera import fitted_camera, two_views, view_axes
from tankside.sheets.corners import corner_means
from tankside.sheets.raster import NOTHING, seen

SQUARE = np.array([[[0, 0, 0], [8, 0, 0], [8, 8, 0]], [[0, 0, 0], [8, 8, 0], [0, 8, 0]]], float)


def shifted(x: float, y: float, depth: float) -> Floats:
    return SQUARE + np.array([x, y, depth])


def test_a_square_covers_its_pixels_and_no_other() -> None:
    sight = seen(shifted(2, 1, 0), width=12, height=10)
    expected = np.zeros((10, 12), bool)
    expected[1:9, 2:10] = True
    np.testing.assert_array_equal(sight.covered, expected)


def test_the_nearer_triangle_wins_whatever_the_order() -> None:
    near = shifted(0, 0, 5)
    for stack, winner in (
        (np.concatenate([near, SQUARE]), {0, 1}),
        (np.concatenate([SQUARE, near]), {2, 3}),
    ):
        sight = seen(stack, width=8, height=8)
        assert set(np.unique(sight.triangle)) == winner
        assert (sight.depth == 5).all()


def test_either_side_of_a_triangle_is_seen() -> None:
    assert seen(SQUARE[:, ::-1], width=8, height=8).covered.all()


def test_what_reaches_over_the_edge_is_cut_there() -> None:
    sight = seen(SQUARE * 100 - [400, 400, 0], width=5, height=5)
    assert sight.covered.all()


def test_triangles_seen_edge_on_and_those_outside_show_nothing() -> None:
    edge_on = SQUARE[:, :, [0, 2, 1]]
    assert (seen(edge_on, width=8, height=8).triangle == NOTHING).all()
    assert not seen(shifted(100, 0, 0), width=8, height=8).covered.any()


def test_corner_values_are_joined_by_planes() -> None:
    corners = SQUARE.copy()
    values = 3.0 * corners[:, :, 0] - 2.0 * corners[:, :, 1] + 1.0
    sight = seen(corners, width=8, height=8)
    rows, columns = np.nonzero(sight.covered)
    expected = 3.0 * (columns + 0.5) - 2.0 * (rows + 0.5) + 1.0
    np.testing.assert_allclose(sight.between_corners(values), expected, atol=1e-4)


@given(azimuth=st.floats(0, 6.28), elevation=st.floats(-1.5, 1.5))
def test_a_sphere_is_a_disc_from_everywhere(
    ball: Callable[..., TriangleMesh], azimuth: float, elevation: float
) -> None:
    mesh = ball(0.02, (0.3, -0.1, 0.7), 24)
    camera = fitted_camera(mesh.vertices, azimuth, elevation, width=200, height=160, margin=(5, 5))
    sight = seen(camera.projected(mesh.corners), width=200, height=160)
    assert sight.covered.sum() == pytest.approx(np.pi * 75**2, rel=0.02)
    assert sight.depth.max() == pytest.approx(75, rel=0.02)
    towards = camera.axes()[2]
    assert (mesh.normals[sight.triangle[sight.covered]] @ towards > -1e-6).all()


@given(azimuth=st.floats(-7, 7), elevation=st.floats(-1.5, 1.5))
def test_axes_are_square_and_right_handed_and_upright(azimuth: float, elevation: float) -> None:
    axes = view_axes(azimuth, elevation)
    np.testing.assert_allclose(axes @ axes.T, np.eye(3), atol=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1.0)
    assert axes[1, 2] > 0


def test_from_the_front_the_right_is_right_and_up_is_up() -> None:
    camera = fitted_camera(
        np.array([[-1.0, -1, -1], [1, 1, 1]]), -np.pi / 2, 0.0, width=100, height=100, margin=(0, 0)
    )
    middle, right, up, nearer = camera.projected(
        np.array([[0.0, 0, 0], [1, 0, 0], [0, 0, 1], [0, -1, 0]])
    )
    np.testing.assert_allclose(right - middle, [50, 0, 0], atol=1e-9)
    np.testing.assert_allclose(up - middle, [0, -50, 0], atol=1e-9)
    np.testing.assert_allclose(nearer - middle, [0, 0, 50], atol=1e-9)


@pytest.mark.parametrize("towards", [(1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (-0.6, 0.8, 0.0)])
def test_two_views_show_the_wanted_side(
    ball: Callable[..., TriangleMesh], towards: tuple[float, float, float]
) -> None:
    mesh = ball(0.02, (0.0, 0.0, 0.0))
    wanted = mesh.normals @ np.array(towards) > 0.97
    views = two_views(mesh.corners, mesh.areas, wanted)
    facing = [mesh.normals[wanted] @ view_axes(*view)[2] for view in views]
    assert (np.max(facing, axis=0) > 0).all()
    assert abs(views[1][0] - views[0][0]) == pytest.approx(np.pi)
    assert views[0][1] > 0


def test_corner_means_keep_a_constant_and_the_integral_of_a_smooth_field(
    ball: Callable[..., TriangleMesh],
) -> None:
    mesh = ball(1.0, (0.0, 0.0, 0.0), 24)
    np.testing.assert_allclose(corner_means(mesh, np.full(len(mesh.triangles), 7.0)), 7.0)
    field = mesh.centroids[:, 2]
    means = corner_means(mesh, field)
    assert means.shape == (len(mesh.triangles), 3)
    np.testing.assert_allclose(means, mesh.corners[:, :, 2], atol=0.06)


def test_corner_means_do_not_leak_over_an_edge() -> None:
    vertices = [[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0], [1, 0, 1], [1, 1, 1]]
    triangles = [[0, 1, 2], [0, 2, 3], [1, 4, 5], [1, 5, 2]]
    mesh = TriangleMesh(vertices=np.array(vertices, float), triangles=np.array(triangles))
    means = corner_means(mesh, np.array([1.0, 3.0, 10.0, 10.0]))
    np.testing.assert_allclose(means[2:], 10.0)
    np.testing.assert_allclose(means[0], [2.0, 1.0, 2.0])
