"""Laws of rate laws, of the load line and of solved cells, for numbers that hypothesis picks."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.arrays import Floats
from tankside.field.dense import dense_operators
from tankside.field.kinetics import (
    ButlerVolmer,
    CopperCathode,
    CopperDeposition,
    CopperDissolution,
    Hydrogen,
)
from tankside.field.loadline import overpotential_at, overpotential_on_load_line
from tankside.field.newton import Accuracy
from tankside.field.numbers import area_statistics, voltage_split
from tankside.field.operators import Operators
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, FieldProblem, FieldSolution
from tankside.field.solve import solve
from tankside.validation.closed_shapes import box, turned

RT_F = 0.0257  # V
TIGHT = Accuracy(residual=1e-9, charge_balance=1e-11)

exchange = st.floats(1e-3, 1e3)
transfer = st.floats(0.2, 1.8)
limits = st.floats(10.0, 1e5)
overpotentials = st.floats(-2.0, 2.0)


@st.composite
def cathodes(draw: st.DrawFn) -> CopperCathode:
    """A copper cathode with hydrogen, over all that baths could be."""
    return CopperCathode(
        copper=CopperDeposition(
            exchange_current_density=draw(exchange),
            cathodic_transfer=draw(transfer),
            anodic_transfer=draw(transfer),
            limiting_current_density=draw(limits),
            thermal_voltage=RT_F,
        ),
        hydrogen=Hydrogen(
            exchange_current_density=draw(st.floats(1e-6, 1.0)),
            transfer=draw(st.floats(0.2, 1.0)),
            equilibrium=draw(st.floats(-1.0, 0.0)),
            thermal_voltage=RT_F,
        ),
    )


@given(law=cathodes(), one=overpotentials, other=overpotentials)
def test_current_falls_with_overpotential(law: CopperCathode, one: float, other: float) -> None:
    low, high = sorted((one, other))
    current = law.current_density(np.array([low, high]))
    assert current[0] >= current[1]


@given(law=cathodes(), eta=overpotentials)
def test_copper_never_passes_its_limit_and_hydrogen_never_helps_dissolution(
    law: CopperCathode, eta: float
) -> None:
    at = np.array([eta])
    copper, total = law.copper_current_density(at)[0], law.current_density(at)[0]
    assert copper <= law.limit * (1 + 1e-12)
    assert total >= copper
    assert np.sign(copper) == -np.sign(eta) or copper == 0


@given(law=cathodes(), resistance=st.floats(1e-9, 1e2), load=st.floats(-20, 20))
def test_every_load_has_one_point(law: CopperCathode, resistance: float, load: float) -> None:
    loads, r = np.array([load, load + 1e-3]), np.full(2, resistance)
    eta = overpotential_on_load_line(law, loads, r, np.zeros(2))
    back = resistance * law.current_density(eta) - eta
    steepness = 1 - resistance * law.slope(eta)
    assert (np.abs(back - loads) <= 1e-11 * (np.abs(loads) + steepness * np.abs(eta)) + 1e-15).all()
    assert 0 <= eta[0] - eta[1] <= 1e-3 * (1 + 1e-9)


@given(law=cathodes(), current=st.floats(1e-3, 1e4))
def test_overpotential_at_is_the_inverse(law: CopperCathode, current: float) -> None:
    eta = overpotential_at(law, current)
    assert law.current_density(np.array([eta]))[0] == pytest.approx(current, rel=1e-8)


@given(
    pairs=st.lists(st.tuples(st.floats(-1e3, 1e3), st.floats(1e-3, 1e3)), min_size=1, max_size=40),
    seed=st.integers(0, 2**31),
)
def test_statistics_do_not_depend_on_order_and_are_ordered(
    pairs: list[tuple[float, float]], seed: int
) -> None:
    values, areas = np.array(pairs).T
    found = area_statistics(values, areas)
    shuffled = np.random.default_rng(seed).permutation(len(values))
    again = area_statistics(values[shuffled], areas[shuffled])
    assert again.mean == pytest.approx(found.mean, rel=1e-9, abs=1e-9)
    assert found.smallest <= found.percent_5 <= found.percent_95 <= found.largest
    assert found.smallest - 1e-9 <= found.mean <= found.largest + 1e-9


@cache
def tank() -> Operators:
    """A small box in a box, about three hundred panels."""
    return dense_operators(_tank_panels(np.eye(3), np.zeros(3)))


def _tank_panels(turn: Floats, shift: Floats) -> Panels:
    across = np.linspace(0, 0.12, 4)
    outer = box(np.linspace(0, 0.2, 6), across, across)
    inner = box(np.linspace(0.09, 0.12, 3), np.linspace(0.03, 0.05, 3), np.linspace(0.04, 0.08, 4))
    pieces = [(2 if name == "x-" else 0, face) for name, face in outer.items()]
    pieces += [(1, turned(face)) for face in inner.values()]
    return Panels(
        corners=np.concatenate([face for _, face in pieces]) @ turn.T + shift,
        group=np.concatenate([np.full(len(face), group) for group, face in pieces]),
    )


def _problem(law: CopperCathode, current: float, panels: Panels | None = None) -> FieldProblem:
    anode = CopperDissolution(
        transfer=ButlerVolmer(
            exchange_current_density=law.copper.exchange_current_density,
            cathodic_transfer=law.copper.cathodic_transfer,
            anodic_transfer=law.copper.anodic_transfer,
            thermal_voltage=RT_F,
        )
    )
    return FieldProblem(
        panels=panels or tank().panels,
        conductivity=40.0,
        electrodes=(
            Electrode(group=1, anode=False, law=law),
            Electrode(group=2, anode=True, law=anode),
        ),
        total_current=current,
    )


def _solved(law: CopperCathode, current: float) -> FieldSolution:
    return solve(_problem(law, current), tank())


@settings(max_examples=25, deadline=None)
@given(law=cathodes(), current=st.floats(1e-3, 30.0))
def test_every_cell_balances(law: CopperCathode, current: float) -> None:
    """For all rate laws, and currents from next to nothing to 6000 A/m²."""
    solution = _solved(law, current)
    assert solution.charge_balance <= 1e-6
    assert solution.supply_current == pytest.approx(current, rel=1e-6)
    assert sum(solution.group_current.values()) == pytest.approx(0, abs=1e-6 * current)
    assert voltage_split(solution).total == pytest.approx(solution.cell_voltage, rel=1e-9)
    assert solution.residual <= 1e-5
    cathode = solution.problem.panels_of(anode=False)
    assert solution.copper_current_density[cathode].max() <= law.limit * (1 + 1e-12)


@settings(max_examples=10, deadline=None)
@given(law=cathodes(), current=st.floats(0.01, 5.0), factor=st.floats(1.05, 3.0))
def test_more_current_takes_more_voltage_everywhere(
    law: CopperCathode, current: float, factor: float
) -> None:
    weak, strong = _solved(law, current), _solved(law, factor * current)
    assert strong.cell_voltage > weak.cell_voltage
    part = weak.problem.panels.group == 1
    assert (strong.current_density[part] > weak.current_density[part] - 1e-4 * current).all()


@settings(max_examples=8, deadline=None)
@given(
    law=cathodes(),
    angle=st.floats(-3.0, 3.0),
    axis=st.integers(0, 2),
    shift=st.tuples(*[st.floats(-1.0, 1.0)] * 3),
)
def test_a_turned_and_shifted_cell_is_the_same_cell(
    law: CopperCathode, angle: float, axis: int, shift: tuple[float, float, float]
) -> None:
    turn = np.eye(3)
    first, second = (axis + 1) % 3, (axis + 2) % 3
    turn[[first, second], [first, second]] = np.cos(angle)
    turn[first, second], turn[second, first] = -np.sin(angle), np.sin(angle)
    moved = _tank_panels(turn, np.array(shift))
    here = solve(_problem(law, 1.0), tank(), accuracy=TIGHT)
    there = solve(_problem(law, 1.0, moved), dense_operators(moved), accuracy=TIGHT)
    np.testing.assert_allclose(
        there.current_density, here.current_density, rtol=1e-6, atol=1e-6 * 200
    )
    assert there.cell_voltage == pytest.approx(here.cell_voltage, rel=1e-7)


@settings(max_examples=8, deadline=None)
@given(law=cathodes(), current=st.floats(0.01, 5.0), share=st.floats(0.2, 0.95))
def test_a_voltage_limit_gives_the_least_of_both(
    law: CopperCathode, current: float, share: float
) -> None:
    free = _solved(law, current)
    held = solve(replace(free.problem, voltage_limit=share * free.cell_voltage), tank(), start=free)
    assert held.voltage_limited
    assert held.cell_voltage == pytest.approx(share * free.cell_voltage, rel=1e-12)
    assert held.supply_current < free.supply_current
