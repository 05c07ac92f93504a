"""Repair mends what was broken by hand, says so, and leaves whole meshes alone."""

import numpy as np
import pytest

from tankside.base.errors import MeshDefect
from tankside.part.bodies import BodyKind
from tankside.part.mesh import TriangleMesh
from tankside.part.repair import NO_ORIGINAL, repaired
from tankside.part.report import examined
from tests.unit.part.solids import (
    box,
    drilled,
    merged,
    sphere,
    taken_apart,
    turned,
    without,
)


@pytest.mark.parametrize("mesh", [box(), sphere(), drilled(0.04, 0.01, 0.02)])
def test_a_whole_mesh_comes_back_as_it_was(mesh: TriangleMesh) -> None:
    same, report = repaired(mesh)
    assert not report.changed
    assert report.sentences == ("Nothing was changed.",)
    assert np.array_equal(same.corners, mesh.corners)
    assert report.original_triangle.tolist() == list(range(len(mesh.triangles)))


def test_triangles_apart_are_joined() -> None:
    ball = sphere()
    whole, report = repaired(taken_apart(ball))
    assert report.corners_joined == 3 * len(ball.triangles) - len(ball.vertices)
    assert examined(whole).sound
    assert whole.signed_volume == pytest.approx(ball.signed_volume, rel=1e-12)


def test_corners_within_single_precision_are_joined_and_no_others() -> None:
    ball = taken_apart(sphere(20.0, 48).moved(np.eye(3), np.array([30.0, 5.0, -8.0])))
    noise = np.random.default_rng(3).uniform(-1, 1, ball.vertices.shape) * 2e-6
    whole, _ = repaired(TriangleMesh(vertices=ball.vertices + noise, triangles=ball.triangles))
    assert len(whole.vertices) == len(sphere(20.0, 48).vertices)
    assert examined(whole).sound


def test_flipped_triangles_are_turned_back() -> None:
    ball = sphere()
    whole, report = repaired(turned(ball, 3, 8, 50, 51))
    assert report.triangles_turned == 4
    assert report.bodies_turned == 0
    assert np.array_equal(whole.triangles[[0, 1]], ball.triangles[[0, 1]])
    assert whole.signed_volume == pytest.approx(ball.signed_volume)
    assert "4 triangles were turned to face as the neighbours do." in report.sentences


def test_inside_out_bodies_are_turned_with_what_they_hold() -> None:
    hollow = merged(box((0.04, 0.04, 0.04)), box((0.02, 0.02, 0.02)).flipped())
    whole, report = repaired(hollow.flipped())
    assert report.bodies_turned == 2
    assert whole.signed_volume == pytest.approx(64e-6 - 8e-6)
    assert [body.kind for body in examined(whole).bodies] == [BodyKind.SOLID, BodyKind.CAVITY]


def test_a_solid_in_a_solid_is_left_as_it_is() -> None:
    nested = merged(box((0.04, 0.04, 0.04)), box())
    assert not repaired(nested)[1].changed


def test_a_nested_body_with_flipped_triangles_becomes_a_cavity() -> None:
    nested = merged(box((0.04, 0.04, 0.04)), turned(box((0.02, 0.02, 0.02)), 0, 5))
    whole, report = repaired(nested)
    assert (report.triangles_turned, report.bodies_turned) == (2, 1)
    assert whole.signed_volume == pytest.approx(64e-6 - 8e-6)


def test_doubles_and_collapsed_triangles_are_dropped() -> None:
    cube = box()
    more = np.array([cube.triangles[3][[1, 2, 0]], [0, 0, 1]])
    whole, report = repaired(
        TriangleMesh(vertices=cube.vertices, triangles=np.concatenate([cube.triangles, more]))
    )
    assert (report.duplicates_dropped, report.collapsed_dropped) == (1, 1)
    assert examined(whole).sound
    assert np.array_equal(whole.triangles, cube.triangles)


def test_a_small_hole_is_closed_flat_and_said() -> None:
    ball = sphere(0.02, 64)
    whole, report = repaired(without(ball, 10))
    assert report.holes_filled == 1
    assert report.filling_area == pytest.approx(float(ball.areas[10]), rel=1e-9)
    assert (report.original_triangle == NO_ORIGINAL).sum() == 1
    assert whole.signed_volume == pytest.approx(ball.signed_volume, rel=1e-12)
    assert any(text.startswith("1 hole was closed with ") for text in report.sentences)


def test_a_large_hole_stays_open_and_is_said() -> None:
    whole, report = repaired(without(box(), 10, 11))
    assert report.holes_filled == 0
    assert (report.holes_left, report.open_edges_left) == (1, 4)
    assert any(text.startswith("Holes left open: 1 (4 edges)") for text in report.sentences)
    assert len(whole.triangles) == 10


def test_a_large_hole_is_closed_where_that_is_asked_for() -> None:
    whole, report = repaired(without(box(), 10, 11), largest_hole_share=1.0)
    assert report.holes_filled == 1
    assert whole.signed_volume == pytest.approx(1e-6)


def test_a_hole_that_is_not_flat_stays_open() -> None:
    """Three faces round one corner of a box: the border is a bent hexagon."""
    whole, report = repaired(without(box(), 2, 3, 6, 7, 10, 11), largest_hole_share=1.0)
    assert report.holes_filled == 0
    assert report.open_edges_left > 0
    assert len(whole.triangles) == 6


def seamed() -> TriangleMesh:
    """A box whose upper face has an extra corner on each side, which its side walls lack."""
    cube = box((2.0, 2.0, 2.0))
    top = {(round(x), round(y)): k for k, (x, y, z) in enumerate(cube.vertices) if z > 0}
    middles = np.array([[0, -1, 1], [1, 0, 1], [0, 1, 1], [-1, 0, 1], [0, 0, 1]], dtype=float)
    ring = [top[-1, -1], 8, top[1, -1], 9, top[1, 1], 10, top[-1, 1], 11]
    fan = [[ring[k], ring[(k + 1) % 8], 12] for k in range(8)]
    on_top = (cube.corners[:, :, 2] > 0).all(axis=1)
    return TriangleMesh(
        vertices=np.concatenate([cube.vertices, middles]),
        triangles=np.concatenate([cube.triangles[~on_top], fan]),
    )


def test_a_seam_is_sewn_by_splitting_the_long_side() -> None:
    mesh = seamed()
    assert examined(mesh).open_edges == 12
    whole, report = repaired(mesh)
    assert report.seams_split == 4
    assert report.holes_filled == 0
    assert examined(whole).sound
    assert whole.signed_volume == pytest.approx(8.0, rel=1e-14)
    assert whole.area == pytest.approx(24.0, rel=1e-14)
    assert len(whole.vertices) == len(mesh.vertices)


def test_needles_are_swapped_away_without_opening_the_surface() -> None:
    """The seam of the box above, closed by triangles without height as some programs do."""
    mesh = seamed()
    sides = [(0, 2, 8), (1, 3, 9)]
    corners = {tuple(np.sign(row).astype(int)): k for k, row in enumerate(mesh.vertices[:8])}
    sides = [
        (corners[1, -1, 1], corners[-1, -1, 1], 8),
        (corners[1, 1, 1], corners[1, -1, 1], 9),
        (corners[-1, 1, 1], corners[1, 1, 1], 10),
        (corners[-1, -1, 1], corners[-1, 1, 1], 11),
    ]
    needled = TriangleMesh(
        vertices=mesh.vertices, triangles=np.concatenate([mesh.triangles, sides])
    )
    before = examined(needled)
    assert before.closed
    assert before.degenerate == 4
    whole, report = repaired(needled)
    assert (report.needles_swapped, report.needles_left) == (4, 0)
    assert examined(whole).sound
    assert whole.signed_volume == pytest.approx(8.0, rel=1e-14)


def test_a_moebius_strip_is_left_and_named() -> None:
    angle = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    across = np.stack(
        [np.cos(angle / 2) * np.cos(angle), np.cos(angle / 2) * np.sin(angle), np.sin(angle / 2)]
    ).T
    ring = np.stack([np.cos(angle), np.sin(angle), 0 * angle]).T * 3
    points = np.concatenate([ring + across / 2, ring - across / 2])
    faces = []
    for k in range(24):
        a, b = k, k + 24
        c, d = (k + 1, k + 25) if k < 23 else (24, 0)
        faces += [[a, c, b], [b, c, d]]
    _, report = repaired(TriangleMesh(vertices=points, triangles=faces))
    assert report.one_sided == 48
    assert any("only one side" in text for text in report.sentences)


def test_repairing_twice_changes_nothing_more() -> None:
    broken = without(turned(taken_apart(sphere(0.02, 48)), 3, 9), 17)
    once, first = repaired(broken)
    twice, second = repaired(once)
    assert first.changed
    assert not second.changed
    assert np.array_equal(once.corners, twice.corners)


def test_nothing_left_is_refused() -> None:
    with pytest.raises(MeshDefect, match="nothing is left"):
        repaired(TriangleMesh(vertices=np.eye(3), triangles=[[0, 0, 1], [1, 2, 2]]))
