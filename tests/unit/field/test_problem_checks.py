"""Every problem without an answer is refused with a sentence that says why."""

from dataclasses import replace
from math import inf, nan
from typing import Any

import pytest

from tankside.base.errors import BadInput, Impossible, MeshDefect, TanksideError
from tankside.field.kinetics import CopperCathode
from tankside.field.operators import Operators
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, FieldProblem
from tankside.field.problem_checks import check_operators, check_problem, largest_current


def test_a_sound_problem_passes(tank_problem: FieldProblem, tank_operators: Operators) -> None:
    check_problem(tank_problem)
    check_operators(tank_problem, tank_operators)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"conductivity": 0.0}, "conductivity must be above zero, not 0.0 S/m"),
        ({"conductivity": nan}, "conductivity must be above zero"),
        ({"conductivity": inf}, "conductivity must be above zero"),
        ({"total_current": 0.0}, "current must be above zero, not 0.0 A"),
        ({"total_current": -1.0}, "current must be above zero"),
        ({"total_current": nan}, "current must be above zero"),
        ({"total_current": inf}, "unlimited current needs a voltage limit"),
        ({"voltage_limit": 0.0}, "voltage limit must be above zero"),
        ({"voltage_limit": nan}, "voltage limit must be above zero"),
    ],
)
def test_refuses_numbers(tank_problem: FieldProblem, change: dict[str, Any], words: str) -> None:
    with pytest.raises(BadInput, match=words):
        check_problem(replace(tank_problem, **change))


def test_refuses_a_missing_pole(tank_problem: FieldProblem) -> None:
    cathode, anode = tank_problem.electrodes
    with pytest.raises(BadInput, match="the cell has no anode"):
        check_problem(replace(tank_problem, electrodes=(cathode,)))
    with pytest.raises(BadInput, match="the cell has no cathode"):
        check_problem(replace(tank_problem, electrodes=(anode,)))


def test_refuses_an_electrode_without_panels(tank_problem: FieldProblem) -> None:
    cathode, anode = tank_problem.electrodes
    with pytest.raises(BadInput, match="group 9 is an anode but has no panels"):
        check_problem(replace(tank_problem, electrodes=(cathode, anode, replace(anode, group=9))))


def test_refuses_one_body_as_two_electrodes(tank_problem: FieldProblem) -> None:
    cathode, anode = tank_problem.electrodes
    with pytest.raises(BadInput, match="group 1 is given as two electrodes"):
        check_problem(replace(tank_problem, electrodes=(cathode, cathode, anode)))


def test_refuses_a_field_without_panels(tank_problem: FieldProblem) -> None:
    with pytest.raises(BadInput, match="no panels"):
        check_problem(replace(tank_problem, panels=Panels(corners=(), group=())))  # type: ignore[arg-type]


def test_refuses_more_than_copper_can_carry(
    tank_problem: FieldProblem, cathode_law: CopperCathode
) -> None:
    """Without hydrogen, the limit of 500 A/m² times the area is all there is."""
    anode = tank_problem.electrodes[1]
    alone = replace(
        tank_problem,
        electrodes=(Electrode(group=1, anode=False, law=cathode_law.copper), anode),
    )
    area = tank_problem.total_current / 200.0
    assert largest_current(alone) == pytest.approx(500.0 * area, rel=1e-12)
    check_problem(replace(alone, total_current=499.0 * area))
    with pytest.raises(Impossible, match="before copper runs out at their surface"):
        check_problem(replace(alone, total_current=501.0 * area))
    check_problem(replace(alone, total_current=501.0 * area, voltage_limit=3.0))
    check_problem(replace(tank_problem, total_current=501.0 * area))


class _Stand:
    """Operators of which only the panels and the closure are asked."""

    def __init__(self, panels: Panels, closure: float) -> None:
        self.panels, self.closure = panels, closure


@pytest.mark.parametrize(
    ("closure", "refused"), [(0.049, False), (0.051, True), (0.5, True), (nan, True)]
)
def test_refuses_an_open_boundary(
    tank_problem: FieldProblem, closure: float, refused: bool
) -> None:
    stand: Any = _Stand(tank_problem.panels, closure)
    if refused:
        with pytest.raises(MeshDefect, match="do not close the solution in"):
            check_operators(tank_problem, stand)
    else:
        check_operators(tank_problem, stand)


def test_refuses_operators_of_other_panels(tank_problem: FieldProblem) -> None:
    panels = tank_problem.panels
    moved = Panels(corners=panels.corners + 1e-3, group=panels.group)
    stand: Any = _Stand(moved, 0.0)
    with pytest.raises(BadInput, match="built for other panels"):
        check_operators(tank_problem, stand)
    same: Any = _Stand(Panels(corners=panels.corners, group=panels.group), 0.0)
    check_operators(tank_problem, same)


def test_all_refusals_are_one_family() -> None:
    assert {issubclass(kind, TanksideError) for kind in (BadInput, Impossible, MeshDefect)} == {
        True
    }
