"""From a ledger to what is in the bath, and how sure that is.

The most probable history given mass balance and all readings: laws are linearised along the best
trajectory, the chain is solved by filter and smoother, and so on until nothing moves (Gauss-Newton
on the posterior; the covariance is Laplace's). A reading may be grossly wrong: it is set aside when
what all *other* readings say of it is better explained by a gross error, and named. See
docs/theory/inventory.md.
"""

from collections.abc import Iterator

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.messages import said
from tankside.base.wording import either, term
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.bath_estimate import (
    BathEstimate,
    Learned,
    Surprise,
    not_negative,
    quantities_of,
)
from tankside.bath.inventory.contents import WATER
from tankside.bath.inventory.doubt import doubts, rivals, settled
from tankside.bath.inventory.priors import LEARNED, Priors, known_priors
from tankside.bath.inventory.propagation import Shop
from tankside.bath.inventory.readings import Reading, expected
from tankside.bath.inventory.segments import (
    Segment,
    answerable,
    check_bath,
    course_of,
    linked,
    opened,
    segments_of,
    transition_of,
)
from tankside.bath.inventory.shop import shop_of
from tankside.bath.inventory.smoothing import Link, Smoothed, smoothed, updated

_MOST_ROUNDS = 12
_STILL = 0.05
"""Change of any final value, over its standard deviation, below which the history stands still."""

_FEW = 2
"""Readings set aside from which on the ledger itself is doubted, if they are most of them."""

_FIRST_LIMIT = 3.0
"""Standard deviations beyond which a reading is eased off while the first trajectory is sought."""


def estimated(
    ledger: ev.Ledger, priors: Priors | None = None, *, at: float | None = None
) -> BathEstimate:
    """The bath after all events, or at a later time `at` [s since 1970-01-01 UTC].

    BadInput where the ledger does not begin with a make-up or a bath taken over, names a product
    without a bottle, or takes out more than there is.
    """
    own = priors or Priors()
    events = opened(ev.ordered(ledger))
    shop = shop_of(events, own)
    segments = segments_of(events, shop, at)
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
        notes=(
            *notes,
            *_either_or(readings, rivals(chain, start, covariance, variances, gross, own)),
            *_against_the_ledger(readings, gross),
        ),
        rounds=rounds,
        converged=bool(change <= _STILL),
    )


def _first(
    segments: list[Segment], start: Floats, covariance: Floats, shop: Shop
) -> tuple[list[Link], Smoothed, tuple[str, ...]]:
    """The chain linearised along the filter's own way, wild readings eased off.

    Readings beyond a law's range are struck from their segment, with a note.
    """
    chain: list[Link] = []
    eased: list[float] = []
    notes: list[str] = []
    mean, spread = start, covariance
    for number, segment in enumerate(segments):
        course = course_of(segment, mean, shop, shop.parameters(mean))
        transition = transition_of(course)
        check_bath(segment, course.masses, shop)
        mean = np.concatenate([course.masses, mean[5:]])
        spread = transition @ spread @ transition.T
        spread[:5, :5] += course.noise
        segment, words = answerable(segment, mean, shop)
        segments[number] = segment
        notes.extend(words)
        chain.append(linked(segment, course, mean, shop))
        for one in segment.readings:
            value, slope = expected(one, mean, shop)
            total = float(slope @ spread @ slope) + one.std**2
            over = (one.value - value) ** 2 / _FIRST_LIMIT**2 - total
            eased.append(one.std**2 + max(over, 0.0))
            wanted = one.value - value + float(slope @ mean)
            _, moved, spread = updated(mean, spread, slope, wanted, eased[-1])
            mean = _wet(mean, moved)
    return chain, smoothed(chain, start, covariance, np.array(eased)), tuple(dict.fromkeys(notes))


def _wet(before: Floats, moved: Floats) -> Floats:
    """A step of the first way, cut short where a reading would take half the water at once."""
    least = 0.5 * float(before[WATER])
    if moved[WATER] >= least:
        return moved
    share = (before[WATER] - least) / (before[WATER] - moved[WATER])
    return np.asarray(before + share * (moved - before))


def _relinearised(
    segments: list[Segment], found: Smoothed, start: Floats, shop: Shop
) -> list[Link]:
    chain, before = [], start
    parameters = found.final[5:]
    known = shop.parameters(found.final)
    for segment, state in zip(segments, found.states, strict=True):
        begin = np.concatenate([before[:5], parameters])
        chain.append(
            linked(
                segment,
                course_of(segment, begin, shop, known),
                np.concatenate([state[:5], parameters]),
                shop,
            )
        )
        before = state
    return chain


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


def _against_the_ledger(readings: list[Reading], gross: frozenset[int]) -> Iterator[str]:
    """A sentence for each quantity most of whose readings were set aside."""
    for quantity in dict.fromkeys(one.quantity for one in readings):
        places = [place for place, one in enumerate(readings) if one.quantity == quantity]
        aside = [place for place in places if place in gross]
        if len(aside) >= _FEW and 2 * len(aside) > len(places):
            yield (
                f"{len(aside)} of {len(places)} readings of {quantity.replace('_', ' ')} do not "
                "fit what the ledger says went in and out; look for an event that is missing or "
                "wrong before you doubt them."
            )


def _label_unit(name: str) -> str:
    return "kg/kg" if name.startswith("chloride") else "1"


def _either_or(readings: list[Reading], suspects: dict[int, tuple[int, ...]]) -> Iterator[str]:
    """A sentence for each reading set aside where another may be the wrong one."""
    for one, others in suspects.items():
        if others:
            names = either(
                said(
                    "the {quantity} of {event}",
                    quantity=term(readings[x].quantity.replace("_", " ")),
                    event=repr(readings[x].event),
                )
                for x in (one, *others)
            )
            yield said(
                "One is grossly wrong, but which is not sure: {names}; measure once more.",
                names=names,
            )


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
