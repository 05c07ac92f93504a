"""INVENTED rigs of every kind of tank, with one part and with many; few of their sizes are alike,
so that a length in a drawing can be told from others."""

import numpy as np

from tankside.cell.assembling import assembled
from tankside.cell.bodies import Cell
from tankside.cell.description import (
    Basket,
    BoxTank,
    CellDescription,
    ContactSpec,
    CylinderTank,
    PanelBudget,
    PlacedPart,
    Plate,
    PrismTank,
    Rod,
    Shape,
    Tank,
    Vector,
)
from tankside.part.mesh import TriangleMesh
from tests.unit.sheets.conftest import box

FEW = PanelBudget(vessel=150, anodes=150, wires=150, others=100)


def block(width: float, depth: float, height: float) -> TriangleMesh:
    """A block about the origin."""
    half = (width / 2, depth / 2, height / 2)
    return box((-half[0], -half[1], -half[2]), half)


def cell(
    tank: Tank,
    liquid: float,
    anodes: tuple[Shape, ...],
    parts: tuple[tuple[TriangleMesh, Vector], ...],
    contacts: tuple[ContactSpec, ...],
    shields: tuple[Shape, ...] = (),
    thieves: tuple[Shape, ...] = (),
) -> Cell:
    description = CellDescription(
        tank=tank,
        liquid_depth=liquid,
        anodes=anodes,
        parts=tuple(PlacedPart(surface=mesh, at=at) for mesh, at in parts),
        contacts=contacts,
        shields=shields,
        thieves=thieves,
    )
    return assembled(description, panels=FEW)


def in_a_box() -> Cell:
    """A block between two unlike plates, a shield, a thief, and a coated wire."""
    return cell(
        BoxTank(inside=(0.31, 0.23, 0.29)),
        0.262,
        (
            Plate(size=(0.12, 0.17), at=(-0.1325, 0.0, 0.135), thickness=5e-3),
            Plate(size=(0.11, 0.25), at=(0.136, 0.004, 0.165), thickness=4e-3, facing=(-1, 0, 0)),
        ),
        ((block(0.046, 0.038, 0.052), (0.007, -0.013, 0.141)),),
        (
            ContactSpec(near=(0.007, -0.02, 0.167), wire_diameter=0.8e-3),
            ContactSpec(near=(0.012, 0.006, 0.15), wire_diameter=0.5e-3, insulated=True),
        ),
        shields=(Plate(size=(0.05, 0.06), at=(0.07, 0.0, 0.12), thickness=3e-3),),
        thieves=(Rod(diameter=4e-3, length=0.07, at=(0.0, 0.06, 0.14)),),
    )


def in_a_cylinder() -> Cell:
    """A block off the middle of a round tank with three rods round it."""
    rods = tuple(
        Rod(
            diameter=0.011,
            length=0.26,
            at=(0.08 * float(np.cos(turn)), 0.08 * float(np.sin(turn)), 0.15),
        )
        for turn in (np.pi, np.pi / 3, -np.pi / 3)
    )
    return cell(
        CylinderTank(diameter=0.21, height=0.275),
        0.243,
        rods,
        ((block(0.034, 0.026, 0.061), (0.006, 0.003, 0.131)),),
        (ContactSpec(near=(0.006, 0.003, 0.1615), wire_diameter=0.7e-3),),
    )


def in_a_prism() -> Cell:
    """Two blocks in a tank with a corner cut off, and a plate square to the cut."""
    return cell(
        PrismTank(
            footprint=((-0.2, -0.12), (0.2, -0.12), (0.2, 0.04), (0.05, 0.12), (-0.2, 0.12)),
            height=0.25,
        ),
        0.24,
        (
            Plate(size=(0.16, 0.18), at=(-0.18, 0.0, 0.14)),
            Plate(size=(0.12, 0.18), at=(0.12, 0.05, 0.14), facing=(-1.0, -1.8, 0.0)),
        ),
        (
            (block(0.036, 0.03, 0.058), (-0.06, 0.0, 0.131)),
            (block(0.036, 0.03, 0.058), (0.04, 0.0, 0.131)),
        ),
        (
            ContactSpec(near=(-0.06, 0.0, 0.16), wire_diameter=0.5e-3, part=1),
            ContactSpec(near=(0.04, 0.0, 0.16), wire_diameter=0.5e-3, part=2),
        ),
    )


def crowded() -> Cell:
    """A batch: twelve blocks with two wires each, anodes on all sides and one beneath."""
    places = [
        (0.07 * (column - 1.5), 0.07 * (row - 1), 0.15 + 0.01 * row)
        for column in range(4)
        for row in range(3)
    ]
    contacts = tuple(
        ContactSpec(near=(x + side * 0.008, y, z + 0.02), wire_diameter=0.6e-3, part=number)
        for number, (x, y, z) in enumerate(places, 1)
        for side in (-1, 1)
    )
    anodes: tuple[Shape, ...] = (
        *(
            Plate(size=(0.1, 0.2), at=(x, y, 0.15), facing=(-np.sign(x), 0, 0))
            for x in (-0.23, 0.23)
            for y in (-0.07, 0.07)
        ),
        Plate(size=(0.2, 0.15), at=(0.0, 0.14, 0.15), facing=(0, -1, 0)),
        Basket(size=(0.025, 0.1, 0.15), at=(0.0, -0.13, 0.15), facing=(0, 1, 0)),
        Rod(diameter=4e-3, length=0.06, at=(0.0, 0.0, 0.05), axis=(1, 0, 0)),
    )
    return cell(
        BoxTank(inside=(0.5, 0.32, 0.32)),
        0.28,
        anodes,
        tuple((block(0.036, 0.03, 0.04), place) for place in places),
        contacts,
        shields=(Plate(size=(0.08, 0.1), at=(-0.18, 0.0, 0.14)),),
        thieves=(Plate(size=(0.06, 0.02), at=(0.0, 0.04, 0.05), facing=(0, 0, 1)),),
    )
