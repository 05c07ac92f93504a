"""Rates of the shell: how errors fall with mesh and time step; ramps over four coats."""

from dataclasses import replace
from math import inf, tanh

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.field.dense import dense_operators
from tankside.field.deposit import Segment, StepControl
from tankside.field.growth import grow
from tankside.field.seed.front import FrontWatch
from tankside.field.seed.ramp import (
    GROWTH_ACCURACY,
    ceilings,
    full_field,
    held_by_table,
    knob_table,
)
from tankside.field.seed.shell import SeedShell
from tankside.validation.coated_discs import disc_centre
from tankside.validation.coated_front import FRONT_LAW, FRONT_VOLTS, plate_cell
from tankside.validation.coated_sphere import sphere_current
from tankside.validation.coated_strips import strip_contact, strip_rms
from tankside.validation.coated_surfaces import COATED


def rate(sizes: list[int], errors: list[float]) -> float:
    """Slope of -log(error) against log(panels along a side)."""
    return -float(np.polyfit(np.log(sizes), np.log(errors), 1)[0])


@pytest.mark.parametrize("skew", [0.0, 0.2])
def test_a_strip_converges_quadratically_also_on_skewed_triangles(skew: float) -> None:
    """At 5 decay lengths: the current density everywhere, rms."""
    sizes, nu = [30, 60, 120, 240], 5.0
    errors = [strip_rms(nu, n, skew) for n in sizes]
    contacts = [abs(strip_contact(nu, n, skew) / (nu / tanh(nu)) - 1) for n in sizes]
    assert errors == sorted(errors, reverse=True)
    assert 1.7 < rate(sizes, errors) < 2.4
    assert contacts[-1] < 1e-4


def test_a_disc_and_a_sphere_converge_quadratically() -> None:
    rings = [10, 20, 40]
    errors = [abs(disc_centre(5.0, n, 0.1) - 1) for n in rings]
    assert errors == sorted(errors, reverse=True)
    assert 1.5 < rate(rings, errors) < 2.8
    rings = [8, 16, 32]
    errors = [abs(sphere_current(2.0, n, 0.15) - 1) for n in rings]
    assert errors == sorted(errors, reverse=True)
    assert 1.5 < rate(rings, errors) < 2.8


def grown(control: StepControl, seconds: float = 60.0) -> Floats:
    """Thickness along a strip of 10 ohm at a held voltage."""
    lines = np.concatenate([[-0.02], np.linspace(0, 1, 11)])
    problem = replace(plate_cell(lines, FRONT_LAW, 10.0), voltage_limit=FRONT_VOLTS)
    recipe = [Segment(duration=seconds, current=inf)]
    growth = grow(problem, recipe, dense_operators(problem.panels), control=control)
    return growth.thickness[problem.panels.group == COATED]


def test_growth_of_a_coat_is_of_second_order_in_the_step() -> None:
    """Fixed steps, against steps an eighth of the finest."""
    steps = [2.0, 1.0, 0.5]
    exact = grown(StepControl(relative=inf, first_step=0.125, longest_step=0.125), 20.0)
    errors = []
    for step in steps:
        control = StepControl(relative=inf, first_step=step, longest_step=step)
        errors.append(float(np.abs(grown(control, 20.0) - exact).max() / exact.max()))
    assert errors == sorted(errors, reverse=True)
    assert 1.4 < rate([1, 2, 4], errors) < 2.8


def test_the_usual_tolerance_is_accurate_enough() -> None:
    """Against steps a hundred times tighter: thickness at every place to 2 % of the mean."""
    usual = grown(StepControl(first_step=0.1))
    tight = grown(StepControl(relative=2e-4, absolute=2e-11, first_step=0.01))
    assert np.abs(usual - tight).max() < 0.02 * tight.mean()


def test_faraday_holds_while_the_front_runs() -> None:
    lines = np.concatenate([[-0.02], np.linspace(0, 1, 11)])
    problem = replace(plate_cell(lines, FRONT_LAW, 100.0), voltage_limit=FRONT_VOLTS)
    recipe = [Segment(duration=100.0, current=inf)]
    growth = grow(problem, recipe, dense_operators(problem.panels))
    assert growth.charge_balance <= 1e-6
    assert growth.mass_balance <= 1e-6


@pytest.mark.parametrize("sheet_resistance", [1.0, 10.0, 100.0, 1000.0])
def test_ramps_over_four_coats(sheet_resistance: float) -> None:
    """On a strip in a cell: it is covered, the ceiling is followed to the full current, and the
    table of settings keeps it. A poorer coat begins lower and takes longer."""
    lines = np.concatenate([[-0.02], np.linspace(0, 1, 21)])
    limit, density = 400.0, 100.0
    problem = plate_cell(lines, FRONT_LAW, sheet_resistance)
    coat = problem.panels.group == COATED
    current = density * float(problem.panels.areas[coat].sum())
    problem = replace(problem, conductivity=50.0, total_current=current, voltage_limit=None)
    operators = dense_operators(problem.panels)
    ceiling = ceilings(full_field(problem, operators), coat, limit, 0.5)
    assert isinstance(problem.metal, SeedShell)
    watch = FrontWatch(problem.metal)
    control = StepControl(first_step=0.1)
    grow(
        replace(problem, local_ceiling=ceiling),
        [Segment(duration=900.0, current=current)],
        operators,
        control=control,
        accuracy=GROWTH_ACCURACY,
        watch=watch,
    )
    covering = watch.covering()
    assert covering.covered_share(900.0) == 1.0
    assert covering.current[-1] == pytest.approx(current, rel=1e-6)
    expected = {1.0: 0.95, 10.0: 0.4, 100.0: 0.15, 1000.0: 0.1}
    assert covering.current[0] < expected[sheet_resistance] * current
    table = knob_table(covering, current)
    assert len(table) <= 12
    assert table[-1].current == pytest.approx(current, rel=1e-6)
    check = held_by_table(
        problem,
        table,
        operators,
        ceiling=ceiling,
        coat=coat,
        covering_thickness=1e-6,
        control=control,
    )
    assert check.largest_load <= 1.02
    assert check.covered_99 < 900.0
