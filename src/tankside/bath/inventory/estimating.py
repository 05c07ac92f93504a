"""From a ledger to what is in the bath, and how sure that is.

The most probable history given mass balance and all readings: laws are linearised along the best
trajectory, the chain is solved by filter and smoother, and so on until nothing moves (Gauss-Newton
on the posterior; the covariance is Laplace's). A reading may be grossly wrong: it is set aside when
what all *other* readings say of it is better explained by a gross error, and named. See
docs/theory/inventory.md.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.errors import BadInput, OutsideValidity
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.bath_estimate import (
    BathEstimate,
    Learned,
    Surprise,
    not_negative,
    quantities_of,
)
from tankside.bath.inventory.doubt import doubts, settled
from tankside.bath.inventory.priors import LEARNED, Priors, known_priors
from tankside.bath.inventory.propagation import Course, Parameters, Shop
from tankside.bath.inventory.readings import Reading, expected, readings_of
from tankside.bath.inventory.shop import shop_of
from tankside.bath.inventory.smoothing import Link, Smoothed, smoothed, updated
from tankside.bath.inventory.volumes import specific_volumes

_MOST_ROUNDS = 8
_STILL = 0.03
"""Change of any final value, over its standard deviation, below which the history stands still."""

_FIRST_LIMIT = 3.0
"""Standard deviations beyond which a reading is eased off while the first trajectory is sought."""

_NO_LIQUID = np.full(5, 1e-3)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Segment:
    """Events up to and with one that was measured after, and the time they span."""

    events: tuple[ev.Event, ...]
    readings: tuple[Reading, ...]
    seconds: float


def estimated(
    ledger: ev.Ledger, priors: Priors | None = None, *, at: float | None = None
) -> BathEstimate:
    """The bath after all events, or at a later time `at` [s since 1970-01-01 UTC].

    BadInput where the ledger does not begin with a make-up or a bath taken over, names a product
    without a bottle, or takes out more than there is.
    """
    own = priors or Priors()
    events = _opened(ev.ordered(ledger))
    shop = shop_of(events, own)
    segments = _segments(events, shop, at)
    start = np.zeros(shop.size)
    covariance = np.diag(np.repeat([0.0, 1.0], [5, shop.size - 5]))
    chain, found, notes = _first(segments, start, covariance, shop)
    readings = [one for segment in segments for one in segment.readings]
    variances = np.array([one.std**2 for one in readings])
    gross: frozenset[int] = frozenset()
    rounds, change = 0, np.inf
    while change > _STILL and rounds < _MOST_ROUNDS:
        chain = _relinearised(segments, found, start, shop)
        before = found.final
        found, gross, used = settled(chain, start, covariance, variances, own)
        change = _moved(before, found)
        rounds += 1
    return _answer(
        at=at if at is not None else events[-1].at,
        found=found,
        readings=readings,
        doubt=doubts(found, variances, used, own),
        gross=gross,
        shop=shop,
        notes=notes,
        rounds=rounds,
        converged=bool(change <= _STILL),
    )


def _opened(events: ev.Ledger) -> ev.Ledger:
    wet = [e for e in events if not isinstance(e, ev.Bottle)]
    if not wet:
        raise BadInput("the ledger is empty; begin it with a make-up or a bath taken over")
    if not isinstance(wet[0], ev.MakeUp | ev.TakeOver):
        raise BadInput(
            f"the ledger begins with {type(wet[0]).__name__}; enter the make-up, or the bath as it "
            "was taken over, with an earlier time",
            where=wet[0].id,
        )
    for event in wet[1:]:
        if isinstance(event, ev.TakeOver):
            raise BadInput("a bath is taken over once, at the beginning", where=event.id)
    return events


def _segments(events: ev.Ledger, shop: Shop, at: float | None) -> list[_Segment]:
    """Cut after the opening and after each event that was measured."""
    found: list[_Segment] = []
    held: list[ev.Event] = []
    since: float | None = None
    for event in (e for e in events if not isinstance(e, ev.Bottle)):
        held.append(event)
        readings = readings_of(event, shop)
        if readings or since is None:
            age = event.at - since if since is not None else 0.0
            found.append(_Segment(events=tuple(held), readings=readings, seconds=age))
            held, since = [], event.at
    end = events[-1].at if at is None else at
    if end < events[-1].at:
        raise BadInput("an estimate is for the last event or later, not for before it")
    rest = end - since if since is not None else 0.0
    return [*found, _Segment(events=tuple(held), readings=(), seconds=rest)]


def _first(
    segments: list[_Segment], start: Floats, covariance: Floats, shop: Shop
) -> tuple[list[Link], Smoothed, tuple[str, ...]]:
    """The chain linearised along the filter's own way, wild readings eased off.

    Readings beyond a law's range are struck from their segment, with a note.
    """
    chain: list[Link] = []
    eased: list[float] = []
    notes: list[str] = []
    mean, spread = start, covariance
    for number, segment in enumerate(segments):
        course = _run(segment, mean, shop, shop.parameters(mean))
        transition = _transition(course)
        mean = np.concatenate([course.masses, mean[5:]])
        spread = transition @ spread @ transition.T
        spread[:5, :5] += course.noise
        segment, words = _answerable(segment, mean, shop)
        segments[number] = segment
        notes.extend(words)
        chain.append(_link(segment, course, mean, shop))
        for one in segment.readings:
            value, slope = expected(one, mean, shop)
            total = float(slope @ spread @ slope) + one.std**2
            over = (one.value - value) ** 2 / _FIRST_LIMIT**2 - total
            eased.append(one.std**2 + max(over, 0.0))
            _, mean, spread = updated(
                mean, spread, slope, one.value - value + float(slope @ mean), eased[-1]
            )
    return chain, smoothed(chain, start, covariance, np.array(eased)), tuple(dict.fromkeys(notes))


def _relinearised(
    segments: list[_Segment], found: Smoothed, start: Floats, shop: Shop
) -> list[Link]:
    chain, before = [], start
    parameters = found.final[5:]
    known = shop.parameters(found.final)
    for segment, state in zip(segments, found.states, strict=True):
        begin = np.concatenate([before[:5], parameters])
        chain.append(
            _link(
                segment,
                _run(segment, begin, shop, known),
                np.concatenate([state[:5], parameters]),
                shop,
            )
        )
        before = state
    return chain


def _run(segment: _Segment, start: Floats, shop: Shop, parameters: Parameters) -> Course:
    """The course of a segment's events from a state."""
    if start[:5].any():
        nu = specific_volumes(start[:5], shop.priors.temperature)
    else:
        nu = _opening(segment.events[0], start, shop, parameters)
    course = Course(start, nu, shop, parameters)
    for event in segment.events:
        course.through(event)
    course.aged(segment.seconds)
    return course


def _opening(event: ev.Event, start: Floats, shop: Shop, parameters: Parameters) -> Floats:
    """Specific volumes of the bath that the first event makes."""
    nu = _NO_LIQUID
    for _ in range(3):
        trial = Course(start, nu, shop, parameters)
        trial.through(event)
        nu = specific_volumes(trial.masses, shop.priors.temperature)
    return nu


def _transition(course: Course) -> Floats:
    transition = np.eye(course.start.size)
    transition[:5] = course.slopes
    return transition


def _link(segment: _Segment, course: Course, at_state: Floats, shop: Shop) -> Link:
    """A segment linearised along its course, its readings at a state."""
    shift = np.zeros(course.start.size)
    shift[:5] = course.masses - course.slopes @ course.start
    pairs = [expected(one, at_state, shop) for one in segment.readings]
    slopes = np.array([slope for _, slope in pairs]).reshape(-1, course.start.size)
    return Link(
        transition=_transition(course),
        shift=shift,
        noise=course.noise,
        slopes=slopes,
        offsets=np.array([value for value, _ in pairs]) - slopes @ at_state,
        values=np.array([one.value for one in segment.readings]),
    )


def _answerable(segment: _Segment, state: Floats, shop: Shop) -> tuple[_Segment, tuple[str, ...]]:
    kept, notes = [], []
    for one in segment.readings:
        try:
            expected(one, state, shop)
            kept.append(one)
        except OutsideValidity as error:
            notes.append(f"The {one.quantity} of {one.event!r} is left out: {error.message}.")
    same = _Segment(events=segment.events, readings=tuple(kept), seconds=segment.seconds)
    return same, tuple(notes)


def _moved(before: Floats, found: Smoothed) -> float:
    stds = np.sqrt(np.maximum(np.diag(found.covariance), 0.0))
    held = stds > 0.0
    return float(np.max(np.abs(found.final - before)[held] / stds[held], initial=0.0))


def _answer(
    *,
    at: float,
    found: Smoothed,
    readings: list[Reading],
    doubt: Floats,
    gross: frozenset[int],
    shop: Shop,
    notes: tuple[str, ...],
    rounds: int,
    converged: bool,
) -> BathEstimate:
    free, spread, _ = quantities_of(found.final, found.covariance, shop.priors.temperature)
    mean, covariance = not_negative(free, spread)
    return BathEstimate(
        at=at,
        mean=mean,
        covariance=covariance,
        free_mean=frozen_floats(free),
        free_std=frozen_floats(np.sqrt(np.maximum(np.diag(spread), 0.0))),
        surprises=tuple(
            Surprise(
                event=one.event,
                at=one.at,
                quantity=one.quantity,
                value=one.value,
                expected=one.value - float(miss),
                score=float(miss / wide),
                doubt=float(wrong),
                gross=number in gross,
            )
            for number, (one, miss, wide, wrong) in enumerate(
                zip(readings, found.misses, found.spreads, doubt, strict=True)
            )
        ),
        learned=_learned(found, shop),
        notes=notes,
        state=frozen_floats(found.final),
        state_covariance=frozen_floats(found.covariance),
        shop=shop,
        rounds=rounds,
        converged=converged,
    )


def _label_unit(name: str) -> str:
    return "kg/kg" if name.startswith("chloride") else "1"


def _learned(found: Smoothed, shop: Shop) -> tuple[Learned, ...]:
    stds = np.sqrt(np.maximum(np.diag(found.covariance), 0.0))
    return tuple(
        Learned(
            name=name,
            believed=belief.interval(0.0, 1.0),
            learned=belief.interval(float(found.final[place]), float(stds[place])),
            unit=known_priors()[name].unit if name in LEARNED else _label_unit(name),
        )
        for name, place in shop.index.items()
        if (belief := shop.beliefs[name]).spread > 0.0
    )
