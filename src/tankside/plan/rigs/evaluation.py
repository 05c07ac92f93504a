"""What one rig gives: one value in, one value out, and never an error for what a bench cannot do.

    pockets of air -> the cell -> operators -> the current that every limit bears -> rates by place

A rig that cannot hang, traps air, touches or leaves the liquid is a result with its reason. Rates
are per second at that rig's own current, so that any two rigs compare at equal time. Where parts
are turned part-way, each place grows at the mean of its rates, weighted by time.
"""

from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import Cancelled, Impossible, TanksideError
from tankside.base.progress import silent
from tankside.base.units import shown
from tankside.bath.electrolyte import Electrolyte
from tankside.cell.assembling import assembled
from tankside.cell.bodies import Cell, Role
from tankside.cell.coating import End
from tankside.cell.description import CellDescription, PanelBudget, PlacedPart
from tankside.field.hierarchical import build_operators
from tankside.field.newton import PreconditionerMemory
from tankside.field.numbers import area_fraction, area_percentiles
from tankside.field.operators import Operators
from tankside.field.problem import FieldSolution
from tankside.field.solve import solve
from tankside.part.pockets import pockets
from tankside.plan.current import BURNING_FROM, ROUGH_FROM, Bearing, checked_current, chosen_current
from tankside.plan.laws import at_current, best_numbers, panels_of, problem_of
from tankside.plan.outcome import Outcome
from tankside.plan.plan import Goal, Supply
from tankside.plan.rigs.rig import Rig, box_of, mesh_of, rotation_of
from tankside.plan.rigs.starting import StartFigures, patience, start_figures
from tankside.plan.seeded import is_coated
from tankside.plan.wires import wires_of

AIR_BORNE_M3 = 5e-8
"""Trapped air below this is bubbles that a shake frees [m³]: our guess."""

_POCKET_STEPS = 48
"""Steps of the grid for pockets over the part's width: enough for pockets that matter."""


@dataclass(frozen=True, kw_only=True)
class Bench:
    """What every rig of a search is judged by.

    goal        the person's; a current in it is kept
    panels      of everything but the parts
    air         trapped under each part that is borne [m³], in the parts' order: what the person's
                own rig traps, or AIR_BORNE_M3
    starts      True where the start on a coat is worked out too, which takes several times as long
    coat        the end of what is believed of coats' sheet resistance that starts are judged by
    """

    electrolyte: Electrolyte
    supply: Supply
    goal: Goal
    panels: PanelBudget
    air: tuple[float, ...]
    starts: bool = False
    coat: End = "high"


@dataclass(frozen=True, kw_only=True)
class RigCase:
    """One rig to be evaluated at one bench: all that a worker needs."""

    rig: Rig
    bench: Bench


@dataclass(frozen=True, kw_only=True)
class RigFigures:
    """What a rig gives. Rates hold at its own current.

    thinnest_rate         growth that 95 % of a part's area exceeds, of the part that fares worst
                          [m s⁻¹]
    part_thinnest_rates   the same part by part [m s⁻¹]
    mean_rate             over all parts [m s⁻¹]
    thickest_rate         growth that 5 % of all parts' area exceeds [m s⁻¹]
    copper_rate           deposited on everything that plates [kg s⁻¹]
    part_copper_rate      on the parts [kg s⁻¹]
    burning_fraction      of the parts' area at copper's limit, in the worst stage [-]
    rough_fraction        of it where deposits roughen [-]
    highest_fraction      of copper's limit, that 1 % of the parts' area exceeds [-]
    current, voltage      at the supply [A], [V], in the stage where each is highest
    limited_by            what keeps the current from being higher
    solved_panels         of all stages
    start_delay           what the start on a coat costs, by the poorest coat that is believed [s];
                          0 on metal or where starts are left out, None where copper does not cover
                          the coat in time
    start_covered         share of the coat that copper covers in time [-]
    """

    thinnest_rate: float
    part_thinnest_rates: tuple[float, ...]
    mean_rate: float
    thickest_rate: float
    copper_rate: float
    part_copper_rate: float
    burning_fraction: float
    rough_fraction: float
    highest_fraction: float
    current: float
    voltage: float
    limited_by: str
    solved_panels: int
    start_delay: float | None = 0.0
    start_covered: float = 1.0


@dataclass(frozen=True, kw_only=True)
class RigResult:
    """The figures, or why the rig cannot be: exactly one of the two."""

    figures: RigFigures | None = None
    refusal: str = ""


def evaluated(case: RigCase) -> RigResult:
    """What the rig of a case gives at its bench."""
    try:
        trapped = _trapped_air(case.rig, case.bench)
        if trapped:
            return RigResult(refusal=trapped)
        return RigResult(figures=_figures(case.rig, case.bench))
    except Cancelled:
        raise
    except TanksideError as error:
        return RigResult(refusal=error.message)


def started(description: CellDescription, bench: Bench) -> StartFigures:
    """The start of a coated rig at a bench; errors where the rig cannot be."""
    start = _stage(description, replace(bench, starts=True), 1.0, 1.0, first=True).start
    if start is None:
        raise Impossible("no part of the rig has a coat to start on")
    return start


def air_under(description: CellDescription) -> tuple[float, ...]:
    """Air trapped under each part as it hangs [m³]."""
    return tuple(_air(part) for part in description.parts)


def _air(part: PlacedPart) -> float:
    low, high = box_of(part)
    up = rotation_of(part).as_matrix()[2]
    found = pockets(
        mesh_of(part),
        (float(up[0]), float(up[1]), float(up[2])),
        float((high - low).max()) / _POCKET_STEPS,
    )
    return found.gas_volume.best


def _trapped_air(rig: Rig, bench: Bench) -> str:
    """Why the air under the parts forbids this rig, or "". Turning about the upright line changes
    nothing, so that the first stage speaks for all."""
    description = rig.description
    for number, (part, borne) in enumerate(zip(description.parts, bench.air, strict=True), 1):
        air = _air(part)
        if air > max(AIR_BORNE_M3, 1.05 * borne):
            return (
                f"part {number} would trap {shown(air, 'mL')} of air, and no copper grows under it"
            )
        weight = part.mass
        if weight is not None:
            lift = description.solution_density * mesh_of(part).signed_volume
            if lift <= weight < lift + description.solution_density * air:
                return f"part {number} would float on the {shown(air, 'mL')} of air that it traps"
    return ""


def _figures(rig: Rig, bench: Bench) -> RigFigures:
    stages = [
        _stage(description, bench, rig.current_share, share, first=number == 0)
        for number, (share, description) in enumerate(rig.stages())
    ]
    growth = np.sum([stage.share * stage.rate for stage in stages], axis=0)
    first = stages[0]
    own = [area_percentiles(growth[part], first.areas[part], (5.0,))[0] for part in first.parts]
    every = np.concatenate([growth[part] for part in first.parts])
    areas = np.concatenate([first.areas[part] for part in first.parts])
    limiting = max(stages, key=lambda stage: stage.current)
    start = first.start
    return RigFigures(
        thinnest_rate=min(own),
        part_thinnest_rates=tuple(own),
        mean_rate=float(np.average(every, weights=areas)),
        thickest_rate=area_percentiles(every, areas, (95.0,))[0],
        copper_rate=sum(stage.share * stage.copper_rate for stage in stages),
        part_copper_rate=sum(stage.share * stage.part_copper_rate for stage in stages),
        burning_fraction=max(stage.burning_fraction for stage in stages),
        rough_fraction=max(stage.rough_fraction for stage in stages),
        highest_fraction=max(stage.highest_fraction for stage in stages),
        current=limiting.current,
        voltage=max(stage.voltage for stage in stages),
        limited_by=limiting.limited_by,
        solved_panels=sum(stage.solved_panels for stage in stages),
        start_delay=0.0 if start is None else start.delay if start.delay < inf else None,
        start_covered=1.0 if start is None else start.covered_share,
    )


@dataclass(frozen=True, kw_only=True)
class _Stage:
    """One stage, solved. `rate` and `areas` are over the parts' panels only, part after part, whose
    places in them `parts` tells; the order is that of the parts' own triangles in every stage."""

    share: float
    rate: Floats
    areas: Floats
    parts: tuple[slice, ...]
    copper_rate: float
    part_copper_rate: float
    burning_fraction: float
    rough_fraction: float
    highest_fraction: float
    current: float
    voltage: float
    limited_by: str
    solved_panels: int
    start: StartFigures | None


def _stage(
    description: CellDescription,
    bench: Bench,
    current_share: float,
    share: float,
    *,
    first: bool,
) -> _Stage:
    """The first stage holds the start, where a part is coated."""
    cell = assembled(description, panels=bench.panels)
    numbers = best_numbers(bench.electrolyte)
    bearing = Bearing(cell=cell, supply=bench.supply, numbers=numbers, wires=wires_of(cell))
    solution, limited_by, operators, memory = _solved(cell, bearing, bench, current_share)
    outcome = Outcome(cell=cell, solution=solution)
    start = None
    if bench.starts and first and is_coated(cell):
        on_metal = bench.goal.thickness / outcome.part_rate(bench.goal.measured_at)
        start = start_figures(
            cell,
            solution,
            bench.electrolyte,
            bench.supply,
            operators,
            memory,
            allowed=patience(on_metal),
            end=bench.coat,
        )
    on_part = outcome.on(Role.PART)
    areas, fraction = outcome.areas[on_part], solution.fraction_of_limit[on_part]
    return _Stage(
        share=share,
        rate=outcome.growth_rate[on_part],
        areas=areas,
        parts=_slices([len(body.surface.triangles) for body in cell.of_role(Role.PART)]),
        copper_rate=outcome.copper_rate(Role.PART, Role.WIRE, Role.THIEF),
        part_copper_rate=outcome.copper_rate(Role.PART),
        burning_fraction=area_fraction(fraction >= BURNING_FROM, areas),
        rough_fraction=area_fraction(fraction >= ROUGH_FROM, areas),
        highest_fraction=area_percentiles(fraction, areas, (99.0,))[0],
        current=solution.supply_current,
        voltage=bearing.terminal_voltage(solution),
        limited_by=limited_by,
        solved_panels=len(solution.problem.panels),
        start=start,
    )


def _solved(
    cell: Cell, bearing: Bearing, bench: Bench, current_share: float
) -> tuple[FieldSolution, str, Operators, PreconditionerMemory]:
    """The field at a share of the person's own current, or of the highest that is borne; what
    limits it; and what it was solved with."""
    panels = panels_of(cell)
    operators = build_operators(panels)
    memory = PreconditionerMemory(operators)
    problem = problem_of(cell, panels, bearing.numbers, 1.0)

    def solved(current: float, start: FieldSolution | None) -> FieldSolution:
        return solve(at_current(problem, current), operators, start, memory=memory)

    area = sum(body.surface.area for body in cell.bodies if body.role.is_cathode)
    asked = bench.goal.current
    if bench.goal.current_density is not None:
        asked = bench.goal.current_density * area
    if asked is None:
        bearable = ROUGH_FROM * bearing.numbers.limiting_current_density * area
        first = min(bearing.supply.current_limit, bearable / 2)
        solution, sentence = chosen_current(bearing, solved, first, silent)
    else:
        solution, sentence = checked_current(bearing, solved, asked)
    if current_share < 1.0:
        solution = solved(current_share * solution.supply_current, solution)
        sentence = f"The current is {100 * current_share:.0f} % of the highest borne. {sentence}"
    return solution, sentence, operators, memory


def _slices(counts: list[int]) -> tuple[slice, ...]:
    ends = np.cumsum([0, *counts]).tolist()
    return tuple(slice(a, b) for a, b in pairwise(ends))
