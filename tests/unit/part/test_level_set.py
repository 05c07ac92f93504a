"""The level set of a signed distance: volume, sharp edges, what it loses, what it refuses."""

import numpy as np
import pytest

from tankside.base.errors import MeshDefect
from tankside.base.progress import silent
from tankside.part.direct import Skin
from tankside.part.level_set import level_set_skin
from tankside.part.mesh import TriangleMesh
from tankside.part.surface_quality import surface_quality
from tests.unit.part.broken_solids import sphere_with_opening, wavy_sheet
from tests.unit.part.solids import box, cup, merged, rotation, sphere, taken_apart, without


def skin_of(mesh: TriangleMesh, triangles: int = 4000) -> tuple[Skin, TriangleMesh]:
    skin = level_set_skin(mesh, "is tried here", triangles, silent)
    return skin, TriangleMesh(vertices=skin.vertices, triangles=skin.triangles)


@pytest.mark.parametrize(
    "mesh",
    [sphere(0.02, 64), box(), cup(0.04, 0.015, 0.013, 0.002)],
    ids=["sphere", "box", "cup"],
)
def test_a_whole_mesh_comes_back_with_its_volume_and_area(mesh: TriangleMesh) -> None:
    tilted = mesh.moved(rotation(0.4), np.array([0.1, 0.0, 0.05]))
    skin, made = skin_of(tilted)
    quality = surface_quality(made)
    assert quality.closed
    assert quality.manifold
    assert quality.crossings == 0
    assert made.signed_volume == pytest.approx(mesh.signed_volume, rel=0.01)
    assert made.area == pytest.approx(mesh.area, rel=0.01)
    assert skin.notes[0].startswith("The mesh is tried here.")
    assert len(skin.notes) == 1


def test_edges_come_back_sharp_and_corners_within_a_cell() -> None:
    turn = rotation(0.3)
    skin, made = skin_of(box().moved(turn, np.zeros(3)))
    back = made.vertices @ turn
    assert np.abs(back).max() < 0.005 + 0.01 * skin.grain
    for corner in box().vertices:
        assert np.linalg.norm(back - corner, axis=1).min() < skin.grain
    for place in np.linspace(-0.004, 0.004, 9):
        off = np.linalg.norm(back - np.array([place, 0.005, 0.005]), axis=1)
        near = back[off < 2 * skin.grain]
        assert np.hypot(*(near[:, 1:] - 0.005).T).min() < 0.02 * skin.grain


def test_triangles_apart_and_gaps_between_them_do_no_harm() -> None:
    ball = taken_apart(sphere(0.02, 48))
    shaken = ball.vertices + np.random.default_rng(2).normal(size=ball.vertices.shape) * 1e-5
    _, made = skin_of(TriangleMesh(vertices=shaken, triangles=ball.triangles))
    assert made.signed_volume == pytest.approx(ball.signed_volume, rel=0.01)


def test_an_opening_is_closed_where_half_of_the_surroundings_are_seen() -> None:
    """From the plane of a missing face the rest of a box fills half of the view, so that the
    winding number is one half there: the cap is flat."""
    skin, made = skin_of(without(box(), 4, 5))
    assert surface_quality(made).closed
    assert made.signed_volume == pytest.approx(1e-6, rel=0.005)
    assert len(skin.notes) == 1


def test_a_wide_opening_leaves_the_inside_uncertain_and_says_so() -> None:
    skin, made = skin_of(sphere_with_opening(below=-0.004))
    assert surface_quality(made).closed
    assert any("uncertain what is inside" in note for note in skin.notes)


def test_a_hollow_inside_is_left_out() -> None:
    _, made = skin_of(merged(box(), box((0.005, 0.005, 0.005)).flipped()))
    assert made.signed_volume == pytest.approx(1e-6, rel=0.005)


def test_a_sheet_is_refused() -> None:
    with pytest.raises(MeshDefect, match="give it a thickness"):
        skin_of(wavy_sheet())
