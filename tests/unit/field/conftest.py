"""A small tank that the field's tests share: a box-shaped part off the middle of a box-shaped tank,
whose end at x = 0 is the anode; with copper's rate laws at 25 °C."""

import numpy as np
import pytest

from tankside.field.dense import dense_operators
from tankside.field.kinetics import (
    ButlerVolmer,
    CopperCathode,
    CopperDeposition,
    CopperDissolution,
    Hydrogen,
)
from tankside.field.operators import Operators
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, FieldProblem
from tankside.validation.closed_shapes import box, turned

RT_F = 0.025693  # V, RT/F at 298.15 K by the CODATA constants


@pytest.fixture(scope="session")
def tank_operators() -> Operators:
    """Group 0 is the tank's walls, 1 the part, 2 the anode."""
    across = np.linspace(0, 0.12, 5)
    tank = box(np.linspace(0, 0.2, 8), across, across)
    part = box(np.linspace(0.09, 0.12, 4), np.linspace(0.03, 0.05, 4), np.linspace(0.04, 0.08, 5))
    pieces = [(2 if name == "x-" else 0, face) for name, face in tank.items()]
    pieces += [(1, turned(face)) for face in part.values()]
    return dense_operators(
        Panels(
            corners=np.concatenate([face for _, face in pieces]),
            group=np.concatenate([np.full(len(face), group) for group, face in pieces]),
        )
    )


@pytest.fixture(scope="session")
def cathode_law() -> CopperCathode:
    return CopperCathode(
        copper=CopperDeposition(
            exchange_current_density=20.0,
            cathodic_transfer=0.5,
            anodic_transfer=1.5,
            limiting_current_density=500.0,
            thermal_voltage=RT_F,
        ),
        hydrogen=Hydrogen(
            exchange_current_density=1e-3, transfer=0.5, equilibrium=-0.34, thermal_voltage=RT_F
        ),
    )


@pytest.fixture(scope="session")
def anode_law() -> CopperDissolution:
    return CopperDissolution(
        transfer=ButlerVolmer(
            exchange_current_density=20.0,
            cathodic_transfer=0.5,
            anodic_transfer=1.5,
            thermal_voltage=RT_F,
        ),
        passivation_limit=300.0,
    )


@pytest.fixture(scope="session")
def tank_problem(
    tank_operators: Operators, cathode_law: CopperCathode, anode_law: CopperDissolution
) -> FieldProblem:
    """200 A m⁻² on the part, on the mean."""
    panels = tank_operators.panels
    return FieldProblem(
        panels=panels,
        conductivity=50.0,
        electrodes=(
            Electrode(group=1, anode=False, law=cathode_law),
            Electrode(group=2, anode=True, law=anode_law),
        ),
        total_current=200.0 * float(panels.areas[panels.group == 1].sum()),
    )
