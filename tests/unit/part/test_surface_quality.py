"""The judge of surfaces: known angles, open and pinched surfaces, crossings counted."""

import numpy as np
import pytest

from tankside.part.crossings import crossings_of
from tankside.part.mesh import TriangleMesh
from tankside.part.surface_quality import smallest_angles, surface_quality
from tests.unit.part.broken_solids import figure_of_eight
from tests.unit.part.solids import box, merged, sphere, turned, without

TETRAHEDRON = TriangleMesh(
    vertices=[[1, 1, 1], [1, -1, -1], [-1, 1, -1], [-1, -1, 1]],
    triangles=[[0, 1, 2], [0, 2, 3], [0, 3, 1], [1, 3, 2]],
)


def test_a_regular_tetrahedron_has_angles_of_sixty_degrees() -> None:
    quality = surface_quality(TETRAHEDRON)
    assert quality.closed
    assert quality.manifold
    assert quality.crossings == 0
    assert quality.smallest_angle == pytest.approx(np.pi / 3)
    assert quality.smallest_angle_percent == pytest.approx((np.pi / 3,) * 3)
    assert quality.below_20_degrees == 0
    assert quality.edge_ratio == pytest.approx(1)
    assert quality.edge_lengths == pytest.approx((np.sqrt(8),) * 3)


@pytest.mark.parametrize("degrees", [1.0, 19.0, 21.0, 59.0])
def test_the_smallest_angle_of_a_triangle(degrees: float) -> None:
    angle = np.radians(degrees)
    corners = [[0, 0, 0], [1, 0, 0], [np.cos(angle), np.sin(angle), 0]]
    mesh = TriangleMesh(vertices=corners, triangles=[[0, 1, 2]])
    assert smallest_angles(mesh)[0] == pytest.approx(angle)
    assert surface_quality(mesh).below_20_degrees == (1.0 if degrees < 20 else 0.0)


def test_open_and_wrongly_wound_surfaces_are_not_closed() -> None:
    assert not surface_quality(without(box(), 3)).closed
    assert not surface_quality(turned(box(), 3)).closed
    assert surface_quality(box()).closed


def test_surfaces_that_touch_in_a_corner_are_closed_but_not_manifold() -> None:
    other = TriangleMesh(vertices=2 - TETRAHEDRON.vertices, triangles=TETRAHEDRON.triangles)
    both = merged(TETRAHEDRON, other.flipped())
    pinched = TriangleMesh(
        vertices=both.vertices, triangles=np.where(both.triangles == 4, 0, both.triangles)
    )
    quality = surface_quality(pinched)
    assert quality.closed
    assert not quality.manifold


@pytest.mark.parametrize(
    "mesh",
    [
        merged(box(), box(at=(0.0047, 0.0043, 0.0031))),
        merged(sphere(0.01, 32), sphere(0.008, 24).moved(np.eye(3), np.array([0.004, 1e-4, 0]))),
        figure_of_eight(),
    ],
    ids=["boxes", "spheres", "tube"],
)
def test_as_many_crossings_as_a_second_way_to_count_them(mesh: TriangleMesh) -> None:
    found = surface_quality(mesh).crossings
    assert found > 0
    assert found == len(crossings_of(mesh).crossing)


def test_a_fold_back_on_a_neighbour_is_a_crossing() -> None:
    corners = [[0, 0, 0], [1, 0, 0], [0.5, 1, 0], [0.5, 0.8, 0]]
    folded = TriangleMesh(vertices=corners, triangles=[[0, 1, 2], [1, 0, 3]])
    assert surface_quality(folded).crossings == 1
    flat = TriangleMesh(vertices=corners, triangles=[[0, 1, 2]])
    assert surface_quality(flat).crossings == 0


def test_touching_is_no_crossing() -> None:
    assert surface_quality(merged(box(), box(at=(0.01, 0, 0)))).crossings == 0
    assert surface_quality(sphere(0.01, 48)).crossings == 0
