"""The polynomials and points of the middle distance against the closed forms for one panel."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.arrays import Floats
from tankside.field.integrals import ROWS, exact, packed
from tankside.field.middle_distance import (
    CLEAR,
    GATHERED,
    LARGEST_SQUARE,
    artanh_ratio,
    clear_layers,
    clear_moments,
    gather,
    quadrature_moments,
    small_artan,
)
from tankside.field.moments import corner_moments
from tankside.field.near_panels import localised
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


def gathered(geometry: Floats, point: Floats, count: int = 1) -> Floats:
    """The work space with the panel as seen from the point, `count` times."""
    middle = geometry[:3, 0]
    local = np.zeros((ROWS, 1), dtype=np.float32)
    localised(geometry, np.zeros(1, dtype=int), 1, *middle, 0, ROWS, local)
    work = np.zeros((GATHERED, count), dtype=np.float32)
    for at in range(count):
        gather(local, 0, *(point - middle).astype(np.float32), work, at)
    return work


def test_the_polynomials_are_the_functions() -> None:
    for u in np.linspace(1e-6, LARGEST_SQUARE, 50):
        assert artanh_ratio(u) == pytest.approx(np.arctanh(np.sqrt(u)) / np.sqrt(u), rel=5e-7)
    for t in np.linspace(-0.25, 0.25, 51):
        assert small_artan(t) == pytest.approx(np.arctan(t), rel=5e-7)


@pytest.mark.parametrize("shape", SHAPES)
@given(direction=DIRECTIONS, beyond=st.floats(1, 5))
@settings(max_examples=60, deadline=None)
def test_several_panels_at_once_are_as_exact_as_one(
    shape: str, direction: tuple[float, float, float], beyond: float
) -> None:
    geometry, point = seen(shape, direction, CLEAR * beyond)
    single, double = np.zeros((2, 3), dtype=np.float32)
    clear_layers(gathered(geometry, point, 3), 3, single, double)
    wanted = exact(geometry, 0, *point)
    assert single == pytest.approx(np.full(3, wanted[0]), rel=2e-5)
    largest = geometry[24, 0] / (4 * np.pi * (CLEAR * beyond * geometry[25, 0]) ** 2)
    assert double == pytest.approx(np.full(3, wanted[1]), abs=1e-5 * largest)


@pytest.mark.parametrize("shape", SHAPES)
@given(direction=DIRECTIONS, beyond=st.floats(1, 2))
@settings(max_examples=60, deadline=None)
def test_moments_of_several_panels_at_once_are_as_exact_as_of_one(
    shape: str, direction: tuple[float, float, float], beyond: float
) -> None:
    geometry, point = seen(shape, direction, CLEAR * beyond)
    found = np.ones((3, 2), dtype=np.float32)
    clear_moments(gathered(geometry, point, 2), 2, *found)
    wanted = np.array(corner_moments(geometry, 0, *point))
    largest = geometry[24, 0] / (4 * np.pi * (CLEAR * beyond * geometry[25, 0]) ** 2) * 2 / 9
    assert found == pytest.approx(
        np.stack([wanted] * 2, axis=1), abs=2e-3 * largest
    )  # digits that cancel in single precision


@pytest.mark.parametrize("shape", SHAPES)
@given(direction=DIRECTIONS, beyond=st.floats(1, 2))
@settings(max_examples=60, deadline=None)
def test_points_give_the_moments_from_two_sizes_on(
    shape: str, direction: tuple[float, float, float], beyond: float
) -> None:
    geometry, point = seen(shape, direction, 2.0 * beyond)
    found = np.zeros((3, 1), dtype=np.float32)
    quadrature_moments(gathered(geometry, point), 1, *found)
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
    found = np.zeros((3, 1), dtype=np.float32)
    quadrature_moments(gathered(geometry, point), 1, *found)
    largest = geometry[24, 0] / (4 * np.pi * (30.0 * geometry[25, 0]) ** 2) * 2 / 9
    wanted = np.array(corner_moments(geometry, 0, *point))
    assert found[:, 0] == pytest.approx(wanted, abs=3e-6 * largest)
