"""Cells that cannot be: each refused with one sentence that names both things and the measure."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.base.errors import BadInput, Impossible, MeshDefect
from tankside.cell.assembling import assembled
from tankside.cell.description import (
    BentWire,
    CellDescription,
    ContactSpec,
    Lining,
    MeshShape,
    PlacedPart,
    Plate,
    PrismTank,
    Rod,
)
from tankside.part.mesh import TriangleMesh
from tests.unit.cell.scenes import (
    BLOCK,
    FEW,
    LEFT,
    PLAIN,
    RIGHT,
    TOP,
    block,
    plain,
    sphere,
    with_contact,
    with_left,
    with_part,
)

TWO = plain(parts=(BLOCK, replace(BLOCK, at=(0.0, 0.06, 0.14))))
OUTER, INNER = block((0.1, 0.1, 0.15)), block((0.09, 0.09, 0.14)).flipped()
SHELL = TriangleMesh(
    vertices=np.concatenate([OUTER.vertices, INNER.vertices]),
    triangles=np.concatenate([OUTER.triangles, INNER.triangles + len(OUTER.vertices)]),
)
WALLED = Plate(size=(0.24, 0.3), at=(0.05, 0.0, 0.15))

CASES: dict[str, tuple[CellDescription, tuple[str, ...]]] = {
    "no anode": (plain(anodes=()), ("no anode", "part 1", "hang at least one")),
    "no cathode": (plain(parts=(), contacts=()), ("anode 1", "no cathode")),
    "no contact": (plain(contacts=()), ("part 1 cannot hang", "no contact")),
    "no contact for the second part": (
        replace(TWO, contacts=(replace(TOP, part=1),)),
        ("part 2 cannot hang", "contacts hold part 1"),
    ),
    "part out of the liquid": (
        with_part(at=(0, 0, 0.232)),
        ("part 1 reaches 12 mm above the liquid", "lower it by 13 mm or fill to 26.3 cm"),
    ),
    "part higher than can be filled": (
        with_part(at=(0, 0, 0.3)),
        ("part 1 reaches 80 mm above the liquid; lower it by 81 mm",),
    ),
    "part just under the liquid": (
        with_part(at=(0, 0, 0.2196)),
        ("part 1 lies only 0.4 mm under the liquid's surface", "lower it by 0.6 mm"),
    ),
    "anode in the air": (
        with_left(at=(-0.13, 0, 0.36)),
        ("anode 1 hangs 10 mm above the liquid", "lower it by more than 11 mm or fill to more"),
    ),
    "anode that hardly dips": (
        with_left(at=(-0.13, 0, 0.3496)),
        ("anode 1 reaches only 0.4 mm into the liquid", "lower it by more than 0.6 mm"),
    ),
    "anode just under the liquid": (
        with_left(at=(-0.13, 0, 0.1498)),
        ("anode 1 lies only 0.2 mm under the liquid's surface", "lower it by 0.8 mm"),
    ),
    "shield in the air": (
        plain(shields=(Plate(size=(0.1, 0.1), at=(0, 0.05, 0.4)),)),
        ("shield 1 hangs 10 cm above the liquid",),
    ),
    "anode through the wall": (
        with_left(at=(-0.152, 0, 0.14)),
        ("anode 1 reaches 3.5 mm beyond the tank's wall", "move it inwards by 3.5 mm"),
    ),
    "anode through the floor": (
        with_left(at=(-0.13, 0, 0.09)),
        ("anode 1 reaches 10 mm through the tank's floor", "raise it by 10 mm"),
    ),
    "part through the wall": (
        with_part(at=(0, 0.115, 0.14)),
        ("part 1 reaches 5 mm beyond the tank's wall",),
    ),
    "part outside the tank": (
        with_part(at=(0, 0.5, 0.14)),
        ("part 1 reaches 39 cm beyond the tank's wall",),
    ),
    "part through a slanted wall": (
        replace(
            PLAIN,
            tank=PrismTank(footprint=((-0.2, -0.1), (0.2, -0.1), (0.0, 0.1)), height=0.3),
            anodes=(Rod(diameter=0.02, length=0.2, at=(-0.1, -0.06, 0.14)),),
            parts=(PlacedPart(surface=sphere(0.02, 4), at=(0.09, 0.0, 0.14)),),
            contacts=(replace(TOP, near=(0.09, 0.0, 0.16)),),
        ),
        ("part 1 reaches 12.9 mm beyond the tank's wall",),
    ),
    "part through the floor": (
        with_part(at=(0, 0, 0.025)),
        ("part 1 reaches 5 mm through the tank's floor",),
    ),
    "anode in the part": (
        with_left(at=(-0.0125, 0, 0.14)),
        ("part 1 overlaps anode 1 by 3 mm", "move one of them"),
    ),
    "anode in an anode": (
        plain(anodes=(LEFT, Rod(diameter=0.02, length=0.2, at=(-0.13, 0, 0.16)))),
        ("anode 1 overlaps anode 2 by 3 mm",),
    ),
    "part in a part": (
        plain(parts=(BLOCK, replace(BLOCK, at=(0.0, 0.018, 0.14)))),
        ("part 1 overlaps part 2 by 2 mm",),
    ),
    "thief through the part": (
        plain(thieves=(BentWire(diameter=0.002, points=((0.0, 0.05, 0.14), (0.0, -0.05, 0.14))),)),
        ("part 1 overlaps thief 1 by",),
    ),
    "anode against the part": (
        with_left(at=(-0.0165, 0, 0.14)),
        ("part 1 touches anode 1", "1 mm apart"),
    ),
    "anode too near the part": (
        with_left(at=(-0.017, 0, 0.14)),
        ("part 1 stands only 0.5 mm from anode 1", "1 mm apart"),
    ),
    "shield too near the part": (
        plain(shields=(Plate(size=(0.1, 0.1), thickness=0.002, at=(0.0162, 0, 0.14)),)),
        ("shield 1 stands only 0.2 mm from part 1",),
    ),
    "anode too near the wall": (
        with_left(at=(-0.148, 0, 0.14)),
        ("anode 1 stands only 0.5 mm from the tank's wall", "flat against"),
    ),
    "anode too near the floor": (
        with_left(at=(-0.13, 0, 0.1003)),
        ("anode 1 stands only 0.3 mm from the tank's floor",),
    ),
    "anode flat on one wall, too near the next": (
        plain(anodes=(Plate(size=(0.1, 0.1), at=(-0.1485, 0.0696, 0.1)),)),
        ("anode 1 stands only 0.4 mm from the tank's wall",),
    ),
    "anode that leans on the wall with an edge": (
        plain(anodes=(Plate(size=(0.1, 0.1), at=(-0.1129, 0, 0.12), facing=(1.0, 0.0, 1.0)),)),
        ("anode 1 stands only", "from the tank's wall"),
    ),
    "contact far off": (
        with_contact(near=(0.05, 0, 0.17)),
        ("contact 1 lies 35 mm from part 1", "30 mm at most"),
    ),
    "contact above the liquid": (
        with_contact(near=(0, 0, 0.26)),
        ("contact 1 lies 10 mm above the liquid",),
    ),
    "wire led into the part": (
        with_contact(via=((0, 0, 0.1),)),
        ("first via point of contact 1", "behind the surface of part 1", "70 mm"),
    ),
    "wire led out of the liquid": (
        with_contact(via=((0, 0, 0.3),)),
        ("via point of contact 1", "50 mm above the liquid"),
    ),
    "wire led along under the liquid": (
        with_contact(via=((0, 0, 0.2495),)),
        ("via point of contact 1", "only 0.5 mm under the liquid"),
    ),
    "wire led through its part": (
        with_contact(
            near=(0.015, 0, 0.14),
            via=((0.05, 0.0, 0.14), (0, 0, 0.2), (0, 0, 0.1), (-0.05, 0, 0.1)),
        ),
        ("the wire of contact 1 passes through part 1", "via points"),
    ),
    "wire led through an anode": (
        with_contact(via=((0, 0, 0.2), (-0.13, 0, 0.22))),
        ("anode 1 overlaps the wire of contact 1 by",),
    ),
    "wire led out of the tank": (
        with_contact(via=((0, 0, 0.2), (0, 0.2, 0.22))),
        ("the wire of contact 1 reaches 80.4 mm beyond the tank's wall",),
    ),
    "two wires at one place": (
        plain(contacts=(TOP, replace(TOP, near=(0.001, 0, 0.17)))),
        ("the wire of contact 1 stands only", "from the wire of contact 2"),
    ),
    "wire without room to rise": (
        plain(
            parts=(replace(BLOCK, at=(0, 0, 0.219)),),
            contacts=(ContactSpec(near=(0, 0, 0.249), wire_diameter=0.003),),
        ),
        ("the wire of contact 1", "part 1", "1 mm under the liquid"),
    ),
    "shield across the tank": (
        plain(shields=(WALLED,)),
        ("shield 1 and the tank's wall part the solution into 11.8 L and 5.82 L", "no cathode"),
    ),
    "anode in a shell": (
        plain(
            shields=(MeshShape(mesh=SHELL, at=(-0.07, 0.0, 0.12)),),
            anodes=(Rod(diameter=0.02, length=0.05, at=(-0.07, 0, 0.12)),),
        ),
        ("shield 1", "part the solution into 16.5 L and 1.12 L", "16.5 L has no anode"),
    ),
    "lining off the wall": (
        plain(anodes=(Lining(size=(0.1, 0.1), at=(-0.147, 0, 0.14), facing=(1, 0, 0)),)),
        ("anode 1 is a lining", "the tank's wall", "3 mm off"),
    ),
    "lining wider than the wall": (
        plain(anodes=(Lining(size=(0.3, 0.1), at=(-0.15, 0, 0.14), facing=(1, 0, 0)),)),
        ("anode 1 overhangs the tank's wall: 20.0%",),
    ),
    "lining that faces the wall": (
        plain(anodes=(Lining(size=(0.1, 0.1), at=(-0.15, 0, 0.14), facing=(-1, 0, 0)),)),
        ("anode 1 lines the tank's wall", "turn its facing round"),
    ),
    "lining on a lining": (
        plain(
            anodes=tuple(
                Lining(size=(0.1, 0.1), at=(-0.15, y, 0.14), facing=(1, 0, 0)) for y in (0, 0.05)
            )
        ),
        ("anode 1 overlaps anode 2 by",),
    ),
    "wire bent too sharply": (
        plain(
            thieves=(
                BentWire(
                    diameter=0.01,
                    points=(
                        (0.05, 0.05, 0.2),
                        (0.05, 0.05, 0.1),
                        (0.053, 0.05, 0.1),
                        (0.053, 0.05, 0.2),
                    ),
                ),
            )
        ),
        ("thief 1 bends sharply within 3 mm", "diameter of 10 mm"),
    ),
}


@pytest.mark.parametrize("name", list(CASES))
def test_is_refused_with_a_sentence(name: str) -> None:
    description, words = CASES[name]
    with pytest.raises(Impossible) as refused:
        assembled(description)
    assert not isinstance(refused.value, BadInput)
    message = str(refused.value)
    for word in words:
        assert word in message
    assert "\n" not in message
    assert not message.endswith(".")


@pytest.mark.parametrize(
    ("mesh", "words"),
    [
        (TriangleMesh(vertices=block((0.03, 0.02, 0.06)).vertices,
                      triangles=block((0.03, 0.02, 0.06)).triangles[1:]), "not a closed surface"),
        (block((0.03, 0.02, 0.06)).flipped(), "inside out"),
    ],
)  # fmt: skip
def test_a_part_that_is_no_solid_is_a_defect_of_its_mesh(mesh: TriangleMesh, words: str) -> None:
    with pytest.raises(MeshDefect, match=words) as refused:
        assembled(with_part(surface=mesh))
    assert refused.value.where == "part 1"


def test_a_millimetre_is_enough() -> None:
    cell = assembled(
        plain(
            anodes=(replace(LEFT, at=(-0.1475, 0, 0.14)), RIGHT),
            shields=(Plate(size=(0.1, 0.1), thickness=0.002, at=(0.017, 0, 0.14)),),
            contacts=(replace(TOP, near=(-0.01, 0, 0.17)),),
        ),
        panels=FEW,
    )
    assert cell.gap("anode 1", "the tank's wall") == pytest.approx(0.001, abs=1e-8)
    assert cell.gap("shield 1", "part 1") == pytest.approx(0.001, abs=1e-12)


def _with_neighbour(gap: float) -> TriangleMesh:
    """Two blocks of 2 cm beside each other along x, the second one with no wire of its own."""
    one = block((0.02, 0.02, 0.02))
    beside = one.vertices + np.array([0.02 + gap, 0.0, 0.0])
    return TriangleMesh(
        vertices=np.concatenate([one.vertices, beside]),
        triangles=np.concatenate([one.triangles, one.triangles + len(one.vertices)]),
    )


def test_a_body_of_a_part_that_no_wire_holds_is_named() -> None:
    described = replace(
        with_part(surface=_with_neighbour(0.02)), contacts=(replace(TOP, near=(0, 0, 0.15)),)
    )
    with pytest.raises(Impossible) as refused:
        assembled(described, panels=FEW)
    message = str(refused.value)
    assert "part 1 falls into 2 bodies that stand apart" in message
    assert "the one about [40 mm, 0 mm, 14 cm]: it is 20 mm from what hangs on a wire" in message


def test_bodies_that_a_print_joins_or_wires_hold_are_one_part() -> None:
    joined = replace(
        with_part(surface=_with_neighbour(1e-4)), contacts=(replace(TOP, near=(0, 0, 0.15)),)
    )
    assert len(assembled(joined, panels=FEW).contacts) == 1
    both = (replace(TOP, near=(0, 0, 0.15)), replace(TOP, near=(0.04, 0, 0.15)))
    held = replace(with_part(surface=_with_neighbour(0.02)), contacts=both)
    assert len(assembled(held, panels=FEW).contacts) == 2
