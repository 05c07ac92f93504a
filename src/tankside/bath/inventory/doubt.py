"""Which readings are grossly wrong: evidence from all the others.

A reading is sound with its own variance r, or gross, with a small prior probability, with r times
the square of `gross_size`. Both are weighed by the density of its left-out miss (smoothing.py). The
worst reading of its neighbourhood is set aside first, all are weighed anew, and one that turns
out to fit is taken back: so a bad titration does not drag its sound neighbours along.
"""

from math import log

import numpy as np

from tankside.base.arrays import Floats
from tankside.bath.inventory.priors import Priors
from tankside.bath.inventory.smoothing import Link, Smoothed, smoothed

_NEIGHBOURS = 8
"""Readings on each side among which only the worst is set aside at a time."""

_MOST_TURNS = 25

_NEARLY = log(20.0)
"""Logarithm of odds within which two readings are suspected alike: one in twenty."""


def settled(
    chain: list[Link], start: Floats, covariance: Floats, variances: Floats, priors: Priors
) -> tuple[Smoothed, frozenset[int], Floats]:
    """The chain smoothed with gross readings set aside; which those are; the variances used."""
    gross: frozenset[int] = frozenset()
    seen: set[frozenset[int]] = set()
    wide = priors.best("gross_size") ** 2
    for _ in range(_MOST_TURNS):
        used = variances.copy()
        used[list(gross)] *= wide
        found = smoothed(chain, start, covariance, used)
        seen.add(gross)
        turned = _turned(evidence_of_gross(found, variances, used, priors), gross)
        if turned in seen:
            break
        gross = turned
    return found, gross, used


def rivals(
    chain: list[Link],
    start: Floats,
    covariance: Floats,
    variances: Floats,
    gross: frozenset[int],
    priors: Priors,
) -> dict[int, tuple[int, ...]]:
    """For each reading set aside, the others that may be the wrong one in its stead.

    Those are readings which, were it taken at its word, would be nearly as suspect as itself.
    """
    found = {}
    for one in sorted(gross):
        used = variances.copy()
        used[list(gross - {one})] *= priors.best("gross_size") ** 2
        trial = smoothed(chain, start, covariance, used)
        evidence = evidence_of_gross(trial, variances, used, priors)
        near = evidence > max(0.0, float(evidence[one]) - _NEARLY)
        found[one] = tuple(int(x) for x in np.flatnonzero(near) if x not in gross)
    return found


def doubts(found: Smoothed, variances: Floats, used: Floats, priors: Priors) -> Floats:
    """Probability that each reading is grossly wrong [-]."""
    evidence = evidence_of_gross(found, variances, used, priors)
    return np.asarray(0.5 * (1.0 + np.tanh(0.5 * evidence)))


def evidence_of_gross(found: Smoothed, variances: Floats, used: Floats, priors: Priors) -> Floats:
    """Logarithm of the odds that each reading is gross, given all others."""
    share = priors.best("gross_share")
    predicted = np.maximum(found.spreads**2 - used, 0.0)
    sound = predicted + variances
    gross = predicted + variances * priors.best("gross_size") ** 2
    odds = 0.5 * np.log(sound / gross) + 0.5 * found.misses**2 * (1.0 / sound - 1.0 / gross)
    return np.asarray(log(share / (1.0 - share)) + odds)


def _turned(evidence: Floats, gross: frozenset[int]) -> frozenset[int]:
    """Those set aside next: fitting ones taken back, the worst of each neighbourhood added."""
    kept = {one for one in gross if evidence[one] > 0.0}
    if kept != gross:
        return frozenset(kept)
    open_evidence = evidence.copy()
    open_evidence[list(gross)] = -np.inf
    worst = {
        one
        for one in np.flatnonzero(open_evidence > 0.0)
        if open_evidence[one]
        >= np.max(open_evidence[max(one - _NEIGHBOURS, 0) : one + _NEIGHBOURS + 1])
    }
    return frozenset(kept | {int(one) for one in worst})
