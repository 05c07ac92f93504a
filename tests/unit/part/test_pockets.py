"""Trapped gas and carried liquid in shapes whose pockets are known."""

import manifold3d
import numpy as np
import pytest

from tankside.base.errors import BadInput, MeshDefect
from tankside.part.columns import columns_of
from tankside.part.mesh import TriangleMesh
from tankside.part.pockets import PocketKind, pockets, rotation_to_vertical
from tests.unit.part.solids import (
    box,
    cup,
    drilled,
    from_manifold,
    merged,
    polygon_area,
    rotation,
    sphere,
    without,
)

HEIGHT, INNER, FLOOR, SIDES = 0.05, 0.02, 0.002, 64
CUP = cup(HEIGHT, 0.022, INNER, FLOOR, SIDES)
SECTION = polygon_area(INNER, SIDES)
GRID = 0.0004


def leaning(degrees: float) -> tuple[float, float, float]:
    return (float(np.sin(np.radians(degrees))), 0.0, float(np.cos(np.radians(degrees))))


def test_columns_give_the_volume_of_a_box_exactly() -> None:
    assert columns_of(box((0.04, 0.03, 0.02)), 0.001).volume == pytest.approx(24e-6, rel=1e-12)


def test_columns_give_the_volume_of_a_sphere() -> None:
    ball = sphere(0.02, 96)
    assert columns_of(ball, 0.0002).volume == pytest.approx(ball.signed_volume, rel=2e-4)


def test_columns_through_edges_and_corners_are_not_lost() -> None:
    """Lines that pass exactly through the edges of a pyramid and its tip."""
    tip = TriangleMesh(
        vertices=np.array([[-1, -1, 0], [1, -1, 0], [1, 1, 0], [-1, 1, 0], [0, 0, 1]], dtype=float),
        triangles=[[0, 2, 1], [0, 3, 2], [0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]],
    )
    for cells in (4, 5, 8):
        columns = columns_of(tip, 2 / cells)
        assert len(np.unique(columns.line)) == cells**2
        assert len(columns.line) == cells**2


def test_overlapping_bodies_count_once_in_columns() -> None:
    pair = merged(box((0.02, 0.02, 0.02)), box((0.02, 0.02, 0.02), at=(0.01, 0.01, 0.01)))
    assert columns_of(pair, 0.0005).volume == pytest.approx(15e-6, rel=1e-9)


@pytest.mark.parametrize("degrees", [0.0, 10.0, 30.0])
def test_a_leaning_cup_keeps_its_wedge(degrees: float) -> None:
    """Full to the lowest place of the rim: V = A (h - r tan(lean)), the rim's corner in front."""
    found = pockets(CUP, leaning(degrees))
    exact = SECTION * (HEIGHT - FLOOR - INNER * np.tan(np.radians(degrees)))
    assert found.gas == ()
    assert len(found.liquid) == 1
    pocket = found.liquid[0]
    assert pocket.kind is PocketKind.LIQUID
    assert pocket.volume.best == pytest.approx(exact, rel=5e-3)
    assert pocket.volume.low <= exact <= pocket.volume.high + 0.002 * exact
    assert found.liquid_volume == pocket.volume
    assert pocket.tip[2] == pytest.approx(FLOOR, abs=1e-6)


def test_upside_down_the_same_cup_traps_the_same_gas() -> None:
    upright, hanging = pockets(CUP, spacing=GRID), pockets(CUP, (0.0, 0.0, -1.0), GRID)
    assert hanging.liquid == ()
    assert hanging.gas[0].volume.best == pytest.approx(upright.liquid[0].volume.best, rel=1e-9)
    assert hanging.gas[0].depth == pytest.approx(HEIGHT - FLOOR)
    assert hanging.gas[0].tip[2] == pytest.approx(FLOOR, abs=1e-9)


def test_on_its_side_a_cup_keeps_nothing() -> None:
    """The inner wall is level when the cup lies: nothing deeper than the facets' sag stays."""
    found = pockets(CUP, (1.0, 0.0, 0.0), GRID)
    assert found.liquid_volume.high < 0.01 * SECTION * HEIGHT


def test_a_drain_empties_the_cup() -> None:
    drain = manifold3d.Manifold.cylinder(0.01, 0.0015, 0.0015, 24).translate((0, 0, -0.005))
    shell = manifold3d.Manifold.cylinder(HEIGHT, 0.022, 0.022, SIDES)
    inside = manifold3d.Manifold.cylinder(HEIGHT, INNER, INNER, SIDES).translate((0, 0, FLOOR))
    found = pockets(from_manifold(shell - inside - drain), spacing=GRID)
    assert found.liquid == ()
    assert found.gas == ()


def test_a_side_hole_keeps_what_is_below_it() -> None:
    """A hole of 6 mm through the wall, its lowest point 15 mm above the floor."""
    hole = manifold3d.Manifold.cylinder(0.05, 0.003, 0.003, 48).rotate((0, 90, 0))
    shell = manifold3d.Manifold.cylinder(HEIGHT, 0.022, 0.022, SIDES)
    inside = manifold3d.Manifold.cylinder(HEIGHT, INNER, INNER, SIDES).translate((0, 0, FLOOR))
    carved = shell - inside - hole.translate((0, 0, FLOOR + 0.018))
    found = pockets(from_manifold(carved), spacing=GRID)
    assert found.liquid[0].volume.best == pytest.approx(SECTION * 0.015, rel=0.01)
    assert found.liquid[0].depth == pytest.approx(0.015, rel=0.01)


def test_a_siphon_roof_traps_gas_between_two_legs() -> None:
    """An arch open below: the room under it down to its lower lip."""
    block = manifold3d.Manifold.cube((0.06, 0.02, 0.04))
    room = manifold3d.Manifold.cube((0.04, 0.016, 0.03)).translate((0.01, 0.002, 0.0))
    gate = manifold3d.Manifold.cube((0.02, 0.016, 0.01)).translate((0.045, 0.002, 0.0))
    found = pockets(from_manifold(block - room - gate))
    assert len(found.gas) == 1
    assert found.gas[0].volume.best == pytest.approx(0.04 * 0.016 * 0.02, rel=2e-3)
    assert found.gas[0].depth == pytest.approx(0.02)
    assert found.gas[0].tip[2] == pytest.approx(0.03)


@pytest.mark.parametrize("degrees", [0.0, 13.0, 31.7, 45.0])
def test_gas_runs_along_a_ridge_that_the_grid_misses(degrees: float) -> None:
    """A tunnel with a gable roof, open at both ends, however it lies to the grid; and the same
    with its ends walled up to half the height of the gable."""
    gable = manifold3d.CrossSection([[[-0.01, 0.0], [0.01, 0.0], [0.0, 0.01]]])
    tunnel = manifold3d.Manifold.extrude(gable, 0.06).rotate((90, 0, 0)).translate((0, 0.03, 0.0))
    block = manifold3d.Manifold.cube((0.04, 0.06, 0.02), True).translate((0.0, 0.0, 0.008))
    turn = rotation(np.radians(degrees), (0.0, 0.0, 1.0))
    is_open = from_manifold(block - tunnel).moved(turn, np.zeros(3))
    assert pockets(is_open, spacing=GRID).gas == ()
    walls = manifold3d.Manifold.cube((0.04, 0.06, 0.02), True)
    walls -= manifold3d.Manifold.cube((0.05, 0.05, 0.05), True)
    walled = (block - tunnel) + walls.translate((0.0, 0.0, 0.015))
    found = pockets(from_manifold(walled).moved(turn, np.zeros(3)), spacing=GRID)
    assert len(found.gas) == 1
    assert found.gas[0].depth == pytest.approx(0.005, rel=0.05)
    assert found.gas[0].volume.best == pytest.approx(0.005**2 * 0.05, rel=0.05)
    assert found.gas[0].tip[2] == pytest.approx(0.01, abs=GRID)


def test_a_blind_hole_traps_gas_only_when_it_looks_down() -> None:
    mesh = drilled(0.04, 0.01, 0.02)
    volume = polygon_area(0.005 / np.cos(np.pi / 32), 32) * 0.02
    down = pockets(mesh, (0.0, 0.0, -1.0), 0.0002)
    assert down.gas[0].volume.best == pytest.approx(volume, rel=5e-3)
    assert volume in down.gas[0].volume
    sideways = pockets(mesh, (0.0, 1.0, 0.0), GRID)
    assert sideways.gas_volume.best < 0.02 * volume
    assert sideways.liquid_volume.best < 0.02 * volume


def test_several_pockets_are_told_apart_and_sorted() -> None:
    block = manifold3d.Manifold.cube((0.06, 0.03, 0.02), True)
    for x, side, depth in ((-0.02, 0.01, 0.01), (0.0, 0.005, 0.012), (0.02, 0.012, 0.005)):
        pit = manifold3d.Manifold.cube((side, side, 0.02), True)
        block -= pit.translate((x, 0.0, 0.01 - depth + 0.01))
    found = pockets(from_manifold(block))
    exact = [0.01**2 * 0.01, 0.012**2 * 0.005, 0.005**2 * 0.012]
    assert [pocket.volume.best for pocket in found.liquid] == pytest.approx(exact, rel=0.005)
    assert [pocket.depth for pocket in found.liquid] == pytest.approx([0.01, 0.005, 0.012])
    assert [pocket.centre[0] for pocket in found.liquid] == pytest.approx(
        [-0.02, 0.02, 0.0], abs=3e-4
    )


def test_sealed_cavities_are_no_pockets() -> None:
    hollow = merged(box((0.04, 0.04, 0.04)), box((0.02, 0.02, 0.02)).flipped())
    found = pockets(hollow, spacing=GRID)
    assert (found.gas, found.liquid) == ((), ())


@pytest.mark.parametrize("mesh", [box(), sphere(0.02, 64), box().moved(rotation(0.6), np.zeros(3))])
def test_convex_parts_trap_nothing(mesh: TriangleMesh) -> None:
    found = pockets(mesh, spacing=float(mesh.box[1][0] - mesh.box[0][0]) / 100)
    assert (found.gas, found.liquid) == ((), ())
    assert found.left_out < 1e-6 * mesh.signed_volume


def test_the_pose_may_be_in_the_mesh_or_in_up() -> None:
    up = leaning(20.0)
    asked = pockets(CUP, up, GRID)
    moved = pockets(CUP.moved(rotation_to_vertical(up), np.zeros(3)), spacing=GRID)
    assert asked.liquid_volume.best == pytest.approx(moved.liquid_volume.best, rel=1e-9)
    place = rotation_to_vertical(up) @ asked.liquid[0].tip
    assert place == pytest.approx(moved.liquid[0].tip, abs=1e-9)


@pytest.mark.parametrize(
    "up", [(0.0, 0.0, 1.0), (0.0, 0.0, -2.0), (1.0, 0.0, 0.0), (1.0, -2.0, 0.5)]
)
def test_up_is_turned_upright_by_a_rotation(up: tuple[float, float, float]) -> None:
    turn = rotation_to_vertical(up)
    assert turn @ turn.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(turn) == pytest.approx(1.0)
    assert turn @ np.array(up) / np.linalg.norm(up) == pytest.approx([0.0, 0.0, 1.0], abs=1e-12)


def test_walls_thinner_than_the_grid_are_said() -> None:
    found = pockets(cup(0.05, 0.0203, 0.02, 0.002), spacing=0.001)
    assert "are thin for the grid" in found.notes[0]


@pytest.mark.parametrize(
    ("mesh", "up", "spacing", "kind", "words"),
    [
        (CUP, (0.0, 0.0, 0.0), None, BadInput, "has no direction"),
        (CUP, (0.0, float("nan"), 1.0), None, BadInput, "has no direction"),
        (CUP, (0.0, 0.0, 1.0), -0.001, BadInput, "makes no sense"),
        (without(box(), 10), (0.0, 0.0, 1.0), None, MeshDefect, "not closed"),
    ],
)
def test_what_cannot_be_flooded_is_refused(
    mesh: TriangleMesh,
    up: tuple[float, float, float],
    spacing: float | None,
    kind: type[BadInput],
    words: str,
) -> None:
    with pytest.raises(kind, match=words):
        pockets(mesh, up, spacing)
