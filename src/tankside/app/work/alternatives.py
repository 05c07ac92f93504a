"""Use case: other ways to do a plan, each planned for real as work of its own beside it.

An alternative is the plan's own job with one thing changed; everything else, shop tests included,
stays. What cannot be changed that way in this job is not offered.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tankside.app.job.reading import read_job
from tankside.app.job.schema import AcidSulfateBath, Job
from tankside.app.rig.editing import Tables, tables_of, text_of
from tankside.app.work.plan_fields import COMPUTED, MOVEMENT, WAGNER
from tankside.app.work.plan_form import JOB_NAME, FormFault
from tankside.app.work.work import Work, WorkKind, WorkState
from tankside.base.errors import BadInput, UnknownName
from tankside.base.messages import said
from tankside.base.provenance import source
from tankside.base.units import in_unit, shown
from tankside.bath.families import Window, family

if TYPE_CHECKING:
    from tankside.app.work.queue import WorkQueue

SLOWER = 0.6
"""Of the plan's current [-]: our guess of a step that shows."""
THINNER = 0.6
"""Of the goal's thickness [-]: our guess of a step that shows."""
WARMER_K = 5.0
"""Our guess of a step that shows [K]."""
WARMEST_K = 308.15
"""No warmer bath is offered than this [K]: brighteners are used up faster and the bath evaporates
(common practice, no source)."""
STRONGER = {"still": "gentle air", "gentle air": "strong air", "strong air": "gentle air",
            "stirred": "strong air"}  # fmt: skip
"""The agitation that is tried beside each."""
PRACTICE = said("common practice, no source")

Change = Callable[[Tables, Job, Mapping[str, Any]], dict[str, str] | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """kind     names it
    words    what is changed
    why      what one may gain by it, before it is worked out
    source   where that stands, or that it stands nowhere
    change   edits the job's tables; returns the plan form's answers that change with them, or None
             where the form cannot say it; raises NotHere where the job has nothing to change"""

    kind: str
    words: str
    why: str
    source: str
    change: Change


class NotHere(Exception):
    """This alternative has no place in this job."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """An alternative of a plan; the form's answers that it changes, none where the form cannot say
    it; and the work that plans it, None where it was not asked for."""

    alternative: Alternative
    answers: Mapping[str, str]
    work: Work | None


def offers(queue: "WorkQueue", id: str) -> tuple[Offer, ...]:
    """What may be tried beside a plan that is done, in a fixed order; none where it has no job."""
    plan = _plan(queue, id)
    found = {one.kind: _job(queue, plan, one) for one in ALTERNATIVES.values()}
    return tuple(
        Offer(
            alternative=ALTERNATIVES[kind],
            answers=job[1] or {},
            work=_made(queue, id, kind),
        )
        for kind, job in found.items()
        if job is not None
    )


def order_alternatives(queue: "WorkQueue", id: str, kinds: Sequence[str]) -> tuple[Work, ...]:
    """Queues those that are not there yet; what failed or was stopped is tried anew. UnknownName
    for a kind that is not offered for this plan; nothing is queued then."""
    plan = _plan(queue, id)
    known = {one.alternative.kind: one for one in offers(queue, id)}
    for kind in kinds:
        if kind not in known:
            raise UnknownName("the alternative", kind[:40], known)
    if not kinds:
        raise BadInput("no alternative was chosen; choose one or more")
    added = []
    for kind in dict.fromkeys(kinds):
        work = known[kind].work
        if work is None or (work.state.over and work.state is not WorkState.DONE):
            added.append(_ordered(queue, plan, ALTERNATIVES[kind]))
    return tuple(added)


def _ordered(queue: "WorkQueue", plan: Work, one: Alternative) -> Work:
    text, answers = _changed(queue, plan, one)
    files = queue.folder.given(plan.id)
    given = {name: files.read(name, where="the plan") for name in files.names()}
    form = plan.order.options.get("form")
    options: dict[str, Any] = {"job": JOB_NAME, "alternative": {"of": plan.id, "kind": one.kind}}
    if form is not None and answers is not None:
        options["form"] = {**form, **answers}
    return queue.add(
        WorkKind.PLAN,
        plan.order.title,
        {**given, JOB_NAME: text.encode()},
        part=plan.order.part,
        options=options,
    )


def _plan(queue: "WorkQueue", id: str) -> Work:
    work = queue.get(id)
    if work.order.kind is not WorkKind.PLAN or work.state is not WorkState.DONE:
        raise BadInput("{order} is no plan that is done; wait for it", order=work.order.title)
    return work


def _made(queue: "WorkQueue", id: str, kind: str) -> Work | None:
    """The newest work of an alternative."""
    return next(
        (
            one
            for one in queue.all()
            if one.order.options.get("alternative") == {"of": id, "kind": kind}
        ),
        None,
    )


def _job(
    queue: "WorkQueue", plan: Work, one: Alternative
) -> tuple[str, dict[str, str] | None] | None:
    """The job's text with the change, and the form's answers; None where it has no place here."""
    if JOB_NAME not in queue.folder.given(plan.id).names():
        return None
    try:
        return _changed(queue, plan, one)
    except (NotHere, FormFault):
        return None


def _changed(queue: "WorkQueue", plan: Work, one: Alternative) -> tuple[str, dict[str, str] | None]:
    text = queue.folder.given(plan.id).read(JOB_NAME, where="the job").decode("utf-8")
    tables, job = tables_of(text), read_job(text, name=JOB_NAME)
    answers = one.change(tables, job, queue.folder.result(plan.id))
    return text_of(tables), answers


def _slower(tables: Tables, job: Job, reply: Mapping[str, Any]) -> None:
    goal = {key: value for key, value in tables["goal"].items() if key != "current_density"}
    tables["goal"] = {**goal, "current": shown(SLOWER * float(reply["current_A"]), "A")}


def _throw(tables: Tables, job: Job, reply: Mapping[str, Any]) -> dict[str, str]:
    """To the middle of the high-throw window; from within it, to its far end."""
    if not isinstance(job.bath, AcidSulfateBath):
        raise NotHere
    windows = family("high-throw").windows
    salt, acid = windows["copper_sulfate_pentahydrate"], windows["sulfuric_acid"]
    has = (job.bath.copper_sulfate_pentahydrate, job.bath.sulfuric_acid)
    inside = salt.low <= has[0] <= salt.high and acid.low <= has[1] <= acid.high
    wanted = (salt.low, acid.high) if inside else (_middle(salt), _middle(acid))
    if wanted[0] >= 0.98 * has[0] and wanted[1] <= 1.02 * has[1]:
        raise NotHere
    told = [f"{one:.4g} g/L" for one in wanted]
    bath = {key: value for key, value in tables["bath"].items() if key != "conductivity"}
    tables["bath"] = {
        **bath, "copper_sulfate_pentahydrate": told[0], "sulfuric_acid": told[1],
    }  # fmt: skip
    return {"copper_sulfate": told[0], "sulfuric_acid": told[1]}


def _thinner(tables: Tables, job: Job, reply: Mapping[str, Any]) -> dict[str, str]:
    told = f"{in_unit(THINNER * job.goal.thickness, 'um'):.3g} um"
    tables["goal"] = {**tables["goal"], "thickness": told}
    return {"thickness": told}


def _everywhere(tables: Tables, job: Job, reply: Mapping[str, Any]) -> dict[str, str]:
    if job.goal.measured_at != "mean":
        raise NotHere
    tables["goal"] = {**tables["goal"], "measured_at": "thinnest 5 percent"}
    return {"measured_at": "thinnest 5 percent"}


def _warmer(tables: Tables, job: Job, reply: Mapping[str, Any]) -> dict[str, str]:
    wanted = job.bath.temperature + WARMER_K
    if wanted > WARMEST_K:
        raise NotHere
    told = f"{in_unit(wanted, 'degC'):.4g} degC"
    bath = {key: value for key, value in tables["bath"].items() if key != "conductivity"}
    tables["bath"] = {**bath, "temperature": told}
    return {"temperature": told}


def _moved(tables: Tables, job: Job, reply: Mapping[str, Any]) -> dict[str, str]:
    if job.bath.agitation not in STRONGER:
        raise NotHere
    told = STRONGER[job.bath.agitation]
    tables["bath"] = {**tables["bath"], "agitation": told}
    return {"agitation": told}


def _middle(window: Window) -> float:
    return (window.low + window.high) / 2


def _high_throw_source() -> str:
    window = family("high-throw").windows["sulfuric_acid"]
    return f"{source(window.source).title}, {window.locator}"


ALTERNATIVES: dict[str, Alternative] = {
    one.kind: one
    for one in (
        Alternative(
            kind="slower",
            words="Slower, at 60 % of the current",
            why="Less current lies more evenly, and burns less; it takes longer.",
            source=WAGNER,
            change=_slower,
        ),
        Alternative(
            kind="throw",
            words="A bath that throws better: less salt, more acid",
            why="More acid conducts better, so that recesses get more; less copper lowers the "
            "limit at which edges burn. Another bath to mix, and more acid to handle.",
            source=_high_throw_source(),
            change=_throw,
        ),
        Alternative(
            kind="thinner",
            words="A thinner coat of copper, 60 % of the goal",
            why="Hours and copper go with the thickness.",
            source="Faraday's law",
            change=_thinner,
        ),
        Alternative(
            kind="everywhere",
            words="The goal reached almost everywhere (thinnest 5 %)",
            why="Recesses get what was wanted; outer edges get much more, and it takes longer.",
            source=COMPUTED,
            change=_everywhere,
        ),
        Alternative(
            kind="warmer",
            words="A warmer bath",
            why="Warmth brings copper faster and conducts better; it evaporates more and uses up "
            "brighteners sooner.",
            source=PRACTICE,
            change=_warmer,
        ),
        Alternative(
            kind="agitation",
            words="Moved otherwise",
            why="Movement brings copper to the part: more amps before edges burn, so less time, "
            "and often less even.",
            source=MOVEMENT,
            change=_moved,
        ),
    )
}
"""In the order in which they are offered."""
