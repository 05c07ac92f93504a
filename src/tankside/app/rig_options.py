"""A rig search's options as a person words them, turned into a request."""

from dataclasses import dataclass, replace

from tankside.app.job.reading import read_job
from tankside.app.ports import Files
from tankside.app.rig_regions import read_regions
from tankside.app.rig_values import RigRequest
from tankside.base.errors import BadInput, UnknownName
from tankside.base.units import Kind, quantity
from tankside.plan.rigs.goals import RigGoal
from tankside.plan.rigs.space import Freedoms
from tankside.plan.rigs.trials import Effort

FREEDOMS = ("pose", "contacts", "anodes", "auxiliary", "shields", "thieves", "turn", "current")
"""What may be allowed to change."""

USUALLY = "pose,contacts,anodes,auxiliary,turn"
"""What may change where nothing is said."""

GOALS = tuple(goal.value for goal in RigGoal)


@dataclass(frozen=True, kw_only=True)
class RigOptions:
    """As typed. `allow` lists FREEDOMS with commas; `regions` is the text and name of a regions
    file, or None; `within` and `start_within` times with their units, or None."""

    goal: str = "thinnest"
    allow: str = USUALLY
    lean_degrees: float = 180.0
    regions: tuple[str, str] | None = None
    within: str | None = None
    start_within: str | None = None
    minutes: float = 5.0
    evaluations: int = 300
    rigs: int = 4
    seed: int = 1


def rig_request(text: str, name: str, files: Files, options: RigOptions) -> RigRequest:
    """The request for the job file in `text`; BadInput names the option that is wrong."""
    if options.goal not in GOALS:
        raise UnknownName("the goal", options.goal, GOALS, where="--goal")
    if not 0 <= options.lean_degrees <= 180:
        raise BadInput(
            "{lean_degrees:g} is not 0 to 180 degrees",
            lean_degrees=options.lean_degrees,
            where="--lean",
        )
    freedoms = replace(_allowed(options.allow), lean=max(options.lean_degrees, 0.5))
    if options.regions is not None:
        parts = len(read_job(text, name=name).parts)
        found = read_regions(options.regions[0], name=options.regions[1], parts=parts)
        freedoms = replace(freedoms, regions=found)
    within, covered = options.within, options.start_within
    return RigRequest(
        job_text=text,
        job_name=name,
        files=files,
        goal=RigGoal(options.goal),
        freedoms=freedoms,
        effort=Effort(evaluations=options.evaluations, seed=options.seed),
        minutes=options.minutes,
        rigs=options.rigs,
        within=None if within is None else quantity(within, Kind.TIME, where="--within"),
        start_within=None
        if covered is None
        else quantity(covered, Kind.TIME, where="--start-within"),
    )


def mesh_names(text: str, name: str) -> tuple[str, ...]:
    """The mesh files that lie beside the job file and that it names."""
    job = read_job(text, name=name)
    bodies = (*job.parts, *job.anode, *job.shield, *job.thief)
    names = {str(body.file) for body in bodies if hasattr(body, "file")}
    return tuple(sorted(name for name in names if "/" not in name and "\\" not in name))


def _allowed(words: str) -> Freedoms:
    """The freedoms that a list of words allows; all else stays as the person has it."""
    chosen = [word.strip() for word in words.split(",") if word.strip()]
    for word in chosen:
        if word not in FREEDOMS:
            raise UnknownName("what may change", word, FREEDOMS, where="--allow")
    if not chosen:
        raise BadInput("nothing may change; name at least one, such as pose", where="--allow")
    return Freedoms(
        pose="pose" in chosen,
        contacts="contacts" in chosen,
        anodes="anodes" in chosen,
        auxiliary=2 * ("auxiliary" in chosen),
        shields=int("shields" in chosen),
        thieves=int("thieves" in chosen),
        turn="turn" in chosen,
        current="current" in chosen,
    )
