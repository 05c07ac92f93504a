"""The analysis surface: closed, outer skin only, well shaped, graded, sharp, near the original."""

from math import pi

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, Cancelled, MeshDefect
from tankside.part.analysis import analysis_surface
from tankside.part.mesh import TriangleMesh
from tankside.part.read import read_part
from tankside.part.surface import AnalysisSurface
from tankside.part.surface_quality import surface_quality
from tests.unit.part.broken_solids import (
    figure_of_eight,
    scattered_triangles,
    sphere_with_opening,
    torus,
    wavy_sheet,
)
from tests.unit.part.solids import (
    box,
    cup,
    drilled,
    from_manifold,
    merged,
    real_mesh,
    sphere,
    taken_apart,
    turned,
    without,
)


def diagonal(mesh: TriangleMesh) -> float:
    low, high = mesh.box
    return float(np.linalg.norm(high - low))


def assert_fit_for_the_field(made: AnalysisSurface, count: int, poor: float = 0.05) -> None:
    quality = surface_quality(made.mesh)
    assert quality.closed
    assert quality.manifold
    assert quality.crossings == 0
    assert quality.below_20_degrees <= poor
    assert made.smallest_angle_5_percent == quality.smallest_angle_percent[1]
    assert abs(len(made.mesh.triangles) / count - 1) < 0.15
    assert made.mesh.signed_volume > 0
    assert made.mesh.areas.min() > 0


def plate_with_holes() -> TriangleMesh:
    import manifold3d

    plate = manifold3d.Manifold.cube((0.06, 0.04, 0.004))
    for x in (0.012, 0.03, 0.048):
        for y, radius in ((0.012, 0.0025), (0.028, 0.0035)):
            hole = manifold3d.Manifold.cylinder(0.008, radius, radius, 48)
            plate = plate - hole.translate((x, y, -0.002))
    return from_manifold(plate)


def round_bar() -> TriangleMesh:
    import manifold3d

    return from_manifold(manifold3d.Manifold.cylinder(0.04, 0.01, 0.01, 96))


SMOOTH_AREAS = {
    "sphere": (sphere(0.02, 128), 4 * pi * 0.02**2),
    "torus": (torus(0.02, 0.006), 4 * pi**2 * 0.02 * 0.006),
    "round bar": (round_bar(), 2 * pi * 0.01 * (0.04 + 0.01)),
    "cup with walls of 2 mm": (
        cup(0.04, 0.015, 0.013, 0.002, 96),
        2 * pi * (0.015 * 0.04 + 0.013 * 0.038 + 0.015**2),
    ),
    "cup with walls of 0.6 mm": (
        cup(0.04, 0.015, 0.0144, 0.0006, 96),
        2 * pi * (0.015 * 0.04 + 0.0144 * 0.0394 + 0.015**2),
    ),
    "plate with holes": (
        plate_with_holes(),
        2 * 0.06 * 0.04 + 0.2 * 0.004
        + sum(3 * 2 * pi * r * (0.004 - r) for r in (0.0025, 0.0035)),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SMOOTH_AREAS)
@pytest.mark.parametrize("count", [2500, 8000])
def test_area_of_smooth_shapes_within_one_percent(name: str, count: int) -> None:
    mesh, area = SMOOTH_AREAS[name]
    made = analysis_surface(mesh, triangles=count)
    assert made.route == "direct"
    assert_fit_for_the_field(made, count)
    assert made.mesh.area == pytest.approx(area, rel=0.01)
    assert made.area_change == pytest.approx(made.mesh.area / mesh.area - 1, abs=1e-9)
    assert abs(made.area_change) < 0.005
    assert made.mesh.signed_volume == pytest.approx(mesh.signed_volume, rel=0.005)
    assert made.largest_distance < 8 / count * diagonal(mesh)
    assert made.notes == ()


@pytest.mark.parametrize("count", [2000, 6000, 20_000])
def test_a_cube_keeps_its_shape_exactly(count: int) -> None:
    made = analysis_surface(box(), triangles=count)
    assert_fit_for_the_field(made, count)
    assert made.mesh.area == pytest.approx(6e-4, rel=1e-12)
    assert made.mesh.signed_volume == pytest.approx(1e-6, rel=1e-12)
    assert made.largest_distance < 1e-12


def sharp_length(mesh: TriangleMesh, turn: float) -> float:
    """Total length of the edges over which the surface turns by more than `turn` [rad]."""
    start = mesh.triangles.reshape(-1)
    end = np.roll(mesh.triangles, -1, axis=1).reshape(-1)
    forward, backward = start * len(mesh.vertices) + end, end * len(mesh.vertices) + start
    order = np.argsort(forward)
    twin = order[np.searchsorted(forward[order], backward)]
    normals = np.repeat(mesh.normals, 3, axis=0)
    sharp = np.einsum("ij,ij->i", normals, normals[twin]) < np.cos(turn)
    lengths = np.linalg.norm(mesh.vertices[start] - mesh.vertices[end], axis=1)
    return float(lengths[sharp].sum() / 2)


def test_sharp_edges_stay_sharp() -> None:
    assert sharp_length(analysis_surface(box(), triangles=3000).mesh, 1.5) == pytest.approx(0.12)
    made = analysis_surface(cup(0.04, 0.015, 0.013, 0.002, 96), triangles=6000).mesh
    rims = 2 * pi * (0.015 + 0.015 + 0.013 + 0.013)
    assert sharp_length(made, 1.4) == pytest.approx(rims, rel=0.01)


def mean_area_near(mesh: TriangleMesh, distance: Floats, low: float, high: float) -> float:
    chosen = (distance >= low) & (distance < high)
    return float(mesh.areas[chosen].mean())


def test_finer_at_edges_than_inside_of_faces() -> None:
    mesh = analysis_surface(box((0.02, 0.02, 0.02)), triangles=6000).mesh
    off = np.sort(0.01 - np.abs(mesh.centroids), axis=1)[:, 1]
    assert mean_area_near(mesh, off, 0, 0.001) < 0.5 * mean_area_near(mesh, off, 0.006, 0.01)


def test_finer_in_a_narrow_slot() -> None:
    import manifold3d

    block = manifold3d.Manifold.cube((0.03, 0.02, 0.02))
    slot = manifold3d.Manifold.cube((0.0005, 0.03, 0.015)).translate((0.015, -0.005, 0.0051))
    mesh = analysis_surface(from_manifold(block - slot), triangles=8000).mesh
    inside = np.abs(mesh.centroids[:, 0] - 0.01525) < 0.0004
    deep = inside & (mesh.centroids[:, 2] > 0.008) & (mesh.centroids[:, 2] < 0.017)
    facing_out = mesh.centroids[:, 0] < 1e-9
    assert mesh.areas[deep].mean() < 0.5 * mesh.areas[facing_out].mean()


def test_finer_near_the_points_asked_for() -> None:
    point = np.array([[0.01, 0.002, 0.001]])
    plain = analysis_surface(box((0.02, 0.02, 0.02)), triangles=4000).mesh
    fine = analysis_surface(box((0.02, 0.02, 0.02)), triangles=4000, focus=point).mesh
    away = [np.linalg.norm(mesh.centroids - point, axis=1) for mesh in (plain, fine)]
    near = [mean_area_near(m, d, 0, 0.0015) for m, d in zip((plain, fine), away, strict=True)]
    assert near[1] < 0.3 * near[0]


def test_every_triangle_knows_the_original_one_it_lies_on() -> None:
    ball = sphere(0.02, 48)
    made = analysis_surface(ball, triangles=3000)
    named = ball.corners[made.original_triangle].mean(axis=1)
    size = np.sqrt(ball.areas.max())
    assert np.linalg.norm(named - made.mesh.centroids, axis=1).max() < 2 * size
    facing = np.einsum("ij,ij->i", ball.normals[made.original_triangle], made.mesh.normals)
    assert facing.min() > 0.95


def test_overlapping_bodies_become_one_skin() -> None:
    made = analysis_surface(merged(box(), box(at=(0.005, 0.004, 0.003))), triangles=4000)
    assert_fit_for_the_field(made, 4000)
    assert made.route == "direct"
    overlap = 0.005 * 0.006 * 0.007
    assert made.mesh.signed_volume == pytest.approx(2e-6 - overlap, rel=1e-9)
    assert "2 shells overlap" in made.notes[0]


def test_bodies_that_share_a_face_become_one() -> None:
    made = analysis_surface(merged(box(), box(at=(0.01, 0, 0))), triangles=3000)
    assert made.mesh.area == pytest.approx(10e-4, rel=1e-9)


def test_bodies_that_share_an_edge_are_both_kept() -> None:
    made = analysis_surface(merged(box(), box(at=(0.01, 0.01, 0))), triangles=3000)
    assert_fit_for_the_field(made, 3000)
    assert made.mesh.signed_volume == pytest.approx(2e-6, rel=1e-9)


def test_sealed_hollows_are_left_out_and_open_ones_kept() -> None:
    hollow = merged(box(), box((0.006, 0.006, 0.006)).flipped())
    made = analysis_surface(hollow, triangles=3000)
    assert made.mesh.area == pytest.approx(6e-4, rel=1e-9)
    assert "no current reaches it" in made.notes[0]
    holed = drilled(0.03, 0.006, 0.02)
    assert analysis_surface(holed, triangles=3000).mesh.area == pytest.approx(holed.area, rel=2e-3)


def test_separate_bodies_are_both_kept_without_a_note() -> None:
    made = analysis_surface(merged(box(), box(at=(0.03, 0, 0))), triangles=3000)
    assert made.mesh.signed_volume == pytest.approx(2e-6, rel=1e-9)
    assert made.notes == ()


@pytest.mark.parametrize(
    "spoiled",
    [taken_apart(box()), turned(box(), 3, 7), box().flipped()],
    ids=["taken apart", "two turned", "inside out"],
)
def test_winding_and_welding_make_no_difference(spoiled: TriangleMesh) -> None:
    made = analysis_surface(spoiled, triangles=2000)
    assert made.route == "direct"
    assert made.mesh.signed_volume == pytest.approx(1e-6, rel=1e-9)


def test_the_same_every_time() -> None:
    mesh = cup(0.04, 0.015, 0.013, 0.002)
    one, two = (analysis_surface(mesh, triangles=3000) for _ in range(2))
    assert np.array_equal(one.mesh.vertices, two.mesh.vertices)
    assert np.array_equal(one.mesh.triangles, two.mesh.triangles)
    assert one.largest_distance == two.largest_distance


def test_the_unit_of_length_makes_no_difference() -> None:
    mesh = cup(0.04, 0.015, 0.013, 0.002)
    large = TriangleMesh(vertices=1024 * mesh.vertices, triangles=mesh.triangles)
    one, two = analysis_surface(mesh, triangles=3000), analysis_surface(large, triangles=3000)
    assert np.array_equal(one.mesh.triangles, two.mesh.triangles)
    assert two.mesh.vertices / 1024 == pytest.approx(one.mesh.vertices, rel=1e-9, abs=1e-12)


def test_a_tolerance_that_the_count_forbids_is_relaxed_and_said() -> None:
    ball = sphere(0.02, 128)
    made = analysis_surface(ball, triangles=2000, tolerance=1e-7)
    assert abs(len(made.mesh.triangles) / 2000 - 1) < 0.15
    assert made.largest_distance > 1e-7
    assert "asked for: 2,000 triangles allow no better" in made.notes[0]
    assert analysis_surface(ball, triangles=2000, tolerance=1e-4).notes == ()


def test_detail_that_so_few_triangles_cannot_follow_is_said() -> None:
    import manifold3d

    fins = [manifold3d.Manifold.cube((0.04, 0.03, 0.004))]
    for k in range(12):
        fin = manifold3d.Manifold.cube((0.0008, 0.03, 0.02))
        fins.append(fin.translate((0.002 + 0.003 * k, 0, 0.003)))
    solid = manifold3d.Manifold.batch_boolean(fins, manifold3d.OpType.Add)
    made = analysis_surface(from_manifold(solid), triangles=2000)
    assert_fit_for_the_field(made, 2000, poor=0.3)
    assert "of the triangles have an angle under 20 degrees" in made.notes[0]
    assert analysis_surface(from_manifold(solid), triangles=12_000).notes == ()


BROKEN = {
    "opening in a sphere": (sphere_with_opening(), 4 * pi * 0.02**3 / 3, 0.03),
    "a triangle is missing": (without(box((0.02, 0.02, 0.02)), 4), 8e-6, 0.06),
    "passes through itself": (figure_of_eight(), figure_of_eight().signed_volume, 0.06),
}


@pytest.mark.parametrize("name", BROKEN)
def test_broken_meshes_go_through_a_level_set_and_say_so(name: str) -> None:
    mesh, volume, within = BROKEN[name]
    made = analysis_surface(mesh, triangles=4000)
    assert made.route == "level set"
    assert_fit_for_the_field(made, 4000)
    assert made.mesh.signed_volume == pytest.approx(volume, rel=within)
    assert "found by winding number" in made.notes[0]
    assert made.largest_distance < 0.01 * diagonal(mesh)


def test_what_a_level_set_loses_is_said() -> None:
    flap = TriangleMesh(
        vertices=[[0.004, -0.004, 0.004], [0.02, -0.004, 0.004], [0.02, 0.004, 0.004]],
        triangles=[[0, 1, 2]],
    )
    made = analysis_surface(merged(box(), flap), triangles=3000)
    assert made.route == "level set"
    assert made.mesh.signed_volume == pytest.approx(1e-6, rel=0.01)
    assert any("stands outside of the skin and was lost" in note for note in made.notes)


@pytest.mark.parametrize(
    ("mesh", "words"),
    [
        (wavy_sheet(), "cannot be told which side is inside"),
        (scattered_triangles(), "which side is inside|encloses no volume"),
        (TriangleMesh(vertices=np.eye(3), triangles=[[0, 1, 2]]), "encloses no volume"),
        (TriangleMesh(vertices=np.eye(3), triangles=[[0, 1, 1]]), "no triangle with an area"),
        (TriangleMesh(vertices=np.zeros((0, 3)), triangles=[]), "no triangle with an area"),
    ],
    ids=["sheet", "scattered", "one triangle", "no area", "nothing"],
)
def test_what_has_no_inside_is_refused(mesh: TriangleMesh, words: str) -> None:
    with pytest.raises(MeshDefect, match=words):
        analysis_surface(mesh, triangles=2000)


def test_more_bodies_than_triangles_can_follow_are_refused() -> None:
    grid = np.stack(np.meshgrid(*[np.arange(5)] * 3), axis=-1).reshape(-1, 3) * 0.01
    beads = merged(*[box((0.005, 0.005, 0.005), tuple(place)) for place in grid])
    with pytest.raises(MeshDefect, match="125 bodies that stand apart, more than 500 triangles"):
        analysis_surface(beads, triangles=500)


@pytest.mark.parametrize(
    ("wish", "words"),
    [
        ({"triangles": 10}, "ask for 500 to 100000"),
        ({"triangles": 10**6}, "ask for 500 to 100000"),
        ({"tolerance": 0.0}, "a length above nought"),
        ({"tolerance": float("nan")}, "a length above nought"),
        ({"focus": np.array([[0.0, np.nan, 0.0]])}, "not a finite number"),
    ],
)
def test_wishes_that_make_no_sense_are_refused(wish: dict[str, object], words: str) -> None:
    with pytest.raises(BadInput, match=words):
        analysis_surface(box(), **wish)  # type: ignore[arg-type]


def test_it_can_be_stopped_and_tells_where_it_stands() -> None:
    stages: list[str] = []

    def watch(stage: str, fraction: float) -> None:
        assert 0 <= fraction <= 1
        stages.append(stage)
        if stages.count("remeshing") == 3:
            raise Cancelled("stopped by the test")

    with pytest.raises(Cancelled):
        analysis_surface(box(), triangles=2000, progress=watch)
    assert stages[0] == "looking for the outer skin"
    assert len(set(stages)) == 3


REAL = {
    "20mm-xyz-cube.stl": ("direct", 1e-6),
    "angle_block.STL": ("direct", 0.003),
    "busted.STL": ("direct", 0.005),
    "counterX.3MF": ("direct", 0.004),
    "featuretype.3MF": ("direct", 0.005),
    "featuretype.STL": ("direct", 0.006),
    "idler_riser.STL": ("direct", 0.002),
    "multibody.stl": ("direct", 1e-4),
    "octagonal_pocket.stl": ("direct", 0.004),
    "plate_holes.STL": ("direct", 0.002),
    "quadknot.obj": ("direct", 0.004),
    "wallhole.obj": ("direct", 1e-6),
}
"""The way that each real file goes, and the largest distance allowed over the diagonal."""


@pytest.mark.parametrize("name", REAL)
def test_real_files(name: str) -> None:
    route, within = REAL[name]
    mesh = read_part(real_mesh(name), name, unit="mm").mesh
    made = analysis_surface(mesh, triangles=12_000)
    assert made.route == route
    assert_fit_for_the_field(made, 12_000)
    assert made.largest_distance < within * diagonal(mesh)
    assert abs(made.area_change) < 0.01


@pytest.mark.parametrize("name", ["soup.stl", "notenoughindices.obj"])
def test_real_files_without_an_inside(name: str) -> None:
    with pytest.raises(MeshDefect):
        analysis_surface(read_part(real_mesh(name), name, unit="mm").mesh, triangles=2000)
