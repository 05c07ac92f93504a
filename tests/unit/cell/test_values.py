"""Values that no cell can have: refused as bad input, with where they stand."""

from dataclasses import replace
from math import inf, nan

import pytest

from tankside.base.errors import BadInput, Impossible
from tankside.cell.assembling import assembled
from tankside.cell.coating import even_coat
from tankside.cell.description import (
    Basket,
    BentWire,
    BoxTank,
    CellDescription,
    CylinderTank,
    Lining,
    MeshShape,
    PanelBudget,
    Plate,
    PrismTank,
    Ring,
    Rod,
    Shape,
    Tank,
)
from tankside.part.mesh import TriangleMesh
from tests.unit.cell.scenes import FEW, PLAIN, plain, with_contact, with_left, with_part

EMPTY = TriangleMesh(vertices=[[0, 0, 0]], triangles=[])


def tank(given: Tank) -> CellDescription:
    return plain(tank=given)


def shield(given: Shape) -> CellDescription:
    return plain(shields=(given,))


def prism(*corners: tuple[float, float]) -> CellDescription:
    return plain(tank=PrismTank(footprint=corners, height=0.3))


AT = (0.0, 0.05, 0.14)
CASES: list[tuple[CellDescription, str, str]] = [
    (tank(BoxTank(inside=(0.3, -0.24, 0.3))), "tank, inside", "-0.24 must be above zero"),
    (tank(BoxTank(inside=(0.3, nan, 0.3))), "tank, inside", "nan is not a finite number"),
    (tank(CylinderTank(diameter=0.0, height=0.3)), "tank, diameter", "0 must be above zero"),
    (tank(CylinderTank(diameter=0.3, height=inf)), "tank, height", "inf is not a finite"),
    (prism((0, 0), (1, 0)), "tank, footprint", "has 2 corners and needs three"),
    (prism((0, 0), (1, 0), (1, nan)), "tank, footprint, corner 3", "nan is not"),
    (prism((0, 0), (1, 0), (1, 0), (0, 1)), "tank, footprint", "corner 2 is given twice"),
    (prism((0, 0), (1, 1), (1, 0), (0, 1)), "tank, footprint", "side from corner 1 crosses"),
    (prism((0, 0), (1, 0), (0.5, 0)), "tank, footprint", "crosses or touches"),
    (prism((0, 0), (2, 0), (2, 2), (1, 0), (0, 2)), "tank, footprint", "side from corner 3"),
    (plain(liquid_depth=-0.1), "tank, liquid_depth", "must be above zero"),
    (plain(liquid_depth=nan), "tank, liquid_depth", "not a finite number"),
    (plain(solution_density=0.0), "solution_density", "must be above zero"),
    (with_left(size=(0.1, -0.2)), "anode 1, size", "-0.2 must be above zero"),
    (with_left(thickness=0.0), "anode 1, thickness", "must be above zero"),
    (with_left(facing=(0.0, 0.0, 0.0)), "anode 1, facing", "must not be [0, 0, 0]"),
    (with_left(at=(0.0, nan, 0.0)), "anode 1, at", "nan is not a finite number"),
    (with_left(at=(0.0, 0.0)), "anode 1, at", "needs 3 numbers, not 2"),
    (shield(Rod(diameter=nan, length=1.0, at=AT)), "shield 1, diameter", "not a finite"),
    (shield(Rod(diameter=0.1, length=1.0, at=AT, axis=(0, 0, 0))), "shield 1, axis", "direction"),
    (shield(Basket(size=(1, 2, 0), at=AT)), "shield 1, size", "must be above zero"),
    (shield(Lining(size=(1, -1), at=AT, facing=(0, 0, 1))), "shield 1, size", "above zero"),
    (
        shield(Ring(inner_diameter=0.1, outer_diameter=0.1, thickness=0.01, at=AT)),
        "shield 1, inner_diameter",
        "the hole of 10 cm leaves nothing of a ring of 10 cm",
    ),
    (
        plain(thieves=(Plate(size=(0.1, 0.1), at=AT), BentWire(diameter=0.001, points=(AT,)))),
        "thief 2, points",
        "a wire needs two points, not 1",
    ),
    (shield(BentWire(diameter=0.001, points=(AT, AT))), "shield 1, points", "1 and 2 are one"),
    (shield(MeshShape(mesh=EMPTY, at=AT)), "shield 1, mesh", "holds no triangles"),
    (shield(MeshShape(mesh=EMPTY, at=AT, rotation=(0, inf, 0))), "shield 1, rotation", "finite"),
    (with_part(at=(nan, 0.0, 0.0)), "part 1, at", "not a finite number"),
    (with_part(rotation=(0.0, nan, 0.0)), "part 1, rotation", "not a finite number"),
    (with_part(coat=even_coat(-3.0)), "part 1, coat, sheet_resistance", "must be above zero"),
    (with_part(mass=0.0), "part 1, mass", "must be above zero"),
    (with_contact(wire_diameter=-1e-3), "contact 1, wire_diameter", "must be above zero"),
    (with_contact(near=(0.0, 0.0, nan)), "contact 1, near", "not a finite number"),
    (with_contact(via=((0.0, 0.0, inf),)), "contact 1, via point 1", "not a finite number"),
    (with_contact(via=(AT, AT)), "contact 1, points", "are one"),
    (with_contact(part=2), "contact 1, part", "holds part 2, but the cell has 1 part"),
    (with_contact(part=0), "contact 1, part", "holds part 0"),
    (
        plain(parts=(), thieves=(Rod(diameter=0.01, length=0.1, at=AT),)),
        "contact 1",
        "the cell has no part",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("description", "where", "words"), CASES)
def test_is_refused_with_its_place(description: CellDescription, where: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        assembled(description)
    assert refused.value.where == where
    assert words in refused.value.message


def test_a_tank_that_runs_over_is_impossible() -> None:
    with pytest.raises(Impossible, match="31 cm of liquid stand above the rim at 30 cm"):
        assembled(plain(liquid_depth=0.31))


def test_a_budget_needs_panels() -> None:
    with pytest.raises(BadInput, match="panels, wires: needs at least one panel"):
        assembled(PLAIN, panels=replace(PanelBudget(), wires=0))


def test_a_footprint_with_a_corner_on_a_straight_is_fine() -> None:
    corners = ((-0.15, -0.12), (0.0, -0.12), (0.15, -0.12), (0.15, 0.12), (-0.15, 0.12))
    cell = assembled(plain(tank=PrismTank(footprint=corners, height=0.3)), panels=FEW)
    box = assembled(PLAIN, panels=FEW)
    assert cell.solution_volume == pytest.approx(box.solution_volume, rel=1e-12)
