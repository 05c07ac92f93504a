"""The report tells the truth about solids whose faults are put in by hand."""

import numpy as np
import pytest

from tankside.base.errors import MeshDefect
from tankside.part.bodies import BodyKind
from tankside.part.mesh import TriangleMesh
from tankside.part.report import PartReport, examined
from tests.unit.part.solids import (
    box,
    cup,
    drilled,
    merged,
    rotation,
    sphere,
    taken_apart,
    turned,
    without,
)


def kinds(report: PartReport) -> list[BodyKind]:
    return [body.kind for body in report.bodies]


@pytest.mark.parametrize("mesh", [box(), sphere(), drilled(0.04, 0.01, 0.02)])
def test_whole_solids_are_sound(mesh: TriangleMesh) -> None:
    report = examined(mesh)
    assert report.sound
    assert kinds(report) == [BodyKind.SOLID]
    assert report.bodies[0].signed_volume == pytest.approx(mesh.signed_volume, rel=1e-12)
    assert "closed and sound" in report.sentences[0]
    assert (report.open_edges, report.holes, report.notes) == (0, (), ())


def test_a_missing_triangle_is_one_hole() -> None:
    report = examined(without(box(), 0))
    assert not report.closed
    assert kinds(report) == [BodyKind.OPEN]
    assert report.bodies[0].signed_volume is None
    assert (report.open_edges, len(report.holes)) == (3, 1)
    assert report.holes[0].simple
    assert report.holes[0].length == pytest.approx(0.02 + 0.01 * np.sqrt(2))
    assert report.holes[0].extent == pytest.approx(0.01 * np.sqrt(2))
    assert report.walls is None
    assert any("has 1 hole: 34.14 mm around" in sentence for sentence in report.sentences)


def test_an_open_box_has_one_square_hole() -> None:
    hole = examined(without(box((0.01, 0.02, 0.03)), 10, 11)).holes[0]
    assert hole.edges == 4
    assert hole.length == pytest.approx(0.06)
    assert hole.centre == pytest.approx([0.0, 0.0, 0.015])


def test_holes_that_touch_in_a_corner_are_told_apart() -> None:
    """Triangles 1 and 7 of the box meet in a corner only."""
    report = examined(without(box(), 1, 7))
    assert len(report.holes) == 2
    assert all(hole.simple and hole.edges == 3 for hole in report.holes)


def test_flipped_triangles_are_counted_by_their_edges() -> None:
    report = examined(turned(box(), 4))
    assert report.unlike_edges == 3
    assert kinds(report) == [BodyKind.MIXED]
    assert report.closed
    assert not report.well_wound
    assert any("some triangles are flipped" in sentence for sentence in report.sentences)


def test_a_body_inside_out_is_named() -> None:
    report = examined(box().flipped())
    assert kinds(report) == [BodyKind.INSIDE_OUT]
    assert not report.sound
    assert report.walls is not None
    assert report.walls.thinnest == pytest.approx(0.01)
    assert "Body 1 is inside out: the triangles face into the material." in report.sentences


def test_a_sealed_cavity_is_found() -> None:
    hollow = merged(box((0.04, 0.04, 0.04)), box((0.02, 0.02, 0.03)).flipped())
    report = examined(hollow)
    assert report.sound
    assert kinds(report) == [BodyKind.SOLID, BodyKind.CAVITY]
    assert report.bodies[1].inside == 1
    assert report.walls is not None
    assert report.walls.thinnest == pytest.approx(0.005, rel=1e-6)
    assert any("the wall of a sealed cavity (12 mL in all)" in text for text in report.sentences)


def test_a_box_in_a_box_that_faces_alike_is_asked_about() -> None:
    report = examined(merged(box((0.04, 0.04, 0.04)), box()))
    assert kinds(report) == [BodyKind.SOLID, BodyKind.SOLID_IN_SOLID]
    assert not report.sound
    assert report.overlapping_bodies == ()


def test_russian_dolls_alternate() -> None:
    shells = [
        box(3 * (0.01 * size,)) if size % 2 == 0 else box(3 * (0.01 * size,)).flipped()
        for size in (6, 5, 4, 3)
    ]
    report = examined(merged(*shells))
    assert kinds(report) == [
        BodyKind.SOLID,
        BodyKind.CAVITY,
        BodyKind.LOOSE_IN_CAVITY,
        BodyKind.CAVITY,
    ]
    assert [body.inside for body in report.bodies] == [0, 1, 2, 3]


def test_bodies_that_overlap_are_named_in_pairs() -> None:
    three = merged(box(), box(at=(0.005, 0.004, 0.003)), box(at=(0.05, 0.0, 0.0)))
    report = examined(three)
    assert kinds(report) == [BodyKind.SOLID] * 3
    assert report.overlapping_bodies == ((1, 2),)
    assert report.crosses_itself
    assert "Bodies overlap: 1 and 2." in report.sentences


@pytest.mark.parametrize("at", [(0.01, 0.01, 0.0), (0.01, 0.0, 0.0)])
def test_boxes_that_share_an_edge_or_a_face_stay_two_bodies(at: tuple[float, ...]) -> None:
    """Their corners are one there, so that an edge has four triangles."""
    pair = merged(box(), box(at=(at[0], at[1], at[2])))
    places, number = np.unique(np.round(pair.vertices, 9), axis=0, return_inverse=True)
    report = examined(TriangleMesh(vertices=places, triangles=number[pair.triangles]))
    assert kinds(report) == [BodyKind.SOLID] * 2
    assert report.non_manifold_edges >= 1
    assert report.closed
    assert not report.sound


def test_dust_in_and_around_a_body_is_told_apart() -> None:
    """Hundreds of crumbs: those within the body, those beside it, and one that sticks out of it."""
    grid = np.stack(np.meshgrid(*[np.arange(7)] * 3), axis=-1).reshape(-1, 3) * 0.002 - 0.006
    crumbs = [box((2e-4, 2e-4, 2e-4), tuple(place)) for place in grid]
    astride = box((2e-4, 2e-4, 2e-4), (0.005, 0.0007, 0.0003))
    report = examined(merged(box(), *crumbs, astride))
    inside = (np.abs(grid) < 0.005).all(axis=1)
    within = [kind is BodyKind.SOLID_IN_SOLID for kind in kinds(report)]
    assert within[1:-1] == inside.tolist()
    assert {body.inside for body in report.bodies if body.kind is BodyKind.SOLID_IN_SOLID} == {1}
    assert report.overlapping_bodies == ((1, len(report.bodies)),)
    assert inside.sum() == 125


def test_an_inner_wall_makes_one_body_that_is_not_manifold() -> None:
    cube = box()
    wall = [[0, 1, 7], [0, 7, 6]]
    report = examined(
        TriangleMesh(vertices=cube.vertices, triangles=np.concatenate([cube.triangles, wall]))
    )
    assert len(report.bodies) == 1
    assert report.non_manifold_edges == 4
    assert not report.closed


def test_doubles_and_flat_triangles_are_counted() -> None:
    cube = box()
    more = np.array([cube.triangles[3][[1, 2, 0]], [0, 0, 1], [0, 4, 4]])
    report = examined(
        TriangleMesh(vertices=cube.vertices, triangles=np.concatenate([cube.triangles, more]))
    )
    assert report.duplicate == 1
    assert report.degenerate == 2


def test_triangles_that_share_no_corners_are_said_to_be_only_apart() -> None:
    report = examined(taken_apart(sphere()))
    assert report.open_edges == 3 * report.triangles
    assert report.apart_corners == 3 * report.triangles - (report.triangles // 2 + 2)
    assert report.open_edges_if_welded == 0
    assert any("joined, the surface is closed" in sentence for sentence in report.sentences)


def test_walls_are_measured_square_to_the_skin() -> None:
    report = examined(cup(0.05, 0.022, 0.020, 0.003, sides=64))
    assert report.walls is not None
    flat = np.cos(np.pi / 64)
    assert report.walls.thinnest == pytest.approx(0.002 * flat, rel=1e-3)
    assert report.walls.thin_area_fraction == 0.0


def test_thin_walls_are_a_share_of_the_area() -> None:
    """A 0.8 mm fin on a block: both faces of the fin are thin, and no other wall."""
    import manifold3d as m

    from tests.unit.part.solids import from_manifold

    fin = m.Manifold.cube((0.0008, 0.02, 0.02)).translate((0.01, 0.0, 0.0199))
    block = from_manifold(m.Manifold.cube((0.02, 0.02, 0.02)) + fin)
    walls = examined(block).walls
    assert walls is not None
    assert walls.thinnest == pytest.approx(0.0008, rel=1e-6)
    assert 0.01 <= walls.where[0] <= 0.0108
    assert walls.where[2] > 0.02
    face = 0.02 * 0.0199
    assert walls.thin_area_fraction == pytest.approx(
        2 * face / (block.area * walls.measured_area_fraction), rel=0.01
    )


@pytest.mark.parametrize("size", [1e-4, 1e-2, 10.0])
def test_walls_are_found_at_every_size(size: float) -> None:
    """The ray library holds small triangles for edge-on unless the mesh is blown up first."""
    walls = examined(sphere(0.5, 64).moved(size * np.eye(3), np.zeros(3))).walls
    assert walls is not None
    assert walls.measured_area_fraction > 0.99
    assert walls.thinnest == pytest.approx(size, rel=0.01)


def test_a_part_that_is_thin_all_over_says_a_hundred_percent() -> None:
    words = "\n".join(examined(box((0.02, 0.02, 0.00003))).sentences)
    assert "; 100 % of the area has a wall under 1 mm" in words


def test_a_sharp_edge_is_no_thin_wall() -> None:
    """A wedge of 45 degrees: its edge has no thickness, its walls are not parallel."""
    import manifold3d as m

    from tests.unit.part.solids import from_manifold

    wedge = m.Manifold.extrude(m.CrossSection([[[0, 0], [0.02, 0], [0, 0.02]]]), 0.05)
    walls = examined(from_manifold(wedge)).walls
    assert walls is not None
    assert walls.thinnest == pytest.approx(0.05)


def test_the_report_does_not_depend_on_the_pose() -> None:
    mesh = merged(
        without(box((0.02, 0.03, 0.04)), 3), turned(sphere(), 9).moved(np.eye(3), np.full(3, 0.1))
    )
    before = examined(mesh)
    after = examined(mesh.moved(rotation(1.1), np.array([0.2, -0.1, 0.05])))
    assert kinds(before) == kinds(after) == [BodyKind.OPEN, BodyKind.MIXED]
    for name in ("open_edges", "unlike_edges", "non_manifold_edges", "degenerate", "duplicate"):
        assert getattr(before, name) == getattr(after, name)
    assert [hole.length for hole in before.holes] == pytest.approx(
        [hole.length for hole in after.holes]
    )


def test_a_mesh_without_triangles_is_refused() -> None:
    with pytest.raises(MeshDefect, match="no triangles"):
        examined(TriangleMesh(vertices=np.zeros((0, 3)), triangles=np.zeros((0, 3), dtype=int)))
