"""What the rig use cases share: a job read and laid out twice, finely as the person wrote it, and
coarsely for the search; and the driving of a search over workers."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from tankside.app.job import schema
from tankside.app.job.baths import electrolyte_of
from tankside.app.job.building import (
    BuiltPart,
    description_of,
    goal_of,
    parts_of,
    supply_of,
    tallest,
)
from tankside.app.job.reading import read_job
from tankside.app.ports import Done, Files, Sweeps
from tankside.base.errors import BadInput, Impossible, TanksideError
from tankside.base.progress import Progress
from tankside.bath.boundary_layer import DEFAULT_HEIGHT
from tankside.cell.assembling import DEFAULT_PANELS
from tankside.cell.description import CellDescription
from tankside.part.analysis import analysis_surface
from tankside.plan.rigs.evaluation import air_under, evaluated
from tankside.plan.rigs.figures import Bench, RigCase, RigFigures, RigResult
from tankside.plan.rigs.rig import Rig
from tankside.safety.gates import refuse_unsafe

COARSE_TRIANGLES = 600
"""Triangles of a part while a search looks around [-]; on the held parts the thinnest-place rate
was within 2 % of that on 3000."""

COARSE_OTHERS = 0.2
"""Share of the usual panels that everything else has meanwhile [-]."""


@dataclass(frozen=True, kw_only=True)
class RigBench:
    """One job, ready for evaluations: the person's rig and its bench, fine and coarse."""

    job: schema.Job
    own: Rig
    bench: Bench
    coarse_own: Rig
    coarse_bench: Bench


def rig_bench(text: str, name: str, files: Files, progress: Progress) -> RigBench:
    """Reads and lays out a job; every refusal is placed in the job file."""
    job = read_job(text, name=name)
    with placed_in(name):
        return _laid_out(job, files, progress)


def _laid_out(job: schema.Job, files: Files, progress: Progress) -> RigBench:
    refuse_unsafe(
        sulfuric_acid=job.bath.sulfuric_acid,
        temperature=job.bath.temperature,
        voltage_limit=job.supply.voltage_limit,
    )
    electrolyte_of(job.bath, height=DEFAULT_HEIGHT)  # refuses a bad bath before the long work
    parts = parts_of(job, files, progress)
    electrolyte = electrolyte_of(job.bath, height=min(tallest(parts), job.tank.liquid_depth))
    fine = description_of(job, tuple(one.placed for one in parts), files, electrolyte.density.best)
    coarse = replace(fine, parts=tuple(part.placed for part in map(_coarse, parts)))
    bench = Bench(
        electrolyte=electrolyte,
        supply=supply_of(job),
        goal=goal_of(job),
        panels=DEFAULT_PANELS,
        air=air_under(coarse),
    )
    return RigBench(
        job=job,
        own=Rig(description=fine),
        bench=bench,
        coarse_own=Rig(description=coarse),
        coarse_bench=replace(bench, panels=DEFAULT_PANELS.scaled(COARSE_OTHERS)),
    )


def _coarse(part: BuiltPart) -> BuiltPart:
    surface = analysis_surface(part.loaded.mesh, triangles=COARSE_TRIANGLES)
    return replace(part, surface=surface, placed=replace(part.placed, surface=surface))


def all_evaluated(
    cases: Sequence[RigCase],
    sweeps: Sweeps,
    progress: Progress,
    cancel: Callable[[], bool],
    done: Done | None,
) -> tuple[RigResult, ...]:
    """Results in the order of the cases; an evaluation that broke is a refusal with its error."""
    found: dict[int, RigResult] = {}
    for result in sweeps.run(evaluated, cases, progress=progress, cancel=cancel, done=done):
        broken = RigResult(refusal=f"not evaluated: {result.error}")
        found[result.number] = broken if result.error else result.value
    return tuple(found[number] for number in range(len(cases)))


def figures_of(result: RigResult, whose: str) -> RigFigures:
    """The figures; Impossible where the rig that all are compared with cannot be."""
    if result.figures is None:
        raise Impossible("{whose} cannot be: {refusal}", whose=whose, refusal=result.refusal)
    if result.figures.thinnest_rate <= 0:
        raise Impossible(
            "{whose} puts no copper on its thinnest places, so that no rig can be compared with "
            "it; hang the part more openly, or bring an anode nearer",
            whose=whose,
        )
    return result.figures


def is_coated(bench: RigBench) -> bool:
    """True where a part conducts only through a coat."""
    return any(part.coat is not None for part in bench.own.description.parts)


def fine_rig(design: Rig, fine: Rig) -> Rig:
    """A coarse rig with the fine surfaces in it."""
    return replace(design, description=fine_description(design, fine))


def fine_description(design: Rig, fine: Rig) -> CellDescription:
    """A coarse rig's description with the fine surfaces in it."""
    parts = tuple(
        replace(part, surface=own.surface)
        for part, own in zip(design.description.parts, fine.description.parts, strict=True)
    )
    return replace(design.description, parts=parts)


class placed_in:
    """Within it, an error's place begins with the job file's name."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> None:
        if isinstance(error, TanksideError) and not error.where.startswith(self._name):
            error.place_within(self._name)


def checked_count(name: str, value: float, least: float, most: float) -> None:
    """BadInput where an option is out of its range."""
    if not least <= value <= most:
        raise BadInput(
            "{name} is {value:g}; give {least:g} to {most:g}",
            name=name,
            value=value,
            least=least,
            most=most,
        )
