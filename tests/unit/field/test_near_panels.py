"""Layers of many panels in single precision against the rules for one panel in double."""

import numpy as np
import pytest

from tankside.base.arrays import Floats, Ints
from tankside.field.integrals import ROWS, by_points, near_row, packed
from tankside.field.near_panels import (
    WORK,
    add_by_points,
    add_column_by_points,
    localised,
    near_layers,
)
from tankside.field.panels import Panels
from tankside.validation.closed_shapes import sphere


def scattered(shift: float) -> Floats:
    """Packed geometry of panels below a surface, `shift` from the middle of them all [m]."""
    rng = np.random.default_rng(1)
    corners = rng.normal(size=(20, 1, 3)) + 0.1 * rng.normal(size=(20, 3, 3))
    corners[:, :, 2] = -np.abs(corners[:, :, 2]) - 0.1
    corners[:, :, 0] += shift
    ends = np.array([[[s * 2 * shift, 0, -1], [s * 2 * shift, 1, -1], [s * 2 * shift, 0, -2]]
                     for s in (0.0, 1.0)])  # fmt: skip
    panels = Panels(
        corners=np.concatenate([corners, ends]), group=np.zeros(22, dtype=int), mirror_level=0.0
    )
    return packed(panels, np.arange(22))


def local_of(geometry: Floats, panels: Ints) -> tuple[Floats, Floats]:
    about = geometry[:3, panels[0]]
    local = np.zeros((ROWS, len(panels)), dtype=np.float32)
    localised(geometry, panels, len(panels), *about, 0, ROWS, local)
    return about, local


@pytest.mark.parametrize("shift", [0.5, 1e3])
def test_rows_and_columns_by_points_are_those_of_one_panel(shift: float) -> None:
    # However far from the middle of the tank, what counts are the distances.
    geometry = scattered(shift)
    about, local = local_of(geometry, np.arange(20))
    due = np.array(
        [[by_points(geometry, j, *geometry[:3, i]) for j in range(20)] for i in range(20)]
    )
    np.einsum("iik->ik", due)[:] = 0.0  # its own points are too near a panel for this rule
    x, y, z = (geometry[k, :20] - about[k] for k in range(3))
    x, y, z = (values.astype(np.float32) for values in (x, y, z))
    for i in range(20):
        single, double = np.zeros((2, 20), dtype=np.float32)
        for _ in range(2):  # added to what was there
            add_by_points(local, 20, x[i], y[i], z[i], single, double)
        single[i], double[i] = 0.0, 0.0
        assert single / 2 == pytest.approx(due[i, :, 0], abs=1e-5 * due[i, :, 0].max())
        assert double / 2 == pytest.approx(due[i, :, 1], abs=1e-5 * np.abs(due[i, :, 1]).max())
        for layer in (0, 1):
            column = np.zeros(20, dtype=np.float32)
            add_column_by_points(local, i, bool(layer), x, y, z, column)
            column[i] = 0.0
            largest = np.abs(due[:, i, layer]).max()
            assert column == pytest.approx(due[:, i, layer], abs=1e-5 * largest)


def test_rows_are_those_of_double_precision_near_and_far() -> None:
    corners = sphere(0.05, 8) * [1, 1, 0.3] - np.array([0, 0, 0.016])
    panels = Panels(corners=corners, group=np.zeros(len(corners), dtype=int), mirror_level=0.0)
    count = len(panels)
    geometry = packed(panels, np.arange(count))
    chosen = np.random.default_rng(2).permutation(count)
    about, local = local_of(geometry, chosen)
    single, double = np.zeros((2, count), dtype=np.float32)
    work, places = np.zeros((WORK, count), dtype=np.float32), np.zeros(count, dtype=int)
    due = np.zeros((2, count))
    for target in range(0, count, 7):
        near_row(geometry, target, True, 0, count, *due)
        near_layers(
            geometry, chosen, local, count, target, *about, True, single, double, work, places
        )
        assert single == pytest.approx(due[0, chosen], rel=1e-5)
        assert double == pytest.approx(due[1, chosen], abs=1e-6)


def test_a_panel_in_the_surface_sees_its_own_back() -> None:
    flat = np.array([[[0, 0, 0], [0, 1, 0], [1, 0, 0]]], dtype=float)
    panels = Panels(corners=flat, group=np.zeros(1, dtype=int), mirror_level=0.0)
    geometry = packed(panels, np.arange(1))
    about, local = local_of(geometry, np.arange(1))
    single, double = np.zeros((2, 1), dtype=np.float32)
    work, places = np.zeros((WORK, 1), dtype=np.float32), np.zeros(1, dtype=int)
    near_layers(geometry, np.arange(1), local, 1, 0, *about, True, single, double, work, places)
    assert double == pytest.approx([-0.5])
    due = np.zeros((2, 1))
    near_row(geometry, 0, True, 0, 1, *due)
    assert single == pytest.approx(due[0])
