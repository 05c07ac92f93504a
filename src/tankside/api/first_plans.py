"""First plans: a part's file, then a few questions step by step, then queued work."""

from pathlib import PurePath
from typing import Annotated

from fastapi import APIRouter, File, Form, Request, UploadFile
from pydantic import BaseModel, Field

from tankside.api.replies import WorkReply, work_reply
from tankside.app.work import first_plan
from tankside.app.work.first_defaults import recipes
from tankside.app.work.first_plan import Draft
from tankside.app.work.work import WorkState
from tankside.app.work.workplace import Workplace

router = APIRouter(prefix="/first-plans", tags=["first plans"])


class FirstPlan(BaseModel):
    """Where a first plan stands: its part and how far that is, the steps in order and those gone
    through, the next one, all answers over the defaults, and what came of it: the plan, or the same
    part with its unit told."""

    part: WorkReply
    steps: list[str]
    gone: list[str]
    next: str
    answers: dict[str, str]
    sizes_m: dict[str, list[float]]
    onward: str


class Question(BaseModel):
    """A field of a step: how it is asked, why, where that stands, choices, its answer now."""

    key: str
    words: str
    help: str
    source: str
    choices: list[str]
    answer: str


class KnownBath(BaseModel):
    """A bath whose numbers can be taken."""

    name: str
    words: str
    why: str
    source: str
    answers: dict[str, str]


class StepReply(BaseModel):
    """A step: what is asked, why, and the baths that may be taken where it is about the bath."""

    name: str
    words: str
    why: str
    questions: list[Question]
    baths: list[KnownBath]


class Answers(BaseModel):
    """Answers of a step as typed, by key; "unit" for the step of that name."""

    answers: dict[str, str] = Field(default_factory=dict)


@router.get("")
def drafts(request: Request) -> list[FirstPlan]:
    """Those that were begun and not ordered, newest first."""
    place: Workplace = request.app.state.place
    return [_told(place, one) for one in first_plan.open_drafts(place.queue)]


@router.post("", status_code=202)
def begin(
    request: Request, file: Annotated[UploadFile, File()], unit: Annotated[str, Form()] = ""
) -> WorkReply:
    """Hands the part's file in: stl, obj, ply, 3mf or glb; `unit` of its numbers, such as mm."""
    queue = request.app.state.queue
    name = PurePath(file.filename or "").name
    return work_reply(queue, first_plan.begin(queue, name, file.file.read(), unit))


@router.get("/{id}")
def one(request: Request, id: str) -> FirstPlan:
    """Where it stands."""
    place: Workplace = request.app.state.place
    return _told(place, first_plan.draft_of(place.queue, id))


@router.get("/{id}/{step}")
def step(request: Request, id: str, step: str) -> StepReply:
    """What a step asks."""
    place: Workplace = request.app.state.place
    draft = first_plan.draft_of(place.queue, id)
    asked = first_plan.step_named(step, place.queue.folder.result(id))
    answers = first_plan.all_answers(place, draft)
    known = recipes(place) if step == "bath" else ()
    return StepReply(
        name=asked.name,
        words=asked.words,
        why=asked.why,
        questions=[
            Question(
                key=field.key,
                words=field.words,
                help=field.help,
                source=field.source,
                choices=[value for value, _ in field.choices],
                answer=answers[field.key],
            )
            for field in asked.fields
        ],
        baths=[
            KnownBath(
                name=bath.name,
                words=bath.words,
                why=bath.why,
                source=bath.source,
                answers=dict(bath.answers),
            )
            for bath in known
        ],
    )


@router.post("/{id}/{step}")
def answer(request: Request, id: str, step: str, sent: Answers) -> FirstPlan:
    """Takes a step's answers in; "unit" has the part examined anew, "check" orders the plan."""
    place: Workplace = request.app.state.place
    first_plan.take(place, id, step, sent.answers)
    return _told(place, first_plan.draft_of(place.queue, id))


def _told(place: Workplace, draft: Draft) -> FirstPlan:
    done = draft.part.state is WorkState.DONE
    found = place.queue.folder.result(draft.part.id) if done else None
    return FirstPlan(
        part=work_reply(place.queue, draft.part),
        steps=[one.name for one in first_plan.steps_for(found)] if found else [],
        gone=list(draft.gone),
        next=draft.next_step(found) if found else "",
        answers=first_plan.all_answers(place, draft) if found else draft.answers,
        sizes_m={unit: list(size) for unit, size in first_plan.sizes_by_unit(found).items()}
        if found
        else {},
        onward=draft.plan,
    )
