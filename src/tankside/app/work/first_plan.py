"""Use case: a first plan in a few steps, from a person's own file to queued work.

Each step asks a few of the plan form's fields, with defaults that fit this part and what the store
knows. The answers so far lie beside the part's work, so that a reload, a cut network or a restarted
server loses none; what was typed and not sent yet is the browser's to keep.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tankside.app.work.first_defaults import defaults_of, middle_height
from tankside.app.work.kept_json import read_json, write_json
from tankside.app.work.order_plans import add_plan
from tankside.app.work.plan_fields import FIELDS, Field
from tankside.app.work.plan_form import FormFault, field_fault
from tankside.app.work.work import Work, WorkKind, WorkState
from tankside.base.errors import BadInput, UnknownName
from tankside.part.length_units import METRES

if TYPE_CHECKING:
    from tankside.app.work.queue import WorkQueue
    from tankside.app.work.workplace import Workplace

DRAFT = "first-plan.json"
GUIDED = "guided"
"""The option of a part's order that says that a first plan is being made of it."""
UNITS = ("mm", "cm", "m", "in")


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A page of the guide: its name in an address, its words, why it is asked, and its fields."""

    name: str
    words: str
    why: str
    keys: tuple[str, ...] = ()

    @property
    def fields(self) -> tuple[Field, ...]:
        """The plan form's."""
        return tuple(FIELDS[key] for key in self.keys)


STEPS: tuple[Step, ...] = (
    Step(
        name="unit",
        words="Its size",
        why="A mesh file often holds bare numbers. Everything hangs on what they mean: ten times "
        "too large is a hundred times the copper.",
    ),
    Step(
        name="tank",
        words="The tank",
        why="The current runs through the whole liquid, so its size and where the anodes hang "
        "decide which sides get more.",
        keys=(
            "tank_length",
            "tank_width",
            "tank_height",
            "liquid_depth",
            "anodes",
            "anode_width",
            "anode_height",
            "anode_distance",
        ),
    ),
    Step(
        name="bath",
        words="The bath",
        why="Acid carries the current, copper salt feeds the deposit. Their balance decides how "
        "well recesses are reached and how soon edges burn.",
        keys=("copper_sulfate", "sulfuric_acid", "chloride", "temperature", "agitation", "known"),
    ),
    Step(
        name="coat",
        words="What covers it now",
        why="A print or a carving does not conduct. A conductive coat carries the first current, "
        "and how badly it conducts decides how slowly one must start.",
        keys=("surface", "sheet_resistance"),
    ),
    Step(
        name="hang",
        words="How it hangs",
        why="Wires carry the current into the part, and air that is caught stays bare.",
        keys=("wires", "wire", "height", "turn_x", "turn_z"),
    ),
    Step(
        name="goal",
        words="What you want",
        why="Thickness decides hours and copper; the supply decides what can be set.",
        keys=("thickness", "measured_at", "current_limit", "voltage_limit"),
    ),
    Step(
        name="check",
        words="Look it over",
        why="Nothing is switched on by this: the plan is computed, and you may change it after.",
    ),
)
"""In their order. "unit" is asked only where the file does not say."""


@dataclass(frozen=True, kw_only=True)
class Draft:
    """A first plan that is being made: its part, the answers sent so far, the steps that are gone
    through, and the plan once it is ordered ("" before)."""

    part: Work
    answers: dict[str, str]
    gone: tuple[str, ...] = ()
    plan: str = ""

    def next_step(self, found: Mapping[str, Any]) -> str:
        """The first step that was not gone through."""
        return next(
            (one.name for one in steps_for(found) if one.name not in self.gone), STEPS[-1].name
        )


def begin(queue: "WorkQueue", name: str, content: bytes, unit: str = "") -> Work:
    """Hands the part's file in, to be examined; the guide goes on with it."""
    from pathlib import PurePath

    from tankside.app.work.folder import plain_name

    if not name:
        raise BadInput("no file was chosen; choose the part's mesh first")
    if unit and unit not in UNITS:
        raise BadInput(
            "{unit!r} is not a unit of this form; choose one of {units}",
            unit=unit,
            units=", ".join(UNITS),
        )
    return queue.add(
        WorkKind.PART,
        PurePath(name).stem,
        {plain_name(name): content},
        options={"file": name, "unit": unit, GUIDED: True},
    )


def steps_for(found: Mapping[str, Any]) -> tuple[Step, ...]:
    """The steps for a part that was examined."""
    return STEPS if found["unit_guessed"] else STEPS[1:]


def step_named(name: str, found: Mapping[str, Any]) -> Step:
    """A step by its name; UnknownName where this part has none of that name."""
    known = {one.name: one for one in steps_for(found)}
    if name not in known:
        raise UnknownName("the step", name[:40], known)
    return known[name]


def draft_of(queue: "WorkQueue", id: str) -> Draft:
    """As it was left; BadInput where the part was not handed in for a guide."""
    part = queue.get(id)
    if part.order.kind is not WorkKind.PART or not part.order.options.get(GUIDED):
        raise BadInput(
            "{order} was not handed in for a first plan; plan it on its page",
            order=part.order.title,
        )
    path = queue.folder.of(id) / DRAFT
    held = read_json(path) if path.is_file() else {}
    answers = {key: str(value) for key, value in dict(held.get("answers", {})).items()}
    return Draft(
        part=part,
        answers={key: value for key, value in answers.items() if key in FIELDS},
        gone=tuple(map(str, held.get("gone", ()))),
        plan=str(held.get("plan", "")),
    )


def open_drafts(queue: "WorkQueue") -> tuple[Draft, ...]:
    """First plans that were begun and not ordered, newest first."""
    parts = [
        work
        for work in queue.all()
        if work.order.kind is WorkKind.PART
        and work.order.options.get(GUIDED)
        and work.state not in (WorkState.FAILED, WorkState.CANCELLED)
    ]
    return tuple(one for one in (draft_of(queue, part.id) for part in parts) if not one.plan)


def sizes_by_unit(found: Mapping[str, Any]) -> dict[str, tuple[float, ...]]:
    """How large the part would be [m], by the unit of its numbers."""
    own = METRES[found["unit"]]
    return {unit: tuple(side / own * METRES[unit] for side in found["box_m"]) for unit in UNITS}


def with_unit(queue: "WorkQueue", id: str, unit: str) -> Work:
    """The part examined anew with the unit of its numbers, in the guide; the old one is left."""
    part = draft_of(queue, id).part
    if unit not in UNITS:
        raise BadInput("choose the unit of the file's numbers")
    name = str(part.order.options["file"])
    again = begin(queue, name, queue.folder.given(id).read(name, where="the part"), unit)
    write_json(queue.folder.of(id) / DRAFT, {"answers": {}, "gone": [], "plan": again.id})
    return again


def part_with_unit(queue: "WorkQueue", id: str, unit: str) -> Work:
    """A part that stands outside the guide, examined anew with the unit of its numbers; the old one
    is left."""
    part = queue.get(id)
    if unit not in UNITS or part.order.kind is not WorkKind.PART:
        raise BadInput("choose the unit of the file's numbers")
    name = str(part.order.options["file"])
    content = queue.folder.given(id).read(name, where="the part")
    options = {"file": name, "unit": unit}
    return queue.add(WorkKind.PART, part.order.title, {name: content}, options=options)


def answer(queue: "WorkQueue", id: str, step: Step, typed: Mapping[str, str]) -> Draft:
    """Keeps a step's answers; FormFault with a sentence for each that is wrong, and nothing of this
    step is kept then."""
    sent = {key: typed[key].strip() for key in step.keys if key in typed}
    faults = {key: said for key, text in sent.items() if (said := field_fault(key, text))}
    if faults:
        raise FormFault(faults)
    before = draft_of(queue, id)
    answers = {**before.answers, **sent}
    gone = tuple(dict.fromkeys((*before.gone, step.name)))
    write_json(queue.folder.of(id) / DRAFT, {"answers": answers, "gone": gone, "plan": before.plan})
    return Draft(part=before.part, answers=answers, gone=gone, plan=before.plan)


def take(place: "Workplace", id: str, name: str, typed: Mapping[str, str]) -> str:
    """Takes a step in; returns the id of what comes of it: the part examined anew with its unit, or
    the plan; "" where another step follows. FormFault as `answer` and `order`."""
    step = step_named(name, place.queue.folder.result(draft_of(place.queue, id).part.id))
    if step.name == "unit":
        return with_unit(place.queue, id, typed.get("unit", "")).id
    if step.name == "check":
        return order(place, id).id
    answer(place.queue, id, step, typed)
    return ""


def all_answers(place: "Workplace", draft: Draft) -> dict[str, str]:
    """The answers so far over the defaults for this part and this store."""
    known = {**defaults_of(place, place.queue.folder.result(draft.part.id)), **draft.answers}
    if "height" not in draft.answers:
        known["height"] = middle_height(known["liquid_depth"]) or known["height"]
    return known


def order(place: "Workplace", id: str) -> Work:
    """Queues the plan; FormFault where the answers do not make a job."""
    draft = draft_of(place.queue, id)
    plan = add_plan(place.queue, draft.part, all_answers(place, draft))
    held = {"answers": draft.answers, "gone": draft.gone, "plan": plan.id}
    write_json(place.queue.folder.of(id) / DRAFT, held)
    return plan


def step_of(key: str) -> str:
    """The step that asks a field; "check" where none does."""
    return next((one.name for one in STEPS if key in one.keys), STEPS[-1].name)
