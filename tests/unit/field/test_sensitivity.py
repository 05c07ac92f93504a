"""Sensitivities against solving again; intervals against both ends solved."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.field.newton import Accuracy
from tankside.field.operators import Operators
from tankside.field.problem import FieldProblem, FieldSolution
from tankside.field.sensitivity import sensitivities, uncertainty
from tankside.field.solve import solve
from tankside.field.variations import (
    Variation,
    of_area,
    of_boundary_layer,
    of_conductivity,
    of_copper,
    of_hydrogen,
)

TIGHT = Accuracy(residual=1e-10, charge_balance=1e-11)
VARIATIONS = (
    of_conductivity(Interval.about(50.0, 0.1)),
    of_copper("exchange_current_density", Interval(10.0, 20.0, 40.0), name="i0"),
    of_copper("cathodic_transfer", Interval(0.45, 0.5, 0.55), name="alpha_c"),
    of_boundary_layer(Interval(70e-6, 80e-6, 95e-6)),
    of_hydrogen("exchange_current_density", Interval(1e-4, 1e-3, 1e-2), name="hydrogen"),
    of_area(Interval.about(1.0, 0.05)),
)


@pytest.fixture(scope="module")
def solution(tank_problem: FieldProblem, tank_operators: Operators) -> FieldSolution:
    return solve(tank_problem, tank_operators, accuracy=TIGHT)


@pytest.fixture(scope="module")
def burning(tank_problem: FieldProblem, tank_operators: Operators) -> FieldSolution:
    """At 550 A/m², above copper's limit of 500."""
    problem = replace(tank_problem, total_current=2.75 * tank_problem.total_current)
    return solve(problem, tank_operators, accuracy=TIGHT)


@pytest.mark.parametrize("variation", VARIATIONS, ids=lambda v: v.name)
@pytest.mark.parametrize("at", ["solution", "burning"])
def test_derivatives_are_those_of_solving_again(
    at: str, variation: Variation, tank_operators: Operators, request: pytest.FixtureRequest
) -> None:
    solution: FieldSolution = request.getfixturevalue(at)
    (found,) = sensitivities(solution, tank_operators, [variation])
    step = 4e-3
    high, low = (
        solve(variation.varied(solution.problem, x), tank_operators, solution, accuracy=TIGHT)
        for x in (step, -step)
    )
    part = solution.problem.panels.group == 1
    mean = solution.current_density[part].mean()
    for name in ("current_density", "copper_current_density"):
        again = (getattr(high, name) - getattr(low, name))[part] / (2 * step)
        np.testing.assert_allclose(getattr(found, name)[part], again, rtol=2e-3, atol=2e-4 * mean)
    voltage = (high.cell_voltage - low.cell_voltage) / (2 * step)
    assert found.cell_voltage == pytest.approx(voltage, rel=1e-3, abs=1e-5)
    assert found.supply_current == pytest.approx(0, abs=1e-5 * solution.supply_current)


def test_derivative_at_a_held_voltage(solution: FieldSolution, tank_operators: Operators) -> None:
    problem = replace(solution.problem, voltage_limit=0.7 * solution.cell_voltage)
    held = solve(problem, tank_operators, accuracy=TIGHT)
    variation = of_conductivity(Interval.about(50.0, 0.1))
    (found,) = sensitivities(held, tank_operators, [variation])
    high, low = (
        solve(variation.varied(problem, x), tank_operators, held, accuracy=TIGHT)
        for x in (4e-3, -4e-3)
    )
    again = (high.supply_current - low.supply_current) / 8e-3
    assert found.cell_voltage == 0.0
    assert found.supply_current == pytest.approx(again, rel=1e-3)


def test_conductivity_evens_nothing_but_the_voltage_of_a_long_cell(
    solution: FieldSolution, tank_operators: Operators
) -> None:
    """More conductivity: less voltage, less even current (lower Wagner number is evener ohmic)."""
    (found,) = sensitivities(solution, tank_operators, VARIATIONS[:1])
    part = solution.problem.panels.group == 1
    current = solution.current_density[part]
    assert found.cell_voltage < 0
    assert np.corrcoef(found.current_density[part], current)[0, 1] < -0.9


def test_first_order_agrees_with_both_ends_solved(
    solution: FieldSolution, tank_operators: Operators
) -> None:
    """For intervals this narrow to a tenth of their own width."""
    narrow = (
        of_conductivity(Interval.about(50.0, 0.05)),
        of_copper("cathodic_transfer", Interval.about(0.5, 0.05), name="alpha_c"),
        of_boundary_layer(Interval.about(80e-6, 0.05)),
        of_area(Interval.about(1.0, 0.03)),
    )
    part = solution.problem.panels.group == 1
    first, solved = (
        uncertainty(solution, tank_operators, narrow, where=part, sampled=sampled)
        for sampled in (False, True)
    )
    for name in ("mean", "smallest", "percent_5", "largest", "cell_voltage"):
        one, other = getattr(first, name), getattr(solved, name)
        width = other.high - other.low
        assert width > 0
        assert abs(one.low - other.low) <= 0.1 * width
        assert abs(one.high - other.high) <= 0.1 * width


def test_wide_intervals_share_the_charge_out_and_end_above_nought(
    solution: FieldSolution, tank_operators: Operators
) -> None:
    """A given charge lays a mean that hardly moves, however unsure the kinetics are, and no end of
    an interval is below nought, however many unsure numbers lower the thinnest place."""
    wide = (
        of_copper("exchange_current_density", Interval(0.02, 20.0, 20_000.0), name="i0"),
        of_copper("cathodic_transfer", Interval(0.05, 0.5, 5.0), name="alpha_c"),
        *[of_conductivity(Interval(2.5, 50.0, 1000.0))] * 40,
    )
    part = solution.problem.panels.group == 1
    found = uncertainty(solution, tank_operators, wide, where=part)
    assert found.mean.low == pytest.approx(1, abs=0.02)
    assert found.mean.high == pytest.approx(1, abs=0.02)
    for interval in (found.smallest, found.percent_5):
        assert 0 < interval.low < 0.5


def test_area_alone_moves_the_mean(solution: FieldSolution, tank_operators: Operators) -> None:
    """5 % more area, 5 % less thickness; conductivity moves no mean at a held current."""
    part = solution.problem.panels.group == 1
    by_area = uncertainty(
        solution, tank_operators, [of_area(Interval(0.95, 1.0, 1.05))], where=part
    )
    assert by_area.mean.high == pytest.approx(1 / 0.95, abs=1e-3)
    assert by_area.mean.low == pytest.approx(1 / 1.05, abs=1e-3)
    by_conductivity = uncertainty(solution, tank_operators, VARIATIONS[:1], where=part)
    assert by_conductivity.mean.high - by_conductivity.mean.low < 1e-3
    assert by_conductivity.smallest.high - by_conductivity.smallest.low > 0.01


def test_independent_numbers_add_in_quadrature(
    solution: FieldSolution, tank_operators: Operators
) -> None:
    part = solution.problem.panels.group == 1
    both = uncertainty(solution, tank_operators, VARIATIONS[:2], where=part).cell_voltage
    alone = [
        uncertainty(solution, tank_operators, [v], where=part).cell_voltage for v in VARIATIONS[:2]
    ]
    up = [interval.high - solution.cell_voltage for interval in alone]
    assert both.high - solution.cell_voltage == pytest.approx(np.hypot(*up), rel=1e-6)


def test_contributions_are_named(solution: FieldSolution, tank_operators: Operators) -> None:
    part = solution.problem.panels.group == 1
    found = uncertainty(solution, tank_operators, VARIATIONS, where=part)
    assert [item.name for item in found.contributions] == [v.name for v in VARIATIONS]


def test_refusals(solution: FieldSolution, tank_operators: Operators) -> None:
    part = solution.problem.panels.group == 1
    with pytest.raises(BadInput, match="reaches zero"):
        uncertainty(
            solution, tank_operators, [of_conductivity(Interval(0.0, 50.0, 60.0))], where=part
        )
    with pytest.raises(BadInput, match="no electrode's law has a resistance to vary"):
        sensitivities(
            solution, tank_operators, [of_copper("resistance", Interval(1, 2, 3), name="r")]
        )
    with pytest.raises(BadInput, match="at least one panel"):
        uncertainty(solution, tank_operators, VARIATIONS[:1], where=part & ~part)
