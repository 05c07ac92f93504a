"""The size field: its bounds, its growth, the count it promises."""

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.part.mesh import TriangleMesh
from tankside.part.remesh import prepared
from tankside.part.sizing import AT_CONVEX, AT_FOCUS, FLOOR, GROWTH, PER_GAP, SizeField
from tests.unit.part.solids import box, cup, sphere


def field_of(
    mesh: TriangleMesh, *, tolerance: float = 3e-4, focus: Floats | None = None
) -> tuple[SizeField, Floats]:
    """The size field in lengths of the box's diagonal, and where its vertices are [m]."""
    low, high = mesh.box
    size = float(np.linalg.norm(high - low))
    near = None if focus is None else (focus - (low + high) / 2) / size
    start, _, field = prepared(
        (mesh.vertices - (low + high) / 2) / size,
        mesh.triangles,
        count=3000,
        tolerance=tolerance,
        clearance=0.3,
        focus=near,
    )
    return field, start.points * size + (low + high) / 2


@pytest.mark.parametrize("mesh", [box(), sphere(0.02, 64), cup(0.04, 0.015, 0.013, 0.002)])
def test_sizes_keep_their_bounds_and_grow_slowly(mesh: TriangleMesh) -> None:
    field, _ = field_of(mesh)
    for base in (0.01, 0.05):
        sizes = field.graded(base)
        assert sizes.min() >= FLOOR * base * (1 - 1e-12)
        assert sizes.max() <= base
        steps = np.abs(sizes[field.edges[:, 0]] - sizes[field.edges[:, 1]])
        assert (steps <= GROWTH * field.lengths * 1.002).all()


@pytest.mark.parametrize("count", [500, 5000, 50_000])
def test_the_base_length_gives_the_count(count: int) -> None:
    field, _ = field_of(cup(0.04, 0.015, 0.013, 0.002))
    sizes = field.graded(field.base_for(count))
    assert field.expected_count(sizes) == pytest.approx(count, rel=0.02)


def test_smaller_at_edges_and_smallest_at_points_asked_for() -> None:
    corner = np.array([[0.005, 0.005, 0.001]])
    field, points = field_of(box(), focus=corner)
    sizes = field.graded(0.05)
    at_edge = (np.abs(np.abs(points) - 0.005) < 1e-9).sum(axis=1) == 2
    assert sizes[at_edge].max() <= AT_CONVEX * 0.05 * (1 + 1e-12)
    nearest = np.linalg.norm(points - corner, axis=1).argmin()
    assert sizes[nearest] == pytest.approx(AT_FOCUS * 0.05)
    assert sizes.argmin() == nearest


def test_no_larger_than_the_gap_and_slack_well_below_it() -> None:
    gap = 0.0008
    mesh = TriangleMesh(
        vertices=np.concatenate([box().vertices, box(at=(0.01 + gap, 0, 0)).vertices]),
        triangles=np.concatenate([box().triangles, box().triangles + 8]),
    )
    field, points = field_of(mesh)
    low, high = mesh.box
    size = float(np.linalg.norm(high - low))
    facing = (np.abs(points[:, 0] - 0.005) < 1e-9) & (np.abs(points[:, 1:]) < 0.004).all(axis=1)
    assert facing.sum() > 20
    assert field.own[facing] * size == pytest.approx(PER_GAP * gap, rel=1e-6)
    sizes = field.graded(0.05)
    slack = field.slack(sizes)
    assert (slack <= 0.3 * np.maximum(field.room, 1e-4) * (1 + 1e-12)).all()
    between = facing[field.triangles].all(axis=1)
    assert field.room[between] * size == pytest.approx(gap, rel=1e-6)


def test_curved_places_are_finer_when_the_tolerance_is_tight() -> None:
    loose, _ = field_of(sphere(0.02, 128), tolerance=1e-3)
    tight, _ = field_of(sphere(0.02, 128), tolerance=1e-5)
    radius = 1 / np.sqrt(12)
    assert np.median(tight.own) == pytest.approx(np.sqrt(8 * 1e-5 * radius), rel=0.35)
    assert np.median(tight.own) < 0.3 * np.median(loose.own)
