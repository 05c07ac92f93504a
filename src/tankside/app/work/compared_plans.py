"""Use case: which plans of this bench can be compared, and their comparison at its prices.

A plan is named by the id of the work that made it, or, where only the store has it, by "kept-" and
its id there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tankside.app.compare_plans import CompareReply, CompareRequest, PlanToCompare, compare_plans
from tankside.app.work.alternatives import Offer, offers
from tankside.app.work.folder import VIEW
from tankside.app.work.run_costs import prices_of
from tankside.app.work.work import Work, WorkKind, WorkState
from tankside.base.errors import BadInput, UnknownName

if TYPE_CHECKING:
    from tankside.app.store_records import Kept, PlanRecord
    from tankside.app.work.workplace import Workplace

KEPT = "kept-"


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparable:
    """A plan that can be compared: what names it, its title and moment [s since 1970], what it is
    an alternative by ("" for a plan of its own), its current [A] and duration [s] to tell it from
    others of one name, and whether its copper can be seen."""

    key: str
    title: str
    made: float
    current: float
    duration: float
    alternative: str = ""
    seen: bool = False


def comparable(place: "Workplace") -> tuple[Comparable, ...]:
    """Those made here and those in the store that were not, newest first."""
    works = [
        work
        for work in place.queue.all()
        if work.order.kind is WorkKind.PLAN and work.state is WorkState.DONE
    ]
    found = [_of_work(place, work) for work in works]
    known = {_text_of(place, work) for work in works}
    found += [_of_store(one) for one in place.store.plans.all() if one.value.job_text not in known]
    return tuple(sorted(found, key=lambda one: -one.made))


def one_of(place: "Workplace", key: str) -> Comparable:
    """By its key; UnknownName where there is none, BadInput where it is no plan that is done."""
    if key.startswith(KEPT):
        return _of_store(place.store.plans.find(key.removeprefix(KEPT)))
    work = place.queue.get(key)
    if work.order.kind is not WorkKind.PLAN or work.state is not WorkState.DONE:
        raise BadInput("{order} is no plan that is done; wait for it", order=work.order.title)
    return _of_work(place, work)


def compared(
    place: "Workplace", keys: Sequence[str], names: Sequence[str] | None = None
) -> CompareReply:
    """The plans beside each other, the first the one that others are held against. `names` are what
    the columns are called, by default the plans' titles."""
    plans = [one_of(place, key) for key in keys]
    called = names or [one.title for one in plans]
    replies = [_reply(place, key) for key in keys]
    wanted = [PlanToCompare(name=n, reply=r) for n, r in zip(called, replies, strict=True)]
    return compare_plans(CompareRequest(plans=wanted, prices=prices_of(place)))


@dataclass(frozen=True, kw_only=True)
class Beside:
    """A plan's alternatives: those that are planned with their comparison, the plan itself first;
    those on their way or failed; and those that may still be asked for."""

    done: tuple[Offer, ...]
    going: tuple[Offer, ...]
    open: tuple[Offer, ...]
    reply: CompareReply | None

    @property
    def busy(self) -> bool:
        """Whether anything is still being worked out."""
        return any(one.work is not None and not one.work.state.over for one in self.going)


def beside(place: "Workplace", id: str) -> Beside:
    """How far a plan's alternatives are, and what came of them."""
    all_of = offers(place.queue, id)
    done = [one for one in all_of if one.work and one.work.state is WorkState.DONE]
    going = [one for one in all_of if one.work and one.work.state is not WorkState.DONE]
    again = [one for one in going if one.work and one.work.state.over]
    keys = [id, *(one.work.id for one in done if one.work)]
    return Beside(
        done=tuple(done),
        going=tuple(going),
        open=tuple(one for one in all_of if one.work is None or one in again),
        reply=compared(place, keys) if done else None,
    )


def kept_view(place: "Workplace", key: str) -> bytes:
    """What the picture of a plan in the store is drawn from; UnknownName where it has none."""
    record = place.store.plans.find(key.removeprefix(KEPT)).value
    for file in record.files:
        if file.name == VIEW:
            return place.store.content(file.sha256)
    raise UnknownName("the file", VIEW, [file.name for file in record.files])


def _reply(place: "Workplace", key: str) -> dict[str, object]:
    if key.startswith(KEPT):
        return place.store.plans.find(key.removeprefix(KEPT)).value.reply.entries()
    return place.queue.folder.result(key)


def _of_work(place: "Workplace", work: Work) -> Comparable:
    asked = work.order.options.get("alternative") or {}
    reply = place.queue.folder.result(work.id)
    return Comparable(
        key=work.id,
        title=work.order.title,
        made=work.order.created,
        current=float(reply.get("current_A") or 0.0),
        duration=3600.0 * float(reply.get("hours") or 0.0),
        alternative=str(asked.get("kind", "")),
        seen=VIEW in place.queue.folder.made(work.id),
    )


def _of_store(one: "Kept[PlanRecord]") -> Comparable:
    seen = any(file.name == VIEW for file in one.value.files)
    reply = one.value.reply.entries()
    return Comparable(
        key=f"{KEPT}{one.id}",
        title=one.name,
        made=one.created,
        current=float(reply.get("current_A") or 0.0),
        duration=3600.0 * float(reply.get("hours") or 0.0),
        seen=seen,
    )


def _text_of(place: "Workplace", work: Work) -> str:
    """The job that a plan was made of, to know it again in the store."""
    files, name = place.queue.folder.given(work.id), str(work.order.options.get("job", ""))
    if name not in files.names():
        return ""
    return files.read(name, where="the job").decode("utf-8")
