"""Real and broken files from outside, against trimesh as a second opinion, and against what is
known of each file. The files are not part of the project; without them these tests are skipped."""

import io
import warnings
from pathlib import PurePath

import numpy as np
import pytest

from tankside.base.errors import MeshDefect
from tankside.part.bodies import BodyKind
from tankside.part.length_units import METRES
from tankside.part.measures import measured
from tankside.part.pockets import pockets
from tankside.part.read import LoadedPart, read_part
from tankside.part.recesses import deepest_recesses
from tankside.part.repair import repaired
from tankside.part.report import examined
from tests.unit.part.solids import real_mesh

WHOLE = [
    "20mm-xyz-cube.stl",
    "angle_block.STL",
    "busted.STL",
    "counterX.3MF",
    "featuretype.STL",
    "idler_riser.STL",
    "octagonal_pocket.stl",
    "plate_holes.STL",
    "quadknot.obj",
]
SOUND_AS_READ = {
    "20mm-xyz-cube.stl",
    "busted.STL",
    "counterX.3MF",
    "plate_holes.STL",
    "quadknot.obj",
}


def part_of(name: str) -> LoadedPart:
    return read_part(real_mesh(name), name)


def second_opinion(name: str) -> tuple[float, float]:
    """Area and volume in file units by trimesh, which joins corners by its own rule."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import trimesh

        loaded = trimesh.load(
            io.BytesIO(real_mesh(name)), file_type=PurePath(name).suffix[1:].lower()
        )
        mesh = loaded.to_mesh() if isinstance(loaded, trimesh.Scene) else loaded
        mesh.merge_vertices(merge_tex=True, merge_norm=True)
    return float(mesh.area), float(mesh.volume)


@pytest.mark.parametrize("name", WHOLE)
def test_whole_parts_measure_as_a_second_opinion_says(name: str) -> None:
    part = part_of(name)
    mesh, _ = repaired(part.mesh)
    area, volume = second_opinion(name)
    scale = METRES[part.unit]
    measures = measured(mesh)
    assert measures.wet_area.best == pytest.approx(area * scale**2, rel=1e-6)
    assert measures.outer_volume.best == pytest.approx(volume * scale**3, rel=1e-6)


@pytest.mark.parametrize("name", WHOLE)
def test_whole_parts_are_sound_after_welding_only(name: str) -> None:
    part = part_of(name)
    before = examined(part.mesh)
    mesh, repair = repaired(part.mesh)
    after = examined(mesh)
    assert before.sound is (name in SOUND_AS_READ)
    assert repair.changed is (name not in SOUND_AS_READ)
    assert after.sound
    assert len(after.bodies) == 1
    assert (repair.holes_filled, repair.triangles_turned, repair.needles_swapped) == (0, 0, 0)
    if not before.sound:
        assert before.open_edges_if_welded == 0
        assert any("joined, the surface is closed" in text for text in before.sentences)


def test_a_seam_in_a_3mf_is_sewn() -> None:
    """Four corners on one side of a seam and nine on the other: no weld can close that."""
    part = part_of("featuretype.3MF")
    before = examined(part.mesh)
    assert (before.open_edges, before.open_edges_if_welded, len(before.holes)) == (18, 18, 3)
    mesh, repair = repaired(part.mesh)
    assert repair.seams_split == 5
    assert repair.holes_filled == 0
    assert examined(mesh).sound


def test_two_bodies_in_one_file_keep_their_names_and_are_turned_right() -> None:
    part = part_of("multibody.stl")
    assert part.object_names == ("bodyB", "bodyA")
    assert part.object_of_triangle is not None
    assert np.bincount(part.object_of_triangle).tolist() == [12, 20]
    report = examined(part.mesh)
    assert [body.kind for body in report.bodies] == [BodyKind.MIXED] * 2
    mesh, repair = repaired(part.mesh)
    assert repair.triangles_turned == 6
    assert [body.kind for body in examined(mesh).bodies] == [BodyKind.SOLID] * 2


def test_a_soup_is_called_one() -> None:
    report = examined(part_of("soup.stl").mesh)
    assert len(report.bodies) == len(report.holes) == 100
    assert {body.kind for body in report.bodies} == {BodyKind.OPEN}
    assert report.crosses_itself
    assert report.walls is None
    with pytest.raises(MeshDefect, match="has no defined"):
        measured(repaired(part_of("soup.stl").mesh)[0])


def test_polygons_without_shared_corners_make_a_block_with_a_slot() -> None:
    """wallhole: 10 by 15 by 10 mm with a corner slot of 2 by 5 mm over its length."""
    part = part_of("wallhole.obj")
    assert "only because triangles do not" in examined(part.mesh).sentences[1]
    mesh, _ = repaired(part.mesh)
    assert examined(mesh).sound
    recess = deepest_recesses(mesh).recesses[0]
    assert (recess.depth, recess.width) == pytest.approx((0.005, 0.002), rel=1e-3)


def test_the_slanted_hole_of_a_block_is_its_deepest_recess() -> None:
    """angle_block: a hole of 5/32 inch, 15 degrees off level, beside a bore of half an inch."""
    mesh, _ = repaired(part_of("angle_block.STL").mesh)
    recess = deepest_recesses(mesh).recesses[0]
    assert recess.width == pytest.approx(5 / 32 * 0.0254, rel=0.01)
    assert recess.depth == pytest.approx(0.0115, rel=0.01)
    along = (recess.mouth - recess.floor) / recess.depth
    assert along[1] == pytest.approx(np.cos(np.radians(15)), abs=0.03)


def test_a_knot_does_not_touch_itself() -> None:
    report = examined(part_of("quadknot.obj").mesh)
    assert report.sound
    assert report.walls is not None
    assert report.walls.thinnest > 0.99 * report.walls.median


@pytest.mark.parametrize(
    ("name", "words"),
    [("empty.stl", "without triangles"), ("points_bin.ply", "5 corners but no faces")],
)
def test_files_without_a_surface_are_refused(name: str, words: str) -> None:
    with pytest.raises(MeshDefect, match=words):
        part_of(name)


def test_a_face_of_two_corners_is_left_out() -> None:
    part = part_of("notenoughindices.obj")
    assert part.file_triangles == 1
    assert "faces that name fewer than three corners, left out: 1" in part.notes


def test_octagonal_pockets_keep_the_bath_they_hold() -> None:
    """Sixteen pockets 3/8 inch deep; upside down the same ones hold as much air."""
    mesh, _ = repaired(part_of("octagonal_pocket.stl").mesh)
    upright = pockets(mesh)
    assert len(upright.liquid) == 16
    assert [pocket.depth for pocket in upright.liquid] == pytest.approx([0.009525] * 16, rel=1e-4)
    hanging = pockets(mesh, (0.0, 0.0, -1.0))
    assert hanging.gas_volume.best == pytest.approx(upright.liquid_volume.best, rel=0.01)
    assert hanging.liquid_volume.best == pytest.approx(upright.gas_volume.best, abs=1e-9)
