"""Area and volume of solids that are known exactly."""

import numpy as np
import pytest

from tankside.base.errors import MeshDefect
from tankside.part.measures import Route, measured
from tankside.part.mesh import TriangleMesh
from tests.unit.part.solids import (
    box,
    drilled,
    merged,
    polygon_area,
    sphere,
    turned,
    without,
)


def test_a_box() -> None:
    measures = measured(box((0.01, 0.02, 0.03)))
    assert measures.route is Route.SUMS
    assert measures.wet_area.best == pytest.approx(2200e-6, rel=1e-14)
    assert measures.outer_volume.best == pytest.approx(6e-6, rel=1e-14)
    assert measures.sizes == pytest.approx([0.01, 0.02, 0.03])
    assert measures.cavity_volume.best == 0.0
    assert measures.notes == ()


def test_a_drilled_block() -> None:
    """The hole takes its section times its depth, and adds its wall."""
    measures = measured(drilled(0.04, 0.01, 0.02, sides=32))
    radius = 0.005 / np.cos(np.pi / 32)
    wall = 32 * 2 * radius * np.sin(np.pi / 32) * 0.02
    volume = 0.04**3 - polygon_area(radius, 32) * 0.02
    assert measures.outer_volume.best == pytest.approx(volume, rel=1e-9)
    assert measures.wet_area.best == pytest.approx(6 * 0.04**2 + wall, rel=1e-9)


def test_sealed_walls_do_not_get_wet() -> None:
    measures = measured(merged(box((0.04, 0.04, 0.04)), box((0.02, 0.02, 0.02)).flipped()))
    assert measures.wet_area.best == pytest.approx(6 * 0.04**2)
    assert measures.outer_volume.best == pytest.approx(64e-6)
    assert measures.cavity_volume.best == pytest.approx(8e-6)
    assert measures.material_volume.best == pytest.approx(56e-6)


def test_what_lies_loose_in_a_cavity_is_material_but_not_wet() -> None:
    measures = measured(merged(box((0.04, 0.04, 0.04)), box((0.02, 0.02, 0.02)).flipped(), box()))
    assert measures.wet_area.best == pytest.approx(6 * 0.04**2)
    assert measures.material_volume.best == pytest.approx(57e-6)


def test_a_solid_in_a_solid_counts_once_and_is_said() -> None:
    measures = measured(merged(box((0.04, 0.04, 0.04)), box()))
    assert measures.outer_volume.best == pytest.approx(64e-6)
    assert "solids that lie wholly in a solid were taken as part of it: 1" in measures.notes


def test_boxes_that_overlap_are_united() -> None:
    """Two cubes of side 20 shifted by 10 along each axis share a cube of side 10."""
    pair = merged(box((0.02, 0.02, 0.02)), box((0.02, 0.02, 0.02), at=(0.01, 0.01, 0.01)))
    measures = measured(pair)
    assert measures.route is Route.UNION
    assert measures.outer_volume.best == pytest.approx(15e-6, rel=1e-9)
    assert measures.wet_area.best == pytest.approx(2 * 2400e-6 - 600e-6, rel=1e-9)
    assert "bodies that overlap were united before measuring" in measures.notes


def test_a_cavity_survives_the_union() -> None:
    hollow = merged(box((0.04, 0.04, 0.04)), box((0.02, 0.02, 0.02)).flipped())
    measures = measured(merged(hollow, box((0.04, 0.01, 0.01), at=(0.03, 0.0, 0.0))))
    assert measures.route is Route.UNION
    assert measures.cavity_volume.best == pytest.approx(8e-6, rel=1e-9)
    assert measures.outer_volume.best == pytest.approx(64e-6 + 3e-6, rel=1e-9)


def bar_through_itself(width: float = 0.004) -> TriangleMesh:
    """One closed square bar along a path of right angles that passes through itself once.

    Eight straight runs; the run along y at x = 0.01 passes through the run along x at y = 0, half a
    width higher. A bar with mitred corners has its section times its middle line as its volume.
    """
    rise = width / 2
    path = np.array(
        [
            [-0.02, 0, 0], [0.03, 0, 0], [0.03, 0.02, 0], [0.03, 0.02, rise], [0.01, 0.02, rise],
            [0.01, -0.02, rise], [-0.02, -0.02, rise], [-0.02, -0.02, 0],
        ]
    )  # fmt: skip
    return _bar(np.delete(path, [3, 7], axis=0), width)


def _bar(path: np.ndarray, width: float) -> TriangleMesh:
    """A bar whose corners in plan are mitred; heights are taken from the path."""
    step = np.roll(path, -1, axis=0) - path
    ahead = step[:, :2] / np.linalg.norm(step[:, :2], axis=1)[:, None]
    left = np.stack([-ahead[:, 1], ahead[:, 0]], axis=1)
    mitre = left + np.roll(left, 1, axis=0)
    mitre = mitre / (mitre * left).sum(axis=1)[:, None]
    rings = []
    for side, up in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        rings.append(
            np.column_stack([path[:, :2] + side * mitre * width / 2, path[:, 2] + up * width / 2])
        )
    points = np.stack(rings, axis=1).reshape(-1, 3)
    faces = []
    for k in range(len(path)):
        for j in range(4):
            a, b = 4 * k + j, 4 * k + (j + 1) % 4
            c, d = 4 * ((k + 1) % len(path)) + j, 4 * ((k + 1) % len(path)) + (j + 1) % 4
            faces += [[a, c, b], [b, c, d]]
    mesh = TriangleMesh(vertices=points, triangles=faces)
    return mesh if mesh.signed_volume > 0 else mesh.flipped()


def test_a_bar_that_runs_through_itself_is_estimated_and_said() -> None:
    width = 0.004
    path = np.array(
        [[-0.02, 0, 0], [0.03, 0, 0], [0.03, 0.02, 0], [0.01, 0.02, 0], [0.01, -0.02, 0],
         [-0.02, -0.02, 0]]
    )  # fmt: skip
    path[3:5, 2] = width / 2
    mesh = _bar(path, width)
    measures = measured(mesh)
    assert measures.route is Route.SAMPLES
    assert "runs through itself" in measures.notes[0]
    shared_volume = width * width * width / 2
    assert measures.outer_volume.best == pytest.approx(mesh.signed_volume - shared_volume, rel=0.01)
    assert mesh.signed_volume - shared_volume in measures.outer_volume
    # Lost: of each bar half a height of both side walls over a width, and the lid of the lower and
    # the floor of the upper over a square.
    shared_area = 4 * width * width / 2 + 2 * width * width
    assert measures.wet_area.best == pytest.approx(mesh.area - shared_area, rel=0.01)
    assert mesh.area - shared_area in measures.wet_area


@pytest.mark.parametrize(
    ("mesh", "words"),
    [
        (without(box(), 3), "is open, so the part has no defined volume"),
        (turned(box(), 3), "is wound both ways"),
        (box().flipped(), "is inside out"),
        (merged(sphere(), without(box(at=(1.0, 0.0, 0.0)), 3)), "body 2 of 2 is open"),
    ],
)
def test_a_part_without_a_volume_is_refused(mesh: TriangleMesh, words: str) -> None:
    with pytest.raises(MeshDefect, match=words):
        measured(mesh)


@pytest.mark.parametrize("turn", [False, True])
def test_a_sheet_laid_on_itself_encloses_nothing(turn: bool) -> None:
    """It is closed by its edges, whichever side its rounding falls to, and no repair helps it."""
    corners = np.array([[0.0, 0, 0.001], [0.04, 0, 0.002], [0.04, 0.03, 0], [0, 0.03, 0.003]])
    sheet = TriangleMesh(vertices=corners, triangles=[[0, 1, 2], [0, 2, 3], [0, 2, 1], [0, 3, 2]])
    with pytest.raises(MeshDefect, match="encloses no volume, as a sheet laid on itself"):
        measured(sheet.flipped() if turn else sheet)
