"""From a case to an answer: ranked causes, why, what stays unexplained, and how sure all that is.

Causes are ranked by the chance that they are to blame for at least one complaint. The range beside
each comes from drawing the network anew, many times, within the ranges of its few words; it says
how much the answer hangs on judgement. Where no cause stands out, or the complaints are rather
explained by something the atlas does not know, the answer says so instead of naming one.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.diagnosis.atlas import Atlas
from tankside.diagnosis.evidence import Case, Measured, Said, Told, complaints_of, observed_in
from tankside.diagnosis.inference import Observed, beliefs, unexplained
from tankside.diagnosis.network import Network, drawn_network, network_of

ANSWER_FROM = 0.75
"""Chance of being to blame from which a cause is named as the answer [-]."""

LEANING_FROM = 0.35
"""And from which the answer leans towards it; below, "I do not know" [-]."""

UNEXPLAINED_FROM = 0.5
"""Chance that no cause of the atlas brought a complaint about, from which that is said [-]."""

_LEAST_BLAME = 1e-6
"""Causes below this chance cannot have brought about what is seen, and are not named [-]."""

_LEAST_SHIFT = 0.05
"""Changes of the log-odds below this are not worth a line [-]."""


class Verdict(Enum):
    """How far the evidence reaches."""

    ANSWER = "answer"
    LEANING = "leaning"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """One piece of evidence, and what it adds to the log-odds that the cause is present: those with
    it minus those without it, everything else as it is (natural logarithm) [-]."""

    item: Told | Measured
    log_odds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A cause with its chances.

    to_blame       that it is present and brought at least one complaint about, with its range [-]
    present        that it is present at all [-]
    prior          before any evidence [-]
    contributions  for and against, the weightiest first
    """

    cause: str
    to_blame: Interval
    present: float
    prior: float
    contributions: tuple[Contribution, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unexplained:
    """The chance that no cause of the atlas brought this complaint about [-]."""

    fault: str
    share: float


@dataclass(frozen=True, kw_only=True)
class Diagnosis:
    """The answer: causes from the likeliest on, complaints that stay unexplained, the verdict with
    a sentence, and the case it is for."""

    case: Case
    suspects: tuple[Suspect, ...]
    unexplained: tuple[Unexplained, ...]
    verdict: Verdict
    sentence: str


@dataclass(frozen=True, kw_only=True)
class Spread:
    """How the range is found: number of networks drawn, and the seed they are drawn with."""

    draws: int = 100
    seed: int = 0


def diagnosed(
    case: Case,
    atlas: Atlas,
    *,
    priors: Mapping[str, float] | None = None,
    spread: Spread | None = None,
    most: int = 8,
) -> Diagnosis:
    """The diagnosis of a case, with at most `most` causes that can be to blame at all.

    `priors` [-] by cause are the shop's own (shop.py). BadInput where no fault is seen.
    """
    network = network_of(atlas, priors)
    observed = observed_in(case, atlas, network)
    if not complaints_of(case, atlas):
        raise BadInput("no fault is named; say first what you see on part, meter or bath")
    found = beliefs((network,), observed)
    order = _worth_naming(found.to_blame[0])[:most]
    ranges = _ranges(atlas, priors, observed, spread or Spread())
    without = {item: _log_odds_without(item, case, atlas, network) for item in _items(case)}
    whole = _log_odds(found.present[0])
    suspects = tuple(
        Suspect(
            cause=network.causes[j],
            to_blame=_around(float(found.to_blame[0, j]), ranges[:, j]),
            present=float(found.present[0, j]),
            prior=float(network.priors[j]),
            contributions=_contributions({k: whole[j] - v[j] for k, v in without.items()}),
        )
        for j in order.tolist()
    )
    left = _left_over(case, atlas, network, observed)
    verdict = _verdict(suspects, left)
    return Diagnosis(
        case=case,
        suspects=suspects,
        unexplained=left,
        verdict=verdict,
        sentence=_sentence(verdict, suspects, left, atlas),
    )


def _worth_naming(to_blame: Floats) -> Ints:
    """Numbers of the causes from the likeliest on, at least one."""
    order = np.argsort(-to_blame, kind="stable")
    named: Ints = order[: max(1, int((to_blame > _LEAST_BLAME).sum()))]
    return named


def _items(case: Case) -> tuple[Told | Measured, ...]:
    return (*(one for one in case.told if one.said is not Said.UNSURE), *case.measured)


def _ranges(
    atlas: Atlas, priors: Mapping[str, float] | None, observed: Observed, spread: Spread
) -> Floats:
    generator = np.random.default_rng(spread.seed)
    networks = tuple(drawn_network(atlas, generator, priors) for _ in range(spread.draws))
    ends: Floats = np.percentile(beliefs(networks, observed).to_blame, (5.0, 95.0), axis=0)
    return ends


def _around(best: float, ends: Floats) -> Interval:
    low, high = float(ends[0]), float(ends[1])
    return Interval(min(low, best), best, max(high, best))


def _log_odds(chances: Floats) -> Floats:
    held = np.clip(chances, 1e-12, 1.0 - 1e-12)
    odds: Floats = np.log(held / (1.0 - held))
    return odds


def _log_odds_without(item: Told | Measured, case: Case, atlas: Atlas, network: Network) -> Floats:
    observed = observed_in(case.without(item), atlas, network)
    return _log_odds(beliefs((network,), observed).present[0])


def _contributions(shifts: Mapping[Told | Measured, float]) -> tuple[Contribution, ...]:
    weighty = (
        Contribution(item=item, log_odds=float(shift))
        for item, shift in shifts.items()
        if abs(shift) >= _LEAST_SHIFT
    )
    return tuple(sorted(weighty, key=lambda one: -abs(one.log_odds)))


def _left_over(
    case: Case, atlas: Atlas, network: Network, observed: Observed
) -> tuple[Unexplained, ...]:
    shares = unexplained(network, observed)
    return tuple(
        Unexplained(fault=fault, share=shares[network.column(fault)])
        for fault in complaints_of(case, atlas)
    )


def _verdict(suspects: tuple[Suspect, ...], left: tuple[Unexplained, ...]) -> Verdict:
    top = suspects[0].to_blame.best
    if top < LEANING_FROM or all(one.share >= UNEXPLAINED_FROM for one in left):
        return Verdict.UNKNOWN
    return Verdict.ANSWER if top >= ANSWER_FROM else Verdict.LEANING


def _sentence(
    verdict: Verdict,
    suspects: tuple[Suspect, ...],
    left: tuple[Unexplained, ...],
    atlas: Atlas,
) -> str:
    first = suspects[0]
    name = atlas.causes[first.cause].name
    chance = f"{100 * first.to_blame.best:.0f} %"
    strange = [one for one in left if one.share >= UNEXPLAINED_FROM]
    if verdict is Verdict.UNKNOWN and len(strange) == len(left):
        return said(
            "I do not know: what you see is more likely due to something that is not in my "
            "list than to anything in it ({share} % or more).",
            share=f"{100 * min(one.share for one in left):.0f}",
        )
    if verdict is Verdict.UNKNOWN:
        return said(
            "I do not know yet: no cause stands out; the first is only at {chance}: {name}.",
            chance=chance,
            name=name,
        )
    if verdict is Verdict.ANSWER:
        answer = said("Most likely: {name} ({chance}).", name=name, chance=chance)
    else:
        answer = said(
            "I lean towards this: {name} ({chance}); a check would tell.", name=name, chance=chance
        )
    for one in strange:
        answer = said(
            "{answer} {fault}: this stays unexplained ({share} %).",
            answer=answer,
            fault=atlas.faults[one.fault].name,
            share=f"{100 * one.share:.0f}",
        )
    return answer
