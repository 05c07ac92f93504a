"""Laws of the part: turning, moving and scaling, broken meshes made whole, files read back."""

import struct

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from tankside.base.arrays import Floats
from tankside.part.columns import columns_of
from tankside.part.formats.polygons import clipped_ears
from tankside.part.measures import Route, measured
from tankside.part.mesh import TriangleMesh
from tankside.part.read import read_part
from tankside.part.repair import repaired
from tankside.part.report import examined
from tankside.part.welding import near_places, same_place
from tests.unit.part.solids import box, merged, rotation, sphere, taken_apart

FEW = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
SEEDS = st.integers(0, 2**32 - 1)
ANGLES = st.floats(0.0, 6.28)
SHIFTS = st.tuples(*3 * [st.floats(-0.5, 0.5)])


def convex(seed: int) -> TriangleMesh:
    """The hull of some random points, facing outwards."""
    points = np.random.default_rng(seed).normal(size=(24, 3)) * (0.01, 0.02, 0.03)
    hull = ConvexHull(points)
    corners = points[hull.simplices]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    inward = np.einsum("ij,ij->i", normals, corners[:, 0] - points.mean(axis=0)) < 0
    faces = np.where(inward[:, None], hull.simplices[:, ::-1], hull.simplices)
    used, numbers = np.unique(faces, return_inverse=True)
    return TriangleMesh(vertices=points[used], triangles=numbers.reshape(-1, 3))


@FEW
@given(SEEDS, ANGLES, SHIFTS)
def test_a_turned_part_measures_the_same(
    seed: int, angle: float, shift: tuple[float, float, float]
) -> None:
    part = convex(seed)
    before, after = measured(part), measured(part.moved(rotation(angle), np.array(shift)))
    assert after.wet_area.best == pytest.approx(before.wet_area.best, rel=1e-9)
    assert after.outer_volume.best == pytest.approx(before.outer_volume.best, rel=1e-9)


@FEW
@given(SEEDS, st.floats(0.01, 100.0))
def test_measures_grow_with_the_square_and_the_cube(seed: int, factor: float) -> None:
    part = convex(seed)
    before, after = measured(part), measured(part.moved(factor * np.eye(3), np.zeros(3)))
    assert after.wet_area.best == pytest.approx(before.wet_area.best * factor**2, rel=1e-9)
    assert after.outer_volume.best == pytest.approx(before.outer_volume.best * factor**3, rel=1e-9)


@FEW
@given(SEEDS)
def test_a_hull_measures_as_the_hull_algorithm_says(seed: int) -> None:
    part = convex(seed)
    hull = ConvexHull(part.vertices)
    measures = measured(part)
    assert measures.wet_area.best == pytest.approx(hull.area, rel=1e-9)
    assert measures.outer_volume.best == pytest.approx(hull.volume, rel=1e-9)
    assert columns_of(part, 0.0005).volume == pytest.approx(hull.volume, rel=0.02)
    report = examined(part)
    assert report.sound
    assert len(report.bodies) == 1


@FEW
@given(st.tuples(*3 * [st.floats(-0.019, 0.019)]))
def test_the_union_of_two_boxes(at: tuple[float, float, float]) -> None:
    """Volume and skin of two cubes of side 20 mm, shifted: both less the box that they share."""
    pair = merged(box((0.02, 0.02, 0.02)), box((0.02, 0.02, 0.02), at=at))
    measures = measured(pair)
    shared = 0.02 - np.abs(at)
    skin = 2 * (shared[0] * shared[1] + shared[1] * shared[2] + shared[2] * shared[0])
    if measures.route is Route.UNION:
        assert measures.outer_volume.best == pytest.approx(16e-6 - shared.prod(), rel=1e-6)
        assert measures.wet_area.best == pytest.approx(4800e-6 - skin, rel=1e-6)
    else:
        assert min(np.abs(at)) < 1e-7


@FEW
@given(SEEDS, st.integers(0, 6), st.integers(0, 6), st.booleans())
def test_a_damaged_ball_is_made_whole(seed: int, flips: int, doubles: int, apart: bool) -> None:
    """Flipped, doubled and taken-apart triangles leave no trace, and are counted."""
    random = np.random.default_rng(seed)
    ball = sphere(0.02, 24)
    faces = ball.triangles.copy()
    flipped = random.choice(len(faces), flips, replace=False)
    faces[flipped] = faces[flipped][:, ::-1]
    repeated = random.choice(len(faces), doubles, replace=False)
    faces = np.concatenate([faces, np.roll(faces[repeated], 1, axis=1)])
    broken = TriangleMesh(vertices=ball.vertices, triangles=faces[random.permutation(len(faces))])
    whole, report = repaired(taken_apart(broken) if apart else broken)
    assert examined(whole).sound
    assert whole.signed_volume == pytest.approx(ball.signed_volume, rel=1e-12)
    assert (report.triangles_turned, report.duplicates_dropped) == (flips, doubles)
    assert (report.corners_joined > 0) is apart
    assert not repaired(whole)[1].changed


@FEW
@given(SEEDS, st.integers(1, 5))
def test_a_ball_with_triangles_missing_is_closed_again(seed: int, missing: int) -> None:
    ball = sphere(0.02, 64)
    gone = np.random.default_rng(seed).choice(len(ball.triangles), missing, replace=False)
    broken = TriangleMesh(vertices=ball.vertices, triangles=np.delete(ball.triangles, gone, axis=0))
    whole, report = repaired(broken, largest_hole_share=0.3)
    assert examined(whole).closed
    assert 1 <= report.holes_filled <= missing
    assert len(whole.triangles) <= len(ball.triangles)
    assert whole.signed_volume == pytest.approx(ball.signed_volume, rel=0.01)


@FEW
@given(SEEDS)
def test_a_binary_stl_comes_back_bit_by_bit(seed: int) -> None:
    part = convex(seed)
    millimetres = (part.corners * 1e3).astype("<f4")
    records = b"".join(
        struct.pack("<3f", 0, 0, 0) + corners.tobytes() + b"\0\0" for corners in millimetres
    )
    data = bytes(80) + struct.pack("<I", len(millimetres)) + records
    read = read_part(data, "part.stl", "mm")
    assert np.array_equal(read.mesh.corners, millimetres.astype(np.float64) * 1e-3)
    assert len(read.mesh.vertices) == len(part.vertices)


@FEW
@given(SEEDS, st.integers(5, 40))
def test_a_star_polygon_is_cut_into_its_own_area(seed: int, corners: int) -> None:
    """Any polygon that its middle sees all of: n - 2 triangles, none turned over."""
    random = np.random.default_rng(seed)
    angle = np.sort(random.uniform(0, 2 * np.pi, corners))
    if np.diff(angle, append=angle[0] + 2 * np.pi).max() > 3.0:
        return
    radius = random.uniform(0.2, 1.0, corners)
    outline = np.stack([radius * np.cos(angle), radius * np.sin(angle), 0 * angle], axis=1)
    placed = outline @ rotation(1.0).T
    x, y = outline[:, 0], outline[:, 1]
    area = 0.5 * float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum())
    ears = clipped_ears(placed)
    a, b, c = (outline[ears[:, k]] for k in range(3))
    parts = np.cross(b - a, c - a)[:, 2] / 2
    assert len(ears) == corners - 2
    assert (parts > -1e-12).all()
    assert parts.sum() == pytest.approx(area, rel=1e-9)


@FEW
@given(SEEDS)
def test_places_are_numbered_as_plain_comparison_says(seed: int) -> None:
    points: Floats = np.random.default_rng(seed).integers(-2, 3, (60, 3)).astype(np.float64)
    first, number = same_place(points)
    rows = [tuple(row) for row in points.tolist()]
    assert [rows.index(row) for row in rows] == first[number].tolist()
    assert first.tolist() == sorted(first.tolist())
    near_first, near_number = near_places(points, 0.5)
    assert np.array_equal(near_first, first)
    assert np.array_equal(near_number, number)
