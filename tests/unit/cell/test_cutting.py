"""Meshes cut at the liquid's surface: exact in the plane, closed below it, without slivers."""

from math import pi

import numpy as np
import pytest

from tankside.cell.cutting import cut_mesh
from tankside.cell.placing import posed
from tests.unit.cell.scenes import below_area, block, open_edges, smallest_angles, sphere

BALL = sphere(0.03, 4)


@pytest.mark.parametrize("level", [-0.02, -0.0031, 0.0, 0.004, 0.0217])
def test_a_ball_is_cut_open_in_the_plane_and_nowhere_else(level: float) -> None:
    cut = cut_mesh(BALL, level)
    edges = open_edges([cut])
    assert len(edges) > 20
    assert (edges[:, :, 2] == level).all()
    assert cut.vertices[:, 2].max() == level
    assert cut.area == pytest.approx(2 * pi * 0.03 * (level + 0.03), rel=4e-3)
    total = cut.area_vectors.sum(axis=0)
    assert total[:2] == pytest.approx([0, 0], abs=1e-12)
    assert total[2] == pytest.approx(-pi * (0.03**2 - level**2), rel=5e-3)
    assert smallest_angles(cut).min() > 9
    assert np.einsum("ij,ij->i", cut.normals, cut.centroids).min() > 0


def test_flat_sides_keep_their_area_exactly() -> None:
    turned = posed(block((0.1, 0.06, 0.2), 8), (0, 0, 0), (0, 0, 33.0))
    for level in (0.013, 0.0249, 0.0251):
        cut = cut_mesh(turned, level)
        assert cut.area == pytest.approx(0.006 + 0.32 * (level + 0.1), rel=1e-12)
        assert smallest_angles(cut).min() > 15


def test_a_tilted_block_keeps_its_edges() -> None:
    tilted = posed(block((0.1, 0.06, 0.2), 8), (0, 0, 0), (20.0, 35.0, 10.0))
    cut = cut_mesh(tilted, 0.011)
    assert cut.area == pytest.approx(below_area(tilted, 0.011), rel=1e-9)
    assert (open_edges([cut])[:, :, 2] == 0.011).all()


def test_a_mesh_under_the_liquid_comes_back_as_it_is() -> None:
    assert cut_mesh(BALL, 0.0301) is BALL


def test_a_flat_top_in_the_liquids_surface_is_left_off() -> None:
    cut = cut_mesh(block((0.1, 0.1, 0.1), 4), 0.05)
    assert len(cut.triangles) == 5 * 4 * 4 * 2
    assert cut.area == pytest.approx(0.05, rel=1e-12)


def test_triangles_far_below_the_plane_are_untouched() -> None:
    cut = cut_mesh(BALL, 0.005)
    given = {tuple(map(tuple, corners)) for corners in BALL.corners.tolist()}
    low = cut.corners[cut.corners[:, :, 2].max(axis=1) < 0.002]
    assert len(low) > 1000
    assert all(tuple(map(tuple, corners)) in given for corners in low.tolist())
