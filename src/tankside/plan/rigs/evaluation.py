"""What one rig gives: one value in, one value out, and never an error for what a bench cannot do.

    pockets of air -> the cell -> operators -> the current that every limit bears -> rates by place

A rig that cannot hang, traps air, touches or leaves the liquid is a result with its reason. Rates
are per second at that rig's own current, so that any two rigs compare at equal time. Where parts
are turned part-way, each place grows at the mean of its rates, weighted by time.
"""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import Cancelled, Impossible, TanksideError
from tankside.base.messages import Quantity, said
from tankside.base.progress import silent
from tankside.base.wording import term
from tankside.cell.assembling import assembled
from tankside.cell.bodies import Cell, Role
from tankside.cell.description import CellDescription, PlacedPart
from tankside.field.hierarchical import build_operators
from tankside.field.newton import PreconditionerMemory
from tankside.field.numbers import area_fraction, area_percentiles
from tankside.field.operators import Operators
from tankside.field.problem import FieldSolution
from tankside.field.seed.lumped import LumpedCell
from tankside.field.solve import solve
from tankside.part.pockets import pockets
from tankside.plan.current import BURNING_FROM, ROUGH_FROM, Bearing, checked_current, chosen_current
from tankside.plan.laws import at_current, best_numbers, panels_of, problem_of
from tankside.plan.outcome import Outcome
from tankside.plan.rigs.figures import (
    AIR_BORNE_M3,
    Bench,
    RigCase,
    RigFigures,
    RigResult,
    RigStart,
    Starts,
)
from tankside.plan.rigs.rig import Rig, box_of, mesh_of, rotation_of
from tankside.plan.rigs.starting import (
    StartFigures,
    lumped_start,
    patience,
    quick_start,
    start_figures,
)
from tankside.plan.seeded import is_coated
from tankside.plan.wires import wires_of

POCKET_STEPS = 48
"""Steps of the grid for pockets over the part's width: enough for pockets that matter."""


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
    """The whole start of a coated rig at a bench; errors where the rig cannot be."""
    judged = replace(bench, starts=Starts.WHOLE)
    start = _stage(description, judged, 1.0, 1.0, first=True).start
    if start is None:
        raise Impossible("no part of the rig has a coat to start on")
    return start


def lumped_rig(description: CellDescription, bench: Bench) -> tuple[LumpedCell, float]:
    """A coated rig's coats in its field on solid metal, and the time that its start may take [s];
    errors where the rig cannot be."""
    cell, bearing = _laid_out(description, bench)
    solution, *_ = _solved(cell, bearing, bench, 1.0)
    known = (cell, solution, bench.electrolyte, bench.supply)
    allowed = allowed_start(Outcome(cell=cell, solution=solution), bench)
    return lumped_start(*known, end=bench.coat), allowed


def air_under(description: CellDescription) -> tuple[float, ...]:
    """Air trapped under each part as it hangs [m³]."""
    return tuple(_air(part) for part in description.parts)


def _air(part: PlacedPart) -> float:
    low, high = box_of(part)
    up = rotation_of(part).as_matrix()[2]
    found = pockets(
        mesh_of(part),
        (float(up[0]), float(up[1]), float(up[2])),
        float((high - low).max()) / POCKET_STEPS,
    )
    return found.gas_volume.best


def _trapped_air(rig: Rig, bench: Bench) -> str:
    """Why the air under the parts forbids this rig, or "". Turning about the upright line changes
    nothing, so that the first stage speaks for all."""
    description = rig.description
    for number, (part, borne) in enumerate(zip(description.parts, bench.air, strict=True), 1):
        air = _air(part)
        if air > max(AIR_BORNE_M3, 1.05 * borne):
            return said(
                "part {number} would trap {air} of air, and no copper grows under it",
                number=number,
                air=Quantity(air, "mL"),
            )
        weight = part.mass
        if weight is not None:
            lift = description.solution_density * mesh_of(part).signed_volume
            if lift <= weight < lift + description.solution_density * air:
                return said(
                    "part {number} would float on the {air} of air that it traps",
                    number=number,
                    air=Quantity(air, "mL"),
                )
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
        start=RigStart.of(first.start),
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
    cell, bearing = _laid_out(description, bench)
    solution, limited_by, operators, memory = _solved(cell, bearing, bench, current_share)
    outcome = Outcome(cell=cell, solution=solution)
    start = None
    if bench.starts is not Starts.LEFT_OUT and first and is_coated(cell):
        start = _start_of(outcome, bench, operators, memory)
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


def _laid_out(description: CellDescription, bench: Bench) -> tuple[Cell, Bearing]:
    cell = assembled(description, panels=bench.panels)
    numbers = best_numbers(bench.electrolyte)
    return cell, Bearing(cell=cell, supply=bench.supply, numbers=numbers, wires=wires_of(cell))


def allowed_start(outcome: Outcome, bench: Bench) -> float:
    """How long a start may take [s], for the field of the rig on solid metal."""
    on_metal = bench.goal.thickness / outcome.part_rate(bench.goal.measured_at)
    return patience(on_metal) if bench.start_within is None else bench.start_within


def _start_of(
    outcome: Outcome, bench: Bench, operators: Operators, memory: PreconditionerMemory
) -> StartFigures:
    """By the way that the bench asks for."""
    allowed = allowed_start(outcome, bench)
    known = (outcome.cell, outcome.solution, bench.electrolyte, bench.supply)
    if bench.starts is Starts.QUICK:
        return quick_start(lumped_start(*known, end=bench.coat), allowed)
    return start_figures(*known, operators, memory, allowed=allowed, end=bench.coat)


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
        sentence = said(
            "The current is {share} % of the highest borne. {sentence}",
            share=f"{100 * current_share:.0f}",
            sentence=term(sentence),
        )
    return solution, sentence, operators, memory


def _slices(counts: list[int]) -> tuple[slice, ...]:
    ends = np.cumsum([0, *counts]).tolist()
    return tuple(slice(a, b) for a, b in pairwise(ends))
