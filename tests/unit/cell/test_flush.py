"""Bodies flat against the vessel: what is covered goes, what is left is closed."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.cell.assembling import assembled
from tankside.cell.bodies import Cell, Role
from tankside.cell.description import (
    Basket,
    BoxTank,
    CellDescription,
    Lining,
    PlacedPart,
    Plate,
    PrismTank,
    Rod,
    Shape,
)
from tankside.cell.flush import FLAT, put_flat
from tankside.cell.polyhedra import footprint, polyhedron, vessel_facets
from tests.unit.cell.scenes import BLOCK, FEW, PLAIN, open_edges, plain, windings

SLANT = float(np.hypot(0.127 - 0.0476, 0.0635))
SLANTED = CellDescription(
    tank=PrismTank(footprint=((0, 0), (0.0476, 0), (0.127, 0.0635), (0, 0.0635)), height=0.065),
    liquid_depth=0.05,
    anodes=(Lining(size=(0.0635, 0.065), at=(0, 0.03175, 0.0325), facing=(1, 0, 0)),),
    thieves=(
        Lining(
            size=(SLANT, 0.065), at=(0.0873, 0.03175, 0.0325), facing=(-0.0635, 0.127 - 0.0476, 0)
        ),
    ),
)
"""A cell whose slanted wall is the cathode and whose end wall is the anode, both lined."""


def closed(cell: Cell) -> bool:
    """Open in the liquid's surface only, and wound once round every point of the solution."""
    edges = open_edges([body.surface for body in cell.bodies])
    low, high = cell.bodies[0].surface.box
    points = np.random.default_rng(2).uniform(low, high, (40, 3))
    wound = windings(cell, points)
    return bool((edges[:, :, 2] == cell.liquid_level).all()) and bool(
        np.abs(wound - np.round(wound)).max() < 1e-9 and set(np.round(wound)) <= {-1.0, 0.0}
    )


@pytest.mark.parametrize(
    ("anode", "area", "vessel", "volume"),
    [
        # 10 cm wide, from z = 10 cm up out of the liquid at 25 cm, 3 mm thick, on the end wall
        (
            Plate(size=(0.1, 0.2), at=(-0.1485, 0.0, 0.2)),
            0.1 * 0.15 + 2 * 0.003 * 0.15 + 0.003 * 0.1,
            -0.1 * 0.15,
            -0.1 * 0.15 * 0.003,
        ),
        # wholly under the liquid
        (
            Plate(size=(0.1, 0.1), at=(-0.1485, 0.0, 0.1)),
            0.1 * 0.1 + 4 * 0.003 * 0.1,
            -0.1 * 0.1,
            -0.1 * 0.1 * 0.003,
        ),
        # the whole end wall
        (
            Plate(size=(0.24, 0.3), at=(-0.1485, 0.0, 0.15)),
            0.24 * 0.25,
            -0.24 * 0.25 - 0.003 * (0.24 + 2 * 0.25),
            -0.24 * 0.25 * 0.003,
        ),
        # in the corner of two walls and the floor
        (
            Plate(size=(0.1, 0.1), thickness=0.01, at=(-0.145, -0.07, 0.05)),
            0.1 * 0.1 + 2 * 0.01 * 0.1,
            -0.1 * 0.1 - 2 * 0.01 * 0.1,
            -0.1 * 0.1 * 0.01,
        ),
        # a basket that stands on the floor
        (
            Basket(size=(0.03, 0.1, 0.3), at=(-0.1, 0.0, 0.15)),
            2 * 0.25 * 0.13,
            -0.03 * 0.1,
            -0.03 * 0.1 * 0.25,
        ),
        # a sheet without thickness on the end wall
        (Lining(size=(0.1, 0.1), at=(-0.15, 0.0, 0.2), facing=(1, 0, 0)), 0.01, -0.01, 0.0),
        (Lining(size=(0.1, 0.2), at=(-0.15, 0.0, 0.2), facing=(1, 0, 0)), 0.015, -0.015, 0.0),
        (Lining(size=(0.3, 0.24), at=(0.0, 0.0, 0.0), facing=(0, 0, 1)), 0.072, -0.072, 0.0),
    ],
)
def test_covered_areas_leave_both_sides(
    anode: Shape, area: float, vessel: float, volume: float
) -> None:
    cell = assembled(plain(anodes=(anode,)), panels=FEW)
    bare = assembled(plain(anodes=(Rod(diameter=0.02, length=0.1, at=(0.1, 0, 0.1)),)), panels=FEW)
    rod = bare.of_role(Role.ANODE)[0].surface
    assert cell.of_role(Role.ANODE)[0].surface.area == pytest.approx(area, rel=1e-9)
    shell = cell.of_role(Role.VESSEL)[0].surface.area
    assert shell == pytest.approx(0.072 + 2 * 0.54 * 0.25 + vessel, rel=1e-9)
    assert cell.solution_volume == pytest.approx(
        bare.solution_volume + rod.signed_volume + volume, rel=1e-12
    )
    assert closed(cell)


def test_a_rod_that_stands_on_the_floor_has_no_foot() -> None:
    cell = assembled(plain(anodes=(Rod(diameter=0.02, length=0.3, at=(0.1, 0, 0.15)),)), panels=FEW)
    assert cell.of_role(Role.ANODE)[0].surface.area == pytest.approx(np.pi * 0.02 * 0.25, rel=1e-9)
    assert closed(cell)
    assert any("anode 1 stands flat against the tank's floor" in note for note in cell.notes)


@pytest.mark.parametrize("off", [-0.9 * FLAT, -3e-6, 4e-6, 0.9 * FLAT])
def test_a_hair_off_the_wall_is_put_flat_and_told(off: float) -> None:
    cell = assembled(
        plain(anodes=(Plate(size=(0.1, 0.1), at=(-0.1485 + off, 0.0, 0.1)),)), panels=FEW
    )
    (anode,) = cell.of_role(Role.ANODE)
    low, high = anode.surface.box
    assert low[0] == -0.15
    assert high[0] == pytest.approx(-0.147 + off, abs=1e-12)
    assert closed(cell)
    (note,) = [note for note in cell.notes if "flat against the tank's wall (moved" in note]
    assert note.startswith("anode 1 stands")


def test_round_off_is_put_flat_without_a_word() -> None:
    cell = assembled(
        plain(anodes=(Plate(size=(0.1, 0.1), at=(-0.1485 + 1e-15, 0.0, 0.1)),)), panels=FEW
    )
    assert not any("moved" in note for note in cell.notes)


def test_a_slanted_wall_lined_from_edge_to_edge() -> None:
    cell = assembled(SLANTED, panels=FEW)
    (anode,), (thief,) = cell.of_role(Role.ANODE), cell.of_role(Role.THIEF)
    assert anode.surface.area == pytest.approx(0.0635 * 0.05, rel=1e-9)
    assert thief.surface.area == pytest.approx(SLANT * 0.05, rel=1e-9)
    assert cell.solution_volume == pytest.approx((0.0476 + 0.127) / 2 * 0.0635 * 0.05, rel=1e-12)
    floor = (0.0476 + 0.127) / 2 * 0.0635
    assert cell.of_role(Role.VESSEL)[0].surface.area == pytest.approx(
        floor + (0.0476 + 0.127) * 0.05, rel=1e-9
    )
    assert closed(cell)


def test_two_compartments_with_an_anode_that_parts_them() -> None:
    sheet = Plate(size=(0.05, 0.07), thickness=1e-3, at=(0, 0, 0.035))
    ends = [replace(sheet, at=(x, 0.0, 0.035)) for x in (-0.0745, 0.0745)]
    cell = assembled(
        CellDescription(
            tank=BoxTank(inside=(0.15, 0.05, 0.07)),
            liquid_depth=0.06,
            anodes=(sheet,),
            thieves=tuple(ends),
        ),
        panels=FEW,
    )
    assert "the solution stands in 2 separate pieces, 0.221 L and 0.221 L" in cell.notes
    assert cell.of_role(Role.ANODE)[0].surface.area == pytest.approx(2 * 0.05 * 0.06)
    for thief in cell.of_role(Role.THIEF):
        assert thief.surface.area == pytest.approx(0.05 * 0.06)
    assert closed(cell)


def test_round_a_corner_that_juts_into_the_tank() -> None:
    ell = PrismTank(
        footprint=((0, 0), (0.3, 0), (0.3, 0.12), (0.12, 0.12), (0.12, 0.3), (0, 0.3)), height=0.2
    )
    cell = assembled(
        replace(
            PLAIN,
            tank=ell,
            liquid_depth=0.18,
            anodes=(Plate(size=(0.08, 0.1), at=(0.05, 0.28, 0.13), facing=(0, -1, 0)),),
            shields=(Plate(size=(0.06, 0.21), at=(0.12, 0.09, 0.105)),),
            parts=(replace(BLOCK, at=(0.22, 0.06, 0.1)),),
            contacts=(replace(PLAIN.contacts[0], near=(0.22, 0.06, 0.13)),),
        ),
        panels=FEW,
    )
    (shield,) = cell.of_role(Role.SHIELD)
    # two broad sides, the edge away from the wall, and half of the edge beside the corner
    assert shield.surface.area == pytest.approx(0.18 * (2 * 0.06 + 0.003 + 0.0015), rel=1e-9)
    assert closed(cell)


def test_corners_on_two_slanted_walls_are_moved_onto_both() -> None:
    tank = PrismTank(footprint=((0, 0), (0.3, 0.1), (0.25, 0.25), (-0.05, 0.15)), height=0.3)
    vessel = vessel_facets(footprint(tank), 0.25)
    along = np.array([0.3, 0.1]) / np.hypot(0.3, 0.1)
    across = np.array([-along[1], along[0]])
    middle = 0.051 * along + 0.0015 * across + 3e-5 * (across - along)
    plate = polyhedron(
        Plate(size=(0.1, 0.2), at=(*middle, 0.2), facing=(across[0], across[1], 0.0))
    )
    moved, flat = put_flat(plate, vessel)
    assert flat.facets == (1,)
    back = moved.facets[0].outline
    assert np.abs((back - vessel[1].outline[0]) @ vessel[1].normal).max() < 1e-15
    assert flat.moved < 5e-5


def test_a_part_never_stands_flat_but_is_told_to_keep_off() -> None:
    from tankside.base.errors import Impossible

    touching = PlacedPart(surface=BLOCK.surface, at=(0.135, 0.0, 0.14))
    contact = replace(PLAIN.contacts[0], near=(0.135, 0.0, 0.17))
    with pytest.raises(Impossible, match="part 1 touches the tank's wall"):
        assembled(
            plain(anodes=PLAIN.anodes[:1], parts=(touching,), contacts=(contact,)), panels=FEW
        )
