"""Exact inference in the two-layer noisy-or network, several causes at once.

Negative findings fall apart into a factor for each cause, and so does a check's yes that only one
cause can bring about. The other positives couple the causes, so the causes are passed one by one
over the 2^k sets of positive findings that are "already brought about": a present cause turns each
finding on with its link's chance, an absent one none. Forward and backward over the causes gives
every cause's posterior at once. Only products and sums of chances occur, so nothing cancels,
however small the chance of the evidence (the usual inclusion and exclusion over the positive
findings does cancel). Cost: links x 2^k; k is held to MOST_POSITIVE.

A soft positive (a "slight" yes) is a positive whose unfinished sets keep the weight `slack`. What a
person did not name unasked is a weak negative: its links and leak are scaled by the chance that it
would have been named.

Besides "present", a cause can be "to blame": present, and active in at least one of the complaints.
A bath that is known to be cold is present for sure, yet seldom to blame for paint that peels.

Sources: Heckerman, A tractable inference algorithm for diagnosing multiple diseases, UAI 1989, for
the split into negative and positive findings (from memory); the passing over sets is our own, held
to enumeration and to a general library in the tests.
"""

from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.diagnosis.network import Network

_Item = TypeVar("_Item")

MOST_POSITIVE = 16
"""Coupling positives at once: 2^16 sets take a tenth of a second, and no one names as many."""

_CELLS = 1 << 18
"""Numbers held at once for one cause and all networks or candidates of a batch."""


@dataclass(frozen=True, kw_only=True)
class Observed:
    """What is known: numbers of findings that are there and are not.

    positive    findings that are there, in any order
    slack       weight of each positive if nothing brought it about, 0 for a firm yes
    complaints  which of the positives are complaints (True) and which are checks' answers
    negative    findings that are not there
    odds        factor on the odds of each cause (causes,), from numbers measured
    silent      findings that were not named by one who named others unasked
    mentioned   chance that one of those would have been named, were it there [-]
    """

    positive: tuple[int, ...]
    slack: tuple[float, ...]
    complaints: tuple[bool, ...]
    negative: tuple[int, ...]
    odds: Floats
    silent: tuple[int, ...] = ()
    mentioned: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Beliefs:
    """Posterior chances, each (batch, causes): cause present; cause to blame for a complaint; and
    the logarithm of the chance of all that was observed (batch,)."""

    present: Floats
    to_blame: Floats
    log_evidence: Floats


def beliefs(networks: tuple[Network, ...], observed: Observed) -> Beliefs:
    """The beliefs under each of several networks of one shape."""
    coupling = len(_coupling(networks[0], observed))
    if coupling > MOST_POSITIVE:
        raise BadInput(
            "{coupling} yes-answers that share causes are more than {most_positive} that can be "
            "weighed together; name the faults that trouble you most",
            coupling=coupling,
            most_positive=MOST_POSITIVE,
        )
    step = max(1, _CELLS >> coupling)
    parts = [_beliefs(networks[k : k + step], observed) for k in range(0, len(networks), step)]
    return Beliefs(
        present=np.concatenate([part.present for part in parts]),
        to_blame=np.concatenate([part.to_blame for part in parts]),
        log_evidence=np.concatenate([part.log_evidence for part in parts]),
    )


def beliefs_without(network: Network, observed: Observed, candidates: tuple[int, ...]) -> Beliefs:
    """For each candidate finding (batch): the beliefs if it turns out not to be there.

    `log_evidence` then holds the chance of the evidence and of that no together.
    """
    on, off = _cause_weights(network, observed)
    columns = list(candidates)
    known = np.isin(columns, observed.silent) * observed.mentioned
    links, leaks = network.links[:, columns].T, network.leaks[columns]
    passed = (1.0 - links) / (1.0 - known[:, None] * links)
    return _passed(
        on * passed,
        np.broadcast_to(off, passed.shape),
        _Positive.of(network, observed),
        np.log1p(-leaks) - np.log1p(-known * leaks) + _log_fixed(network, observed),
    )


def unexplained(network: Network, observed: Observed) -> dict[int, float]:
    """For each complaint, by its number: the chance that no cause of the network brought it
    about."""
    whole = beliefs((network,), observed).log_evidence[0]
    shares = {}
    for k in np.flatnonzero(observed.complaints).tolist():
        finding = observed.positive[k]
        rest = replace(
            observed,
            positive=_left_out(observed.positive, k),
            slack=_left_out(observed.slack, k),
            complaints=_left_out(observed.complaints, k),
        )
        none = beliefs_without(network, rest, (finding,)).log_evidence[0]
        leak, slack = network.leaks[finding], observed.slack[k]
        by_leak = leak + slack * (1.0 - leak)
        share = float(np.exp(none - np.log1p(-leak) - whole)) * by_leak
        shares[finding] = min(share, 1.0)
    return shares


def _left_out(values: tuple[_Item, ...], place: int) -> tuple[_Item, ...]:
    return values[:place] + values[place + 1 :]


@dataclass(frozen=True, kw_only=True)
class _Positive:
    """What couples: links (batch or 1, causes, k), leaks (batch or 1, k), end weights (2^k,)."""

    links: Floats
    leaks: Floats
    ends: Floats
    complaints: tuple[bool, ...]

    @classmethod
    def of(cls, network: Network, observed: Observed) -> "_Positive":
        coupling = _coupling(network, observed)
        columns = [observed.positive[k] for k in coupling]
        ends = np.ones(1)
        for k in coupling:
            ends = np.concatenate([ends * observed.slack[k], ends])
        return cls(
            links=network.links[None][:, :, columns],
            leaks=network.leaks[None][:, columns],
            ends=ends,
            complaints=tuple(observed.complaints[k] for k in coupling),
        )


def _beliefs(networks: tuple[Network, ...], observed: Observed) -> Beliefs:
    each = [_cause_weights(network, observed) for network in networks]
    positives = [_Positive.of(network, observed) for network in networks]
    together = _Positive(
        links=np.concatenate([one.links for one in positives]),
        leaks=np.concatenate([one.leaks for one in positives]),
        ends=positives[0].ends,
        complaints=positives[0].complaints,
    )
    fixed = np.array([_log_fixed(network, observed) for network in networks])
    return _passed(
        np.stack([on for on, _ in each]), np.stack([off for _, off in each]), together, fixed
    )


def _cause_weights(network: Network, observed: Observed) -> tuple[Floats, Floats]:
    """Weight of each cause being present and absent, with all that does not couple causes: negative
    findings, lone checks and measured numbers."""
    on = network.priors * observed.odds
    on = on * np.prod(1.0 - network.links[:, list(observed.negative)], axis=1)
    on *= np.prod(1.0 - observed.mentioned * network.links[:, list(observed.silent)], axis=1)
    off = 1.0 - network.priors
    for k in _lone(network, observed):
        finding, slack = observed.positive[k], observed.slack[k]
        idle = (1.0 - network.leaks[finding]) * (1.0 - slack)
        cause = int(np.argmax(network.links[:, finding]))
        on[cause] *= 1.0 - idle * (1.0 - network.links[cause, finding])
        off[cause] *= 1.0 - idle
    return on, off


def _coupling(network: Network, observed: Observed) -> list[int]:
    """Places of the positives that more than one cause can bring about, and of all complaints."""
    parents = np.count_nonzero(network.links[:, list(observed.positive)], axis=0)
    return [k for k, one in enumerate(observed.complaints) if one or parents[k] != 1]


def _lone(network: Network, observed: Observed) -> list[int]:
    """Places of the checks' yeses that one cause alone can bring about."""
    coupling = set(_coupling(network, observed))
    return [k for k in range(len(observed.positive)) if k not in coupling]


def _log_fixed(network: Network, observed: Observed) -> float:
    """Log weight of the leaks holding still of what is not there or was not named."""
    negative = np.log1p(-network.leaks[list(observed.negative)]).sum()
    silent = np.log1p(-observed.mentioned * network.leaks[list(observed.silent)]).sum()
    return float(negative + silent)


def _passed(on: Floats, off: Floats, positive: _Positive, log_fixed: Floats) -> Beliefs:
    total = on + off
    chance = on / total
    relevant = np.flatnonzero((positive.links > 0.0).any(axis=(0, 2)))
    sets = _leak_sets(positive.leaks, len(chance))
    before = []
    for j in relevant:
        before.append(sets)
        share = chance[:, j, None]
        sets = sets * (1.0 - share) + _activated(sets * share, positive.links[:, j])
    evidence = sets @ positive.ends
    present, to_blame = chance.copy(), np.zeros_like(chance)
    ahead = np.broadcast_to(positive.ends, sets.shape)
    for j, sets in zip(relevant[::-1], reversed(before), strict=True):
        links, share = positive.links[:, j], chance[:, j]
        reached = _expected(ahead, links)
        present[:, j] = share * (sets * reached).sum(axis=1) / evidence
        idle, quiet = _without_complaints(links, positive.complaints)
        idly = share * quiet * (sets * _expected(ahead, idle)).sum(axis=1) / evidence
        to_blame[:, j] = np.maximum(present[:, j] - idly, 0.0)
        ahead = ahead * (1.0 - share[:, None]) + reached * share[:, None]
    return Beliefs(
        present=present,
        to_blame=to_blame,
        log_evidence=np.log(evidence) + np.log(total).sum(axis=1) + log_fixed,
    )


def _leak_sets(leaks: Floats, batch: int) -> Floats:
    """Chance of each set of positives being brought about by leaks alone (batch, 2^k)."""
    sets = np.ones((len(leaks), 1))
    for k in range(leaks.shape[1]):
        leak = leaks[:, k, None]
        sets = np.concatenate([sets * (1.0 - leak), sets * leak], axis=1)
    return np.broadcast_to(sets, (batch, sets.shape[1])).copy()


def _activated(sets: Floats, links: Floats) -> Floats:
    """Sets after a present cause has turned findings on, each with its link's chance."""
    for k in range(links.shape[1]):
        if links[:, k].any():
            view = sets.reshape(len(sets), -1, 2, 1 << k)
            moved = view[:, :, 0] * links[:, k, None, None]
            view[:, :, 1] += moved
            view[:, :, 0] -= moved
    return sets


def _expected(ends: Floats, links: Floats) -> Floats:
    """The adjoint of `_activated`: what a set is worth ahead of a present cause."""
    worth = ends.copy()
    for k in range(links.shape[1]):
        if links[:, k].any():
            view = worth.reshape(len(worth), -1, 2, 1 << k)
            view[:, :, 0] += (view[:, :, 1] - view[:, :, 0]) * links[:, k, None, None]
    return worth


def _without_complaints(links: Floats, complaints: tuple[bool, ...]) -> tuple[Floats, Floats]:
    """A cause's links without those to complaints, and the chance that all of those stay idle."""
    mask = np.array(complaints, dtype=bool)
    return np.where(mask, 0.0, links), np.prod(1.0 - np.where(mask, links, 0.0), axis=1)
