"""What to look at next: the question that tells most for each minute it takes.

For every open question the two answers are played through, exactly. What is gained is the expected
fall of the uncertainty about which causes are to blame: the sum over causes of the entropy of "this
one is to blame", which is never negative in expectation. It is divided by the time that the answer
takes; a check whose making ready is already done for another takes little.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.diagnosis.atlas import Atlas
from tankside.diagnosis.evidence import Case, Said, observed_in
from tankside.diagnosis.inference import beliefs, beliefs_without
from tankside.diagnosis.network import Network

LOOK_SECONDS = 40.0
"""Time to look for one more fault when asked [s]: our guess."""

AGAIN_SECONDS = 60.0
"""Time of a check whose work was made ready for another [s]: our guess."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A question to answer next.

    finding      id of a check, or of a fault to look for
    effort       [s]
    information  expected fall of the uncertainty [bit]
    yes_chance   how likely the answer is yes [-]
    """

    finding: str
    effort: float
    information: float
    yes_chance: float

    @property
    def rate(self) -> float:
        """Information for each second [bit s⁻¹]."""
        return self.information / self.effort


def proposals(case: Case, atlas: Atlas, network: Network) -> tuple[Proposal, ...]:
    """All open questions, the best first. A question answered "unsure" is not asked again."""
    answered = {one.finding for one in case.told}
    open_ones = tuple(name for name in network.findings if name not in answered)
    if not open_ones:
        return ()
    gains, chances = _expected_gains(case, atlas, network, open_ones)
    done = works_done(case, atlas)
    found = [
        Proposal(
            finding=name,
            effort=effort_of(name, atlas, done),
            information=float(gain),
            yes_chance=float(chance),
        )
        for name, gain, chance in zip(open_ones, gains, chances, strict=True)
    ]
    return tuple(sorted(found, key=lambda one: -one.rate))


def effort_of(finding: str, atlas: Atlas, done: frozenset[str]) -> float:
    """Time to answer one question [s], given the works that are made ready.

    The quickest check of a work counts as its making ready; what another takes beyond that, such as
    the carbon before a further panel, it takes again each time.
    """
    if finding in atlas.faults:
        return LOOK_SECONDS
    check = atlas.check(finding)
    if check.work not in done:
        return check.effort
    ready = min(one.effort for one in atlas.checks.values() if one.work == check.work)
    return min(check.effort, check.effort - ready + AGAIN_SECONDS)


def works_done(case: Case, atlas: Atlas) -> frozenset[str]:
    """Works made ready by the checks that were answered."""
    return frozenset(
        atlas.checks[one.finding].work
        for one in case.told
        if one.finding in atlas.checks and one.said is not Said.UNSURE
    )


def _expected_gains(
    case: Case, atlas: Atlas, network: Network, open_ones: tuple[str, ...]
) -> tuple[Floats, Floats]:
    """Expected information [bit] and chance of yes [-] of each open question."""
    observed = observed_in(case, atlas, network)
    now = beliefs((network,), observed)
    columns = tuple(network.column(name) for name in open_ones)
    refused = beliefs_without(network, observed, columns)
    no = np.exp(refused.log_evidence - now.log_evidence[0])[:, None]
    yes = 1.0 - no
    joint = now.to_blame - no * refused.to_blame
    confirmed = np.clip(joint / np.maximum(yes, 1e-300), 0.0, 1.0)
    after = no[:, 0] * _entropy(refused.to_blame) + yes[:, 0] * _entropy(confirmed)
    return np.maximum(_entropy(now.to_blame) - after, 0.0), yes[:, 0]


def _entropy(chances: Floats) -> Floats:
    """Sum over the last axis of the entropy of yes-or-no [bit]."""
    p = np.clip(chances, 1e-15, 1.0 - 1e-15)
    total: Floats = -(p * np.log2(p) + (1.0 - p) * np.log2(1.0 - p)).sum(axis=-1)
    return total
