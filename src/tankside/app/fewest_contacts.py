"""Use case: the fewest wires, and where, with which a job's coated part starts; and how sure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isfinite

from tankside.app.job.writing import job_text
from tankside.app.ports import Files
from tankside.app.rig_bench import placed_in, rig_bench
from tankside.base.errors import BadInput
from tankside.base.progress import Progress, silent
from tankside.base.units import in_unit
from tankside.plan.rigs.contact_sites import ContactRegion
from tankside.plan.rigs.start_contacts import (
    COLLAR,
    MARGIN,
    Attempt,
    FewestContacts,
    fewest_contacts,
)


@dataclass(frozen=True, kw_only=True)
class WiresRequest:
    """A job file's text, name and files; where wires may hold its parts; the part's number."""

    job_text: str
    job_name: str
    files: Files
    regions: tuple[ContactRegion, ...] = ()
    part: int = 1


@dataclass(frozen=True, kw_only=True)
class WiresReply:
    """What was found, in sentences too; and the job with those wires, None where none suffice."""

    found: FewestContacts
    sentences: tuple[str, ...]
    job: bytes | None


def find_fewest_wires(request: WiresRequest, progress: Progress = silent) -> WiresReply:
    """BadInput or Impossible, placed in the job file, where that cannot be asked of the job."""
    bench = rig_bench(request.job_text, request.job_name, request.files, progress)
    with placed_in(request.job_name):
        parts = bench.own.description.parts
        if not 1 <= request.part <= len(parts):
            raise BadInput(
                "the job has {count} parts, and no part {part}", count=len(parts), part=request.part
            )
        found = fewest_contacts(
            bench.coarse_own,
            bench.coarse_bench,
            request.regions,
            part=request.part,
            progress=progress,
        )
    sentences = tuple(_told(found))
    job = None
    if found.description is not None:
        job = job_text(request.job_text, found.description, head=sentences).encode()
    return WiresReply(found=found, sentences=sentences, job=job)


def _told(found: FewestContacts) -> Iterator[str]:
    for attempt in found.attempts:
        yield f"{_wires(len(attempt.places))}: {_outcome(attempt)}"
    last = found.attempts[-1]
    if found.margins is None:
        yield (
            f"Not even {_wires(len(last.places))} suffice: paint the part anew or twice, allow "
            "more places, or take thicker wire."
        )
        return
    yield f"Hold at {'; '.join(_place(place) for place in last.places)}, as the part hangs."
    low, best, high = found.margins
    yield (
        f"A start may take {low:.2g}, {best:.2g} or {high:.2g} times as long as it does, on the "
        "best, the likely and the poorest coat that is believed; nineteen coats in twenty are no "
        "poorer. Where the coat is given as one number, give its range to learn more."
    )


def _outcome(attempt: Attempt) -> str:
    start = attempt.start
    if start is None:
        return f"cannot be: {attempt.refusal}."
    if not isfinite(start.covered_after):
        return f"copper covers {100 * start.covered_share:.0f} % of the coat in time: no."
    minutes, allowed = start.covered_after / 60, start.allowed / 60
    said = f"covered after {minutes:.3g} min of the {allowed:.3g} min that it may take"
    if start.margin < MARGIN:
        return f"{said}, on the poorest coat: too little margin."
    if start.collar_fraction > COLLAR:
        return (
            f"{said}, but a collar bears {100 * start.collar_fraction:.0f} % of copper's limit: no."
        )
    if attempt.wire_load > 1.0:
        return f"{said}, but a wire carries {attempt.wire_load:.2g} times what it may in air: no."
    return (
        f"{said}, on the poorest coat; collars bear at most {100 * start.collar_fraction:.0f} % of "
        f"copper's limit, wires {100 * attempt.wire_load:.0f} % of what they may: yes."
    )


def _wires(count: int) -> str:
    return "One wire" if count == 1 else f"{count} wires"


def _place(place: Sequence[float]) -> str:
    return "(" + ", ".join(f"{in_unit(x, 'cm'):.1f}" for x in place) + ") cm"
