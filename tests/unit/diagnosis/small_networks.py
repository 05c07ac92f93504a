"""Small random networks, and the answer by walking every combination of causes."""

import itertools
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.diagnosis.inference import Observed
from tankside.diagnosis.network import Network


def random_network(generator: np.random.Generator, causes: int, findings: int) -> Network:
    """Priors, links and leaks over their whole ranges; about a third of the links are absent."""
    links = generator.uniform(0.0, 0.98, (causes, findings))
    return Network(
        causes=tuple(f"c{k}" for k in range(causes)),
        findings=tuple(f"f{k}" for k in range(findings)),
        priors=generator.uniform(0.001, 0.6, causes),
        links=links * (generator.random(links.shape) < 0.65),
        leaks=generator.uniform(0.0005, 0.3, findings),
    )


def random_evidence(generator: np.random.Generator, network: Network) -> Observed:
    """Each finding is a firm or soft yes, a no, silent, or unknown; complaints and checks mixed."""
    kinds = generator.integers(0, 5, len(network.findings))
    positive = tuple(np.flatnonzero((kinds == 0) | (kinds == 1)).tolist())
    return Observed(
        positive=positive,
        slack=tuple(float(generator.choice([0.0, 0.25])) for _ in positive),
        complaints=tuple(bool(generator.integers(0, 2)) for _ in positive),
        negative=tuple(np.flatnonzero(kinds == 2).tolist()),
        odds=generator.uniform(0.05, 20.0, len(network.causes)),
        silent=tuple(np.flatnonzero(kinds == 3).tolist()),
        mentioned=0.5,
    )


@dataclass(frozen=True, kw_only=True)
class Enumerated:
    """What walking all combinations gives: present and to_blame (causes,), the log of the weight of
    the evidence, and the share of each complaint that no cause brought about."""

    present: Floats
    to_blame: Floats
    log_evidence: float
    unexplained: dict[int, float]


def enumerated(network: Network, observed: Observed) -> Enumerated:
    """By definition: every combination of causes, weighed, with nothing clever."""
    count = len(network.causes)
    total, present, blamed = 0.0, np.zeros(count), np.zeros(count)
    alone = dict.fromkeys(_complaints(observed), 0.0)
    for combination in itertools.product((0, 1), repeat=count):
        on = np.array(combination)
        weight = _weight(network, observed, on)
        likely = _likelihood(network, observed, on, np.ones(count))
        total += weight * likely
        present += weight * likely * on
        for cause in np.flatnonzero(on):
            quiet = np.prod([1.0 - network.links[cause, k] for k in _complaints(observed)])
            idle = _likelihood(network, observed, on, np.arange(count) != cause)
            blamed[cause] += weight * (likely - quiet * idle)
        for k in alone:
            alone[k] += weight * _by_leak_only(network, observed, on, k)
    return Enumerated(
        present=present / total,
        to_blame=blamed / total,
        log_evidence=float(np.log(total)),
        unexplained={k: share / total for k, share in alone.items()},
    )


def _complaints(observed: Observed) -> list[int]:
    return [k for k, one in zip(observed.positive, observed.complaints, strict=True) if one]


def _weight(network: Network, observed: Observed, on: Floats) -> float:
    """Prior, numbers, negatives and silence."""
    weight = np.prod(np.where(on, network.priors * observed.odds, 1.0 - network.priors))
    for k in observed.negative:
        weight *= _absent(network, on, k)
    for k in observed.silent:
        kept = 1.0 - observed.mentioned * network.links[:, k] * on
        weight *= (1.0 - observed.mentioned * network.leaks[k]) * np.prod(kept)
    return float(weight)


def _absent(network: Network, on: Floats, k: int) -> float:
    return float((1.0 - network.leaks[k]) * np.prod(1.0 - network.links[:, k] * on))


def _likelihood(network: Network, observed: Observed, on: Floats, active: Floats) -> float:
    """Chance of all positives, where causes that are not `active` bring no complaint about."""
    chance = 1.0
    for place, k in enumerate(observed.positive):
        still = on * active if observed.complaints[place] else on
        absent = _absent(network, still, k)
        chance *= (1.0 - absent) + observed.slack[place] * absent
    return chance


def _by_leak_only(network: Network, observed: Observed, on: Floats, complaint: int) -> float:
    """As `_likelihood`, with no cause bringing this one complaint about."""
    chance = 1.0
    for place, k in enumerate(observed.positive):
        absent, slack = _absent(network, on, k), observed.slack[place]
        if k == complaint:
            leak = network.leaks[k]
            chance *= np.prod(1.0 - network.links[:, k] * on) * (leak + slack * (1.0 - leak))
        else:
            chance *= (1.0 - absent) + slack * absent
    return float(chance)
