"""Where a wire meets its part."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.base.errors import Impossible
from tankside.cell.contacts import snapped
from tankside.cell.placing import posed
from tankside.cell.solids import Solid, solid
from tests.unit.cell.scenes import TOP, block, sphere

BLOCK = solid(posed(block((0.03, 0.02, 0.06)), (0, 0, 0.14), (0, 0, 0)), "part 1")
BALL = solid(posed(sphere(0.02, 4), (0.1, 0, 0.14), (0, 0, 0)), "part 2")


def test_the_nearest_place_its_triangle_and_corner() -> None:
    place = snapped(replace(TOP, near=(0.004, 0.002, 0.175)), "contact 1", [BLOCK], 0.25)
    assert place.position == pytest.approx([0.004, 0.002, 0.17])
    assert place.normal == pytest.approx([0, 0, 1])
    assert place.distance == pytest.approx(0.005)
    assert place.part == 1
    corners = BLOCK.mesh.corners[place.triangle]
    assert (corners[:, 2] == 0.17).all()
    low, high = corners[:, :2].min(axis=0), corners[:, :2].max(axis=0)
    assert (low <= place.position[:2]).all()
    assert (place.position[:2] <= high).all()
    assert place.vertex in BLOCK.mesh.triangles[place.triangle]
    away = np.linalg.norm(BLOCK.mesh.vertices - place.position, axis=1)
    assert away[place.vertex] == pytest.approx(away.min())


def test_the_nearest_part_unless_one_is_named() -> None:
    parts: list[Solid] = [BLOCK, BALL]
    assert snapped(replace(TOP, near=(0.1, 0, 0.16)), "contact 1", parts, 0.25).part == 2
    assert snapped(replace(TOP, near=(0.0, 0, 0.17)), "contact 1", parts, 0.25).part == 1
    with pytest.raises(Impossible, match=r"contact 1 lies 60 mm from part 2"):
        snapped(replace(TOP, near=(0.02, 0, 0.14), part=2), "contact 1", parts, 0.25)


def test_the_normal_at_edges_and_corners_is_the_mean_around() -> None:
    edge = snapped(replace(TOP, near=(0.015, 0.001, 0.17)), "contact 1", [BLOCK], 0.25)
    assert edge.normal == pytest.approx(np.array([1, 0, 1]) / np.sqrt(2))
    corner = snapped(replace(TOP, near=(0.015, 0.01, 0.17)), "contact 1", [BLOCK], 0.25)
    assert corner.normal == pytest.approx(np.array([1, 1, 1]) / np.sqrt(3))
    assert BLOCK.mesh.vertices[corner.vertex] == pytest.approx([0.015, 0.01, 0.17])


def test_the_distance_allowed_is_three_centimetres_or_a_fifth_of_the_part() -> None:
    near = replace(TOP, near=(0, 0, 0.17 + 0.0299))
    assert snapped(near, "contact 1", [BLOCK], 0.25).distance == pytest.approx(0.0299)
    far = replace(TOP, near=(0, 0, 0.17 + 0.031))
    with pytest.raises(Impossible, match=r"contact 1 lies 31 mm from part 1.*30 mm at most"):
        snapped(far, "contact 1", [BLOCK], 0.25)
    big = solid(posed(block((0.3, 0.3, 0.3)), (0, 0, 0.2), (0, 0, 0)), "part 1")
    fifth = 0.2 * 0.3 * np.sqrt(3)
    near = replace(TOP, near=(0.15 + 0.99 * fifth, 0, 0.2))
    assert snapped(near, "contact 1", [big], 0.5).distance == pytest.approx(0.99 * fifth)
    with pytest.raises(Impossible, match=r"from part 1.*10\.39 cm at most"):
        snapped(replace(TOP, near=(0.15 + 1.01 * fifth, 0, 0.2)), "contact 1", [big], 0.5)


def test_a_place_above_the_liquid_is_refused() -> None:
    with pytest.raises(Impossible, match=r"contact 4 lies 5 mm above the liquid"):
        snapped(replace(TOP, near=(0, 0, 0.255)), "contact 4", [BLOCK], 0.25)
