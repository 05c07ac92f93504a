"""Small rigs that are evaluated in a second: a block, and a cup made of walls."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.cell.description import (
    BoxTank,
    CellDescription,
    ContactSpec,
    PanelBudget,
    PlacedPart,
    Plate,
)
from tankside.part.mesh import TriangleMesh
from tankside.plan.planner import PlanTask
from tankside.plan.rigs.figures import Bench
from tankside.plan.rigs.rig import Rig
from tests.unit.plan.conftest import block

FEW = PanelBudget(vessel=250, anodes=200, wires=150, others=150)


def cup() -> TriangleMesh:
    """A square cup about the origin, 40 mm wide and deep, walls of 5 mm, mouth upwards."""
    import manifold3d

    solid = manifold3d.Manifold.cube((0.04, 0.04, 0.04), True)
    solid -= manifold3d.Manifold.cube((0.03, 0.03, 0.04), True).translate((0, 0, 0.005))
    made = solid.refine_to_length(0.006).to_mesh()
    return TriangleMesh(
        vertices=np.asarray(made.vert_properties[:, :3], float),
        triangles=np.asarray(made.tri_verts, np.int64),
    )


def hung(mesh: TriangleMesh, near: tuple[float, float, float], **changes: object) -> Rig:
    """A part in the middle of a small tank, between two equal anodes, on one wire."""
    anodes = tuple(
        Plate(size=(0.08, 0.08), at=(x, 0.0, 0.07), facing=(-x / abs(x), 0.0, 0.0))
        for x in (-0.1, 0.1)
    )
    description = CellDescription(
        tank=BoxTank(inside=(0.24, 0.16, 0.18)),
        liquid_depth=0.14,
        anodes=anodes,
        parts=(PlacedPart(surface=mesh, at=(0.0, 0.0, 0.07)),),
        contacts=(ContactSpec(near=near, wire_diameter=8e-4, part=1),),
    )
    return Rig(description=replace(description, **changes))  # type: ignore[arg-type]


@pytest.fixture(scope="session")
def block_rig() -> Rig:
    """A cube of 30 mm."""
    return hung(block(cuts=5), (0.0, 0.0, 0.085))


@pytest.fixture(scope="session")
def cup_rig() -> Rig:
    """The cup, held at its rim."""
    return hung(cup(), (0.0175, 0.0, 0.09))


@pytest.fixture(scope="session")
def bench(task: PlanTask) -> Bench:
    """Few panels, no air, the task's bath and supply."""
    return Bench(
        electrolyte=task.electrolyte, supply=task.supply, goal=task.goal, panels=FEW, air=(0.0,)
    )
