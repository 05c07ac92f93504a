"""Growth: Faraday's law, balances, collapse of steps, adaptive steps against a closed form."""

from collections.abc import Callable
from dataclasses import replace
from math import inf

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.errors import BadInput
from tankside.field.deposit import Segment, StepControl
from tankside.field.growth import grow
from tankside.field.kinetics import LinearPolarisation
from tankside.field.operators import Operators
from tankside.field.problem import FieldProblem

AMPERE_HOUR = 3600.0
GRAMS_PER_AMPERE_HOUR = 1.18550  # 63.546 / (2 * 96485.33) * 3600, CODATA and IUPAC constants


class Film:
    """A resistance before the whole cathode that the mean deposit thins: R = R0 / (1 + h / h0)."""

    def __init__(self, problem: FieldProblem, resistance: float, thickness: float) -> None:
        self.problem, self.resistance, self.scale = problem, resistance, thickness
        self.cathode, self.areas = problem.panels_of(anode=False), problem.panels.areas
        self.now = resistance

    def drop(self, current_density: Floats) -> Floats:
        current = float((self.areas * current_density)[self.cathode].sum())
        return np.where(self.cathode, self.now * current, 0.0)

    def reacting(self, response: Floats) -> Callable[[Floats], Floats]:
        weakened = 1.0 + self.now * float((self.areas * response)[self.cathode].sum())
        return lambda current_density: self.drop(current_density) / weakened

    def grown(self, thickness: Floats) -> "Film":
        mean = np.average(thickness[self.cathode], weights=self.areas[self.cathode])
        film = Film(self.problem, self.resistance, self.scale)
        film.now = self.resistance / (1.0 + float(mean) / self.scale)
        return film


def test_faraday(tank_problem: FieldProblem, tank_operators: Operators) -> None:
    growth = grow(tank_problem, [Segment(duration=AMPERE_HOUR, current=1.0)], tank_operators)
    assert 1e3 * growth.copper_deposited == pytest.approx(GRAMS_PER_AMPERE_HOUR, rel=1e-4)
    assert growth.charge == pytest.approx(AMPERE_HOUR, rel=1e-6)
    assert growth.hydrogen_charge == pytest.approx(0, abs=1.0)
    assert (growth.thickness[tank_problem.panels.group == 1] > 0).all()
    assert (growth.thickness[tank_problem.panels.group == 2] < 0).all()
    assert (growth.thickness[tank_problem.panels.group == 0] == 0).all()


def test_balances_close(tank_problem: FieldProblem, tank_operators: Operators) -> None:
    """Also above copper's limit, where hydrogen leaves copper in solution."""
    area = tank_problem.total_current / 200.0
    recipe = [Segment(duration=600, current=i * area) for i in (50.0, 800.0, 200.0)]
    growth = grow(tank_problem, recipe, tank_operators)
    assert growth.charge_balance <= 1e-6
    assert growth.mass_balance <= 1e-6
    left = growth.copper_dissolved - growth.copper_deposited
    assert left == pytest.approx(COPPER_PER_CHARGE_KG_PER_C * growth.hydrogen_charge, rel=1e-4)
    assert growth.hydrogen_charge > 0.3 * 600 * 800.0 * area
    assert growth.events[0].time == 600.0
    assert "above copper's limit on 100.0%" in growth.events[0].what


def test_steps_of_thick_metal_collapse(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    recipe = [Segment(duration=60, current=c) for c in (0.5, 1.0, 0.5, 1.0)]
    growth = grow(tank_problem, recipe, tank_operators)
    assert (growth.solves, len(growth.steps)) == (2, 4)
    assert growth.duration == 240.0
    assert [step.start for step in growth.steps] == [0.0, 60.0, 120.0, 180.0]


def test_a_known_field_is_not_solved_again(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    recipe = [Segment(duration=AMPERE_HOUR, current=1.0)]
    fresh = grow(tank_problem, recipe, tank_operators)
    again = grow(tank_problem, recipe, tank_operators, start=fresh.solution)
    assert fresh.solves == 1
    assert again.solves == 0
    np.testing.assert_array_equal(again.thickness, fresh.thickness)


def test_order_of_segments_does_not_matter(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    first, second = Segment(duration=100, current=0.3), Segment(duration=50, current=1.1)
    there = grow(tank_problem, [first, second], tank_operators)
    back = grow(tank_problem, [second, first], tank_operators)
    np.testing.assert_allclose(there.thickness, back.thickness, rtol=1e-4, atol=1e-12)


def test_adaptive_steps_follow_a_film_that_thins(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    """Held at a voltage, with linear kinetics, the cell is a resistance r in series with the film:
    h' = a / (r + R0 / (1 + h/h0)), so that a t = r h + R0 h0 ln(1 + h/h0)."""
    law = LinearPolarisation(resistance=1e-4)
    electrodes = tuple(replace(e, law=law) for e in tank_problem.electrodes)
    volts, scale, seconds = 0.5, 1e-7, 600.0
    plain = replace(tank_problem, electrodes=electrodes, total_current=inf, voltage_limit=volts)
    bare = grow(plain, [Segment(duration=1.0, current=inf)], tank_operators)
    part = tank_problem.panels.group == 1
    areas = tank_problem.panels.areas[part]
    rate = float(np.average(bare.thickness[part], weights=areas))
    resistance = volts / bare.solution.supply_current
    film = 20 * resistance
    growth = grow(
        replace(plain, metal=Film(plain, film, scale)),
        [Segment(duration=seconds, current=inf)],
        tank_operators,
        control=StepControl(relative=1e-3, absolute=1e-11),
    )
    h = float(np.average(growth.thickness[part], weights=areas))
    time = (h + film / resistance * scale * np.log1p(h / scale)) / rate
    assert time == pytest.approx(seconds, rel=2e-3)
    assert growth.steps[0].duration <= 1.0
    assert growth.steps[-1].duration > 20 * growth.steps[0].duration
    assert 8 < len(growth.steps) < 80
    assert growth.events[0].what.startswith("the supply is at its voltage limit")


def test_the_supply_returns_to_its_current(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    """A film that thins under a voltage limit: first the voltage rules, then the current."""
    current = tank_problem.total_current
    problem = replace(tank_problem, voltage_limit=1.0)
    film = Film(problem, 2.0 / current, 1e-7)
    growth = grow(
        replace(problem, metal=film), [Segment(duration=600, current=current)], tank_operators
    )
    assert [event.what.split(" of ")[0] for event in growth.events] == [
        "the supply is at its voltage limit",
        "the supply holds its current",
    ]
    assert not growth.steps[-1].voltage_limited
    assert growth.steps[-1].supply_current == pytest.approx(current, rel=1e-6)
    assert growth.charge < 600 * current
    assert growth.mass_balance <= 1e-6


def test_warns_of_a_deposit_thick_against_its_panels(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    thin, thick = (
        grow(tank_problem, [Segment(duration=hours * 3600.0, current=5.0)], tank_operators)
        for hours in (1.0, 60.0)
    )
    assert not any("thicker than" in warning for warning in thin.warnings)
    assert any("thicker than 30% of its panels" in warning for warning in thick.warnings)


def test_progress_goes_from_zero_to_one(
    tank_problem: FieldProblem, tank_operators: Operators
) -> None:
    told: list[float] = []
    recipe = [Segment(duration=60, current=c) for c in (0.5, 1.0)]
    grow(tank_problem, recipe, tank_operators, lambda stage, fraction: told.append(fraction))
    assert told == [0.0, 0.5, 1.0]


@pytest.mark.parametrize("duration", [0.0, -1.0, inf, float("nan")])
def test_refuses_times_that_are_none(
    tank_problem: FieldProblem, tank_operators: Operators, duration: float
) -> None:
    with pytest.raises(BadInput, match="segment 2 of the recipe lasts"):
        grow(
            tank_problem,
            [Segment(duration=1.0, current=1.0), Segment(duration=duration, current=1.0)],
            tank_operators,
        )


def test_refuses_an_empty_recipe(tank_problem: FieldProblem, tank_operators: Operators) -> None:
    with pytest.raises(BadInput, match="recipe is empty"):
        grow(tank_problem, [], tank_operators)
