"""The polynomials and points of the middle distance against the closed forms for one panel."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.arrays import Floats
from tankside.field.integrals import exact, packed
from tankside.field.middle_distance import (
    CLEAR,
    GATHERED,
    LARGEST_SQUARE,
    artanh_ratio,
    clear_layers,
    gather,
    quadrature_moments,
    small_artan,
)
from tankside.field.moments import corner_moments
from tankside.field.panels import Panels

SHAPES = {
    "equal sides": [[0, 0, 0], [1, 0, 0], [0.5, 0.866, 0]],
    "right": [[0, 0, 0], [1, 0, 0], [0, 1, 0]],
    "flat": [[0, 0, 0], [1, 0, 0], [0.4, 0.2, 0]],
    "thin": [[0, 0, 0], [1, 0, 0], [0.95, 0.15, 0]],
}
DIRECTIONS = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda d: np.linalg.norm(d) > 0.1)


def seen(shape: str, direction: tuple[float, float, float], sizes: float) -> tuple[Floats, Floats]:
    """The packed panel, and a point that many sizes from its centroid."""
    panels = Panels(corners=0.01 * np.array([SHAPES[shape]]), group=np.zeros(1, dtype=int))
    geometry = packed(panels, np.arange(1))
    way = np.array(direction) / np.linalg.norm(direction)
    return geometry, geometry[:3, 0] + sizes * panels.sizes[0] * way


def test_the_polynomials_are_the_functions() -> None:
    for u in np.linspace(1e-6, LARGEST_SQUARE, 50):
        assert artanh_ratio(u) == pytest.approx(np.arctanh(np.sqrt(u)) / np.sqrt(u), rel=1e-9)
    for t in np.linspace(-0.25, 0.25, 51):
        assert small_artan(t) == pytest.approx(np.arctan(t), rel=1e-8)


@pytest.mark.parametrize("shape", SHAPES)
@given(direction=DIRECTIONS, beyond=st.floats(1, 5))
@settings(max_examples=60, deadline=None)
def test_several_panels_at_once_are_as_exact_as_one(
    shape: str, direction: tuple[float, float, float], beyond: float
) -> None:
    geometry, point = seen(shape, direction, CLEAR * beyond)
    work, single, double = np.zeros((GATHERED, 3)), np.zeros(3), np.zeros(3)
    for at in range(3):
        gather(geometry, 0, *point, work, at)
    clear_layers(work, 3, single, double)
    wanted = exact(geometry, 0, *point)
    assert single == pytest.approx(np.full(3, wanted[0]), rel=2e-8)
    assert double == pytest.approx(np.full(3, wanted[1]), rel=1e-8, abs=1e-11)


@pytest.mark.parametrize("shape", SHAPES)
@given(direction=DIRECTIONS, beyond=st.floats(1, 2))
@settings(max_examples=60, deadline=None)
def test_points_give_the_moments_from_two_sizes_on(
    shape: str, direction: tuple[float, float, float], beyond: float
) -> None:
    geometry, point = seen(shape, direction, 2.0 * beyond)
    work, found = np.zeros((GATHERED, 1)), np.zeros((3, 1))
    gather(geometry, 0, *point, work, 0)
    quadrature_moments(work, 1, *found)
    largest = geometry[24, 0] / (4 * np.pi * (2.0 * beyond * geometry[25, 0]) ** 2) * 2 / 9
    wanted = np.array(corner_moments(geometry, 0, *point))
    assert found[:, 0] == pytest.approx(wanted, abs=0.01 * largest)


@pytest.mark.parametrize("shape", SHAPES)
@given(direction=DIRECTIONS)
@settings(max_examples=60, deadline=None)
def test_the_error_of_points_falls_with_the_third_power_of_the_distance(
    shape: str, direction: tuple[float, float, float]
) -> None:
    # a hundredth at two sizes; by the second power it would be 4e-5 at thirty
    geometry, point = seen(shape, direction, 30.0)
    work, found = np.zeros((GATHERED, 1)), np.zeros((3, 1))
    gather(geometry, 0, *point, work, 0)
    quadrature_moments(work, 1, *found)
    largest = geometry[24, 0] / (4 * np.pi * (30.0 * geometry[25, 0]) ** 2) * 2 / 9
    wanted = np.array(corner_moments(geometry, 0, *point))
    assert found[:, 0] == pytest.approx(wanted, abs=3e-6 * largest)
