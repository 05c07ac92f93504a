"""Panel integrals against adaptive quadrature, and the errors that their docstrings promise."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad

from tankside.base.arrays import Floats
from tankside.field.clusters import CLEARANCE
from tankside.field.integrals import (
    NEAR_SIZES,
    by_points,
    exact,
    near_row,
    packed,
)
from tankside.field.panels import Panels
from tankside.validation.closed_shapes import box, turned

TRIANGLE = np.array([[0.0, 0.0, 0.0], [2.0, 0.3, 0.4], [0.5, 1.2, -0.3]])
SHAPES = {
    "equilateral": np.array([[0, 0, 0], [1, 0, 0], [0.5, 0.75**0.5, 0]]),
    "right": np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0]]),
    "needle": np.array([[0, 0, 0], [1, 0, 0], [0.5, 0.1, 0]]),
}


def geometry_of(corners: Floats, mirror_level: float | None = None) -> tuple[Panels, Floats]:
    corners = np.reshape(corners, (-1, 3, 3))
    panels = Panels(
        corners=corners, group=np.zeros(len(corners), dtype=int), mirror_level=mirror_level
    )
    return panels, packed(panels, np.arange(len(panels)))


def shifted(panels: Panels, point: Floats) -> Floats:
    """A point in the packed geometry's frame."""
    level = panels.mirror_level
    middle = (panels.corners.min(axis=(0, 1)) + panels.corners.max(axis=(0, 1))) / 2
    return point - np.array([middle[0], middle[1], middle[2] if level is None else level])


def by_quadrature(corners: Floats, point: Floats) -> tuple[float, float]:
    """Both layers of a triangle by adaptive quadrature over the unit triangle."""
    a, b, c = corners
    across = np.cross(b - a, c - a)

    def at(s: float, t: float) -> Floats:
        return point - (a + s * (b - a) + t * (c - a))

    def single(t: float, s: float) -> float:
        return float(np.linalg.norm(across) / np.linalg.norm(at(s, t)))

    def double(t: float, s: float) -> float:
        return float(at(s, t) @ across / np.linalg.norm(at(s, t)) ** 3)

    return tuple(
        dblquad(f, 0, 1, 0, lambda s: 1 - s, epsabs=1e-9, epsrel=1e-9)[0] / (4 * np.pi)
        for f in (single, double)
    )


# In coordinates of the triangle: two along its sides and one along its normal.
@pytest.mark.parametrize(
    "place",
    [
        (0.3, 0.3, 0.1),
        (0.3, 0.3, -0.1),
        (0.5, 0.0, 0.2),  # above a side
        (0.0, 0.0, 0.15),  # above a corner
        (0.8, 0.8, 0.0),  # in its plane, outside
        (1.7, 0.0, 0.0),  # on the line of a side
        (-0.6, 0.0, 0.0),
        (3.0, -2.0, 1.5),
        (0.2, 0.2, 8.0),
    ],
)
def test_closed_forms_agree_with_adaptive_quadrature(place: tuple[float, float, float]) -> None:
    panels, geometry = geometry_of(TRIANGLE)
    a, b, c = TRIANGLE
    point = a + place[0] * (b - a) + place[1] * (c - a) + place[2] * panels.normals[0]
    single, double = by_quadrature(TRIANGLE, point)
    found = exact(geometry, 0, *shifted(panels, point))
    assert found[0] == pytest.approx(single, rel=1e-7)
    assert found[1] == pytest.approx(double, rel=1e-6, abs=1e-9)


def test_single_layer_at_the_centroid_of_an_equilateral_panel() -> None:
    # Three right-angled pairs: S = 3 r asinh(sqrt 3) 2 / (4 pi), r the radius of the inscribed
    # circle; elementary, from the integral of dr dtheta.
    panels, geometry = geometry_of(SHAPES["equilateral"])
    inscribed = 1 / (2 * 3**0.5)
    found = exact(geometry, 0, *shifted(panels, panels.centroids[0]))
    assert found == pytest.approx((6 * inscribed * np.arcsinh(3**0.5) / (4 * np.pi), 0.0))


def test_double_layer_is_the_solid_angle_on_both_sides() -> None:
    panels, geometry = geometry_of(TRIANGLE)
    just_above = panels.centroids[0] + 1e-6 * panels.normals[0]
    just_below = panels.centroids[0] - 1e-6 * panels.normals[0]
    assert exact(geometry, 0, *shifted(panels, just_above))[1] == pytest.approx(0.5, abs=1e-5)
    assert exact(geometry, 0, *shifted(panels, just_below))[1] == pytest.approx(-0.5, abs=1e-5)


def quadrature_errors(corners: Floats, direction: Floats, sizes: float) -> tuple[float, float]:
    """Of the single layer, relative, and of the double layer, over area / (4 pi r^2)."""
    panels, geometry = geometry_of(corners)
    distance = sizes * panels.sizes[0]
    point = shifted(panels, panels.centroids[0] + distance * direction / np.linalg.norm(direction))
    single, double = by_points(geometry, 0, *point)
    true_single, true_double = exact(geometry, 0, *point)
    largest = panels.areas[0] / (4 * np.pi * distance**2)
    return abs(single / true_single - 1), abs(double - true_double) / largest


DIRECTIONS = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda d: np.linalg.norm(d) > 0.1)


@pytest.mark.parametrize("shape", SHAPES)
@given(direction=DIRECTIONS, beyond=st.floats(1, 10))
@settings(max_examples=100, deadline=None)
def test_three_points_do_where_the_closed_forms_end(
    shape: str, direction: tuple[float, float, float], beyond: float
) -> None:
    single, double = quadrature_errors(SHAPES[shape], np.array(direction), NEAR_SIZES * beyond)
    assert single < 1e-4 / beyond**3 + 1e-12
    assert double < 2e-4 / beyond**3 + 1e-12


@pytest.mark.parametrize("shape", SHAPES)
@given(direction=DIRECTIONS)
@settings(max_examples=100, deadline=None)
def test_three_points_do_from_the_nearest_far_block_on(
    shape: str, direction: tuple[float, float, float]
) -> None:
    single, double = quadrature_errors(SHAPES[shape], np.array(direction), CLEARANCE)
    assert single < 5e-4
    assert double < 1e-3


def row_sums(panels: Panels) -> tuple[Floats, Floats]:
    geometry = packed(panels, np.arange(len(panels)))
    count = len(panels)
    row = np.zeros((2, count))
    sums = np.zeros((2, count))
    for i in range(count):
        near_row(geometry, i, panels.mirror_level is not None, 0, count, *row)
        sums[:, i] = row.sum(axis=1)
    return sums[0], sums[1]


def test_a_closed_box_fills_half_the_sphere_from_each_panel() -> None:
    lines = np.linspace(0, 0.1, 4)
    corners = np.concatenate(list(box(lines, lines, 2 * lines).values()))
    double = row_sums(Panels(corners=corners, group=np.zeros(len(corners), dtype=int)))[1]
    assert double == pytest.approx(np.full(len(corners), 0.5), abs=2e-5)


def test_the_mirror_image_counts_like_the_doubled_geometry() -> None:
    lines = np.linspace(0, 0.1, 4)
    below = np.concatenate(
        [face for name, face in box(lines, lines, lines).items() if name != "z+"]
    )
    above = turned(below * [1, 1, -1] + [0, 0, 0.2])
    group = np.zeros(len(below), dtype=int)
    mirrored = row_sums(Panels(corners=below, group=group, mirror_level=0.1))
    doubled = row_sums(
        Panels(corners=np.concatenate([below, above]), group=np.concatenate([group, group]))
    )
    for half, whole in zip(mirrored, doubled, strict=True):
        assert half == pytest.approx(whole[: len(below)], rel=1e-12)


def test_a_panel_in_the_liquids_surface_sees_its_own_back() -> None:
    flat = np.array([[[0, 0, 0], [0, 1, 0], [1, 0, 0]]], dtype=float)
    single, double = row_sums(Panels(corners=flat, group=np.zeros(1, dtype=int), mirror_level=0.0))
    alone, _ = row_sums(Panels(corners=flat, group=np.zeros(1, dtype=int)))
    assert single == pytest.approx(2 * alone)
    assert double == pytest.approx([-0.5])
