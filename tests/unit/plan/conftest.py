"""A block between two anodes in a small tank, planned in a few seconds."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.base.intervals import Interval
from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.composition import Composition
from tankside.cell.assembling import assembled
from tankside.cell.bodies import Cell
from tankside.cell.description import (
    BoxTank,
    CellDescription,
    ContactSpec,
    PanelBudget,
    PlacedPart,
    Plate,
)
from tankside.part.mesh import TriangleMesh
from tankside.plan.plan import Goal, Supply, Surroundings
from tankside.plan.planner import PlanTask

SIZE = 0.03
CUTS = 8


def block(size: float = SIZE, cuts: int = CUTS) -> TriangleMesh:
    """A cube about the origin, each face cut into squares and those into triangles."""
    steps = np.linspace(-size / 2, size / 2, cuts + 1)
    corners: dict[tuple[float, ...], int] = {}
    triangles = []
    for axis in range(3):
        for side in (-1, 1):
            for i in range(cuts):
                for j in range(cuts):
                    ring = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)][:: side or 1]
                    numbers = []
                    for a, b in ring:
                        point = np.roll([side * size / 2, steps[a], steps[b]], axis)
                        key = tuple(np.round(point, 9))
                        numbers.append(corners.setdefault(key, len(corners)))
                    triangles += [numbers[:3], [numbers[0], numbers[2], numbers[3]]]
    return TriangleMesh(vertices=np.array(list(corners)), triangles=np.array(triangles))


@pytest.fixture(scope="session")
def cell() -> Cell:
    """The block on one wire, midway between two equal anodes."""
    anodes = tuple(
        Plate(size=(0.08, 0.08), at=(x, 0.0, 0.07), facing=(-x, 0.0, 0.0)) for x in (-0.1, 0.1)
    )
    return assembled(
        CellDescription(
            tank=BoxTank(inside=(0.24, 0.14, 0.18)),
            liquid_depth=0.14,
            anodes=anodes,
            parts=(PlacedPart(surface=block(), at=(0.0, 0.0, 0.07)),),
            contacts=(ContactSpec(near=(0.0, 0.0, 0.085), wire_diameter=8e-4),),
        ),
        panels=PanelBudget(vessel=500, anodes=500, wires=200, others=200),
    )


@pytest.fixture(scope="session")
def task(cell: Cell) -> PlanTask:
    """120 µm on the block, in a high-throw bath with gentle air."""
    bath = Composition(copper_sulfate_pentahydrate=75.0, sulfuric_acid=190.0, chloride=0.07)
    return PlanTask(
        cell=cell,
        electrolyte=acid_sulfate(bath, 298.15, "gentle air"),
        goal=Goal(thickness=120e-6),
        supply=Supply(current_limit=5.0, voltage_limit=8.0, lead_resistance=Interval.exact(0.01)),
        surroundings=Surroundings(),
        sulfuric_acid=190.0,
        air_agitation=True,
    )


def with_goal(task: PlanTask, **changes: object) -> PlanTask:
    """The task with fields of its goal changed."""
    return replace(task, goal=replace(task.goal, **changes))  # type: ignore[arg-type]
