"""A ledger cut at its readings: what happens between two of them, linearised along a way.

A `Segment` is the events up to and with one that was measured; the first is the opening. `linked`
makes of it a link of the chain that smoothing.py solves.
"""

from dataclasses import dataclass, replace

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, OutsideValidity
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.propagation import Course, Parameters, Shop
from tankside.bath.inventory.readings import Reading, expected, readings_of
from tankside.bath.inventory.smoothing import Link
from tankside.bath.inventory.steps import through
from tankside.bath.inventory.volumes import specific_volumes

_NO_LIQUID = np.full(5, 1e-3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """Events up to and with one that was measured after.

    seconds    the time they span [s]
    unlogged   that part of it for which no open hours were noted [s]
    """

    events: tuple[ev.Event, ...]
    readings: tuple[Reading, ...]
    seconds: float
    unlogged: float


def opened(events: ev.Ledger) -> ev.Ledger:
    """The events, if they begin with a make-up or a bath taken over; else BadInput."""
    wet = [e for e in events if not isinstance(e, ev.Bottle)]
    if not wet:
        raise BadInput("the ledger is empty; begin it with a make-up or a bath taken over")
    if not isinstance(wet[0], ev.MakeUp | ev.TakeOver):
        raise BadInput(
            "the ledger begins with {wet}; enter the make-up, or the bath as it was taken over, "
            "with an earlier time",
            wet=type(wet[0]).__name__,
            where=wet[0].id,
        )
    for event in wet[1:]:
        if isinstance(event, ev.TakeOver):
            raise BadInput("a bath is taken over once, at the beginning", where=event.id)
    return events


def segments_of(events: ev.Ledger, shop: Shop, at: float | None) -> list[Segment]:
    """Cut after the opening and after each event that was measured."""
    wet = [event for event in events if not isinstance(event, ev.Bottle)]
    end = events[-1].at if at is None else at
    if end < events[-1].at:
        raise BadInput("an estimate is for the last event or later, not for before it")
    noted = _noted_hours(wet)
    found: list[Segment] = []
    held: list[ev.Event] = []
    since = wet[0].at
    for event in wet:
        held.append(event)
        readings = readings_of(event, shop)
        if readings or not found:
            found.append(_segment(held, readings, since, event.at, noted))
            held, since = [], event.at
    return [*found, _segment(held, (), since, end, noted)]


def _segment(
    events: list[ev.Event],
    readings: tuple[Reading, ...],
    since: float,
    until: float,
    noted: tuple[Floats, Floats],
) -> Segment:
    """Events between two times; `noted` is the running length of open hours by time."""
    length = float(np.interp(until, *noted) - np.interp(since, *noted))
    return Segment(
        events=tuple(events),
        readings=readings,
        seconds=until - since,
        unlogged=max(until - since - length, 0.0),
    )


def _noted_hours(events: list[ev.Event]) -> tuple[Floats, Floats]:
    """Times, and how many seconds before each lie in noted open hours.

    Hours that were noted at one time follow each other; those of two times that overlap count once.
    """
    durations: dict[float, float] = {}
    for event in events:
        if isinstance(event, ev.Evaporation) and event.duration > 0.0:
            durations[event.at] = durations.get(event.at, 0.0) + event.duration
    times, lengths = [events[0].at - 1.0], [0.0]
    for stop, duration in sorted(durations.items()):
        begin = max(stop - duration, times[-1])
        if stop > begin:
            times += [begin, stop]
            lengths += [lengths[-1], lengths[-1] + stop - begin]
    return np.array(times), np.array(lengths)


def course_of(segment: Segment, start: Floats, shop: Shop, parameters: Parameters) -> Course:
    """The course of a segment's events from a state."""
    if start[:5].any():
        nu = specific_volumes(start[:5], shop.priors.temperature)
    else:
        nu = _opening(segment.events[0], start, shop, parameters)
    course = Course(start, nu, shop, parameters)
    for event in segment.events:
        through(course, event)
    course.aged(segment.seconds, segment.unlogged)
    return course


def check_bath(segment: Segment, masses: Floats, shop: Shop) -> None:
    """BadInput, at the segment's last event, where its end is no bath by the density law."""
    try:
        specific_volumes(masses, shop.priors.temperature)
    except (OutsideValidity, BadInput) as error:
        raise BadInput(
            "up to here {reason}; a top-up, a level or an addition is missing or wrong",
            reason=error.message,
            where=segment.events[-1].id if segment.events else "",
        ) from error


def _opening(event: ev.Event, start: Floats, shop: Shop, parameters: Parameters) -> Floats:
    """Specific volumes of the bath that the first event makes."""
    nu = _NO_LIQUID
    for _ in range(3):
        trial = Course(start, nu, shop, parameters)
        through(trial, event)
        nu = specific_volumes(trial.masses, shop.priors.temperature)
    return nu


def transition_of(course: Course) -> Floats:
    """How the state after a course depends on that before it."""
    transition = np.eye(course.start.size)
    transition[:5] = course.slopes
    return transition


def linked(segment: Segment, course: Course, at_state: Floats, shop: Shop) -> Link:
    """A segment linearised along its course, its readings at a state."""
    shift = np.zeros(course.start.size)
    shift[:5] = course.masses - course.slopes @ course.start
    pairs = [expected(one, at_state, shop) for one in segment.readings]
    slopes = np.array([slope for _, slope in pairs]).reshape(-1, course.start.size)
    return Link(
        transition=transition_of(course),
        shift=shift,
        noise=course.noise,
        slopes=slopes,
        offsets=np.array([value for value, _ in pairs]) - slopes @ at_state,
        values=np.array([one.value for one in segment.readings]),
    )


def answerable(segment: Segment, state: Floats, shop: Shop) -> tuple[Segment, tuple[str, ...]]:
    """The segment without the readings whose law does not reach the state, with a note on each."""
    kept, notes = [], []
    for one in segment.readings:
        try:
            expected(one, state, shop)
            kept.append(one)
        except OutsideValidity as error:
            notes.append(f"The {one.quantity} of {one.event!r} is left out: {error.message}.")
    return replace(segment, readings=tuple(kept)), tuple(notes)
