"""Chooses the current: the highest that the supply, the deposit, the anodes and the wires bear.

Each limit is a load that grows with the current and must not pass one. The current is found at
which the heaviest load is just one, by a secant on the logarithms, each step one solve that starts
from the last; then it is rounded down to what a supply can be set to. A person's own current is
checked against the hard limits instead, and never changed.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import floor, log, log10

import numpy as np

from tankside.base.errors import Impossible, NotConverged
from tankside.base.messages import Quantity, capital, said
from tankside.base.progress import Progress
from tankside.cell.bodies import Cell, Role
from tankside.field.problem import FieldSolution
from tankside.plan.laws import BathNumbers
from tankside.plan.plan import Supply
from tankside.plan.wires import WireMetal

ROUGH_FROM = 0.4
"""Fraction of copper's limiting current from which deposits roughen [-]: about 40 %, as read in the
abstract of a study in J. Appl. Electrochem., March 1990 (authors not noted)."""

ROUGH_AREA_ALLOWED = 0.01
"""Share of the part's area that may lie above ROUGH_FROM when the planner chooses [-]: our guess,
so that a few sharp edges, which round themselves, do not rule the whole part."""

BURNING_FROM = 0.95
"""Fraction of copper's limiting current that counts as burning [-]: our choice, just below the
limit at which hydrogen takes the surplus and the deposit turns to powder."""

WIRE_LIMIT_A_PER_M2 = 1.5e7
"""Current density that a bare copper wire in air carries without getting hot [A m⁻²]: common
practice, no source; half a millimetre carries 3 A."""

LITTLE = 1e-3
"""Of the third figure [-]: at most a hundred-thousandth of the current."""

CLOSE_ENOUGH = 0.01
MOST_SOLVES = 12

Solve = Callable[[float, FieldSolution | None], FieldSolution]


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One limit: its load as a fraction of what is borne [-], and the sentence that names it."""

    load: float
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """What the loads are judged by."""

    cell: Cell
    supply: Supply
    numbers: BathNumbers
    wires: tuple[WireMetal, ...]

    def loads(self, solution: FieldSolution) -> tuple[Load, ...]:
        """Every load of a solved cell, heaviest first."""
        found = [*self._of_supply(solution), self._of_deposit(solution)]
        found += [*self._of_anodes(solution), *self._of_wires(solution)]
        return tuple(sorted(found, key=lambda entry: -entry.load))

    def terminal_voltage(self, solution: FieldSolution) -> float:
        """Voltage at the supply: cell, wires and leads [V]."""
        current = solution.supply_current
        in_wires = max((wire.drop(solution) for wire in self.wires), default=0.0)
        return solution.cell_voltage + in_wires + current * self.supply.lead_resistance.best

    def _of_supply(self, solution: FieldSolution) -> Iterator[Load]:
        supply = self.supply
        yield Load(
            load=solution.supply_current / supply.current_limit,
            sentence=said(
                "The supply's current limit of {current_limit} sets the current.",
                current_limit=Quantity(supply.current_limit, "A", 6),
            ),
        )
        yield Load(
            load=self.terminal_voltage(solution) / supply.voltage_limit,
            sentence=said(
                "The supply's voltage limit of {voltage_limit} sets the current.",
                voltage_limit=Quantity(supply.voltage_limit, "V", 6),
            ),
        )

    def _of_deposit(self, solution: FieldSolution) -> Load:
        parts = [n for n, body in enumerate(self.cell.bodies) if body.role is Role.PART]
        on_part = np.isin(solution.problem.panels.group, parts)
        fraction = solution.fraction_of_limit[on_part]
        areas = solution.problem.panels.areas[on_part]
        order = np.argsort(fraction)[::-1]
        share = np.cumsum(areas[order]) / areas.sum()
        high = float(fraction[order][np.searchsorted(share, ROUGH_AREA_ALLOWED)])
        return Load(
            load=high / ROUGH_FROM,
            sentence=(
                said(
                    "The deposit sets the current: more, and over {area} % of the "
                    "part's area would pass {limit} % of the copper limit, where deposits "
                    "roughen.",
                    area=f"{100 * ROUGH_AREA_ALLOWED:.0f}",
                    limit=f"{100 * ROUGH_FROM:.0f}",
                )
            ),
        )

    def _of_anodes(self, solution: FieldSolution) -> Iterator[Load]:
        for number, body in enumerate(self.cell.bodies):
            if body.role is Role.ANODE:
                density = -solution.group_current[number] / body.surface.area
                yield Load(
                    load=density / self.numbers.anode_limit,
                    sentence=capital(
                        said(
                            "{name} sets the current: more, and it may go passive.",
                            name=body.name,
                        )
                    ),
                )

    def _of_wires(self, solution: FieldSolution) -> Iterator[Load]:
        for wire in self.wires:
            yield Load(
                load=wire.current_density(solution) / WIRE_LIMIT_A_PER_M2,
                sentence=capital(
                    said(
                        "{name} sets the current: more, and it gets hot in air.",
                        name=wire.name,
                    )
                ),
            )


def chosen_current(
    bearing: Bearing, solve: Solve, first: float, progress: Progress
) -> tuple[FieldSolution, str]:
    """The highest current that all loads bear, rounded down, and what limits it in a sentence."""
    current, solution, before = first, None, None
    for number in range(MOST_SOLVES):
        progress("choosing the current", number / MOST_SOLVES)
        solution = solve(current, solution)
        heaviest = bearing.loads(solution)[0]
        if abs(heaviest.load - 1) <= CLOSE_ENOUGH:
            return solve(settable(current / max(1.0, heaviest.load)), solution), heaviest.sentence
        current, before = _next(current, heaviest.load, before), (current, heaviest.load)
    raise NotConverged(
        "no current was found that just meets the limits; set goal.current yourself",
        residual=abs(before[1] - 1) if before else 1.0,
        iterations=MOST_SOLVES,
    )


def checked_current(bearing: Bearing, solve: Solve, current: float) -> tuple[FieldSolution, str]:
    """A person's own current, if supply and physics allow it; which limit is heaviest."""
    supply = bearing.supply
    if current > supply.current_limit:
        raise Impossible(
            "the asked {current:.3g} A is more than the supply's limit of {current_limit:.3g} A; "
            "ask for less or use a larger supply",
            current=current,
            current_limit=supply.current_limit,
            where="[goal] current",
        )
    solution = solve(current, None)
    voltage = bearing.terminal_voltage(solution)
    if voltage > supply.voltage_limit:
        raise Impossible(
            "the asked {current:.3g} A needs {voltage:.3g} V, more than the supply's limit of "
            "{voltage_limit:.3g} V; ask for less, or bring the anodes nearer",
            current=current,
            voltage=voltage,
            voltage_limit=supply.voltage_limit,
            where="[goal] current",
        )
    heaviest = bearing.loads(solution)[0]
    if heaviest.load > 1:
        over = f"{100 * (heaviest.load - 1):.0f} %"
        return (
            solution,
            said(
                "The current is your own, and {over} above what is advised: {sentence}",
                over=over,
                sentence=heaviest.sentence,
            ),
        )
    return solution, said("The current is your own; no limit is reached.")


def _next(current: float, load: float, before: tuple[float, float] | None) -> float:
    """Secant step on log(load) against log(current), kept within a factor of three."""
    slope = 1.0
    if before is not None and before[0] != current and before[1] != load:
        slope = log(load / before[1]) / log(current / before[0])
        slope = min(max(slope, 0.25), 8.0)
    return current * min(max(float(load ** (-1.0 / slope)), 1 / 3), 3.0)


def settable(current: float) -> float:
    """Rounded down to three figures, as a supply is set; what misses a setting by less than
    LITTLE of the last figure, which is what a solved field's charge may be off by, is that
    setting [A]."""
    digits = 2 - floor(log10(current))
    return float(floor(current * 10.0**digits + LITTLE) / 10.0**digits)
