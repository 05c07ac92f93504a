"""Cases drawn from the network: what was wrong, and what a person would then say.

The network a case is drawn from is itself drawn within the ranges of the atlas's words, so that the
one that diagnoses is never quite the true one. A fault's answer carries the noise of noticing and
imagining (it is in the links and leaks); many answers are missing.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools
from tankside.diagnosis.atlas import Atlas
from tankside.diagnosis.evidence import Case, Said, Told
from tankside.diagnosis.network import Network, drawn_network, network_of


@dataclass(frozen=True, kw_only=True)
class Trouble:
    """A drawn case: causes present (causes,), all answers a person would give (findings,), and
    which cause brought which finding about (causes, findings)."""

    present: Bools
    answers: Bools
    brought: Bools

    def to_blame(self, complaints: tuple[int, ...]) -> Bools:
        """Causes that brought at least one of these findings about."""
        blamed: Bools = self.brought[:, list(complaints)].any(axis=1)
        return blamed


def drawn_trouble(network: Network, generator: np.random.Generator) -> Trouble:
    """One draw of everything; nothing needs to be wrong."""
    present = generator.random(len(network.causes)) < network.priors
    fires = generator.random(network.links.shape) < network.links
    brought = fires & present[:, None]
    leaked = generator.random(len(network.findings)) < network.leaks
    return Trouble(present=present, answers=brought.any(axis=0) | leaked, brought=brought)


def troubles(atlas: Atlas, count: int, seed: int, *, misjudged: bool = True) -> list[Trouble]:
    """`count` cases with at least one fault seen, each from a network of its own where
    `misjudged`, else all from the atlas's best one."""
    generator = np.random.default_rng(seed)
    faults = len(atlas.faults)
    networks = [
        drawn_network(atlas, generator) if misjudged else network_of(atlas) for _ in range(25)
    ]
    found: list[Trouble] = []
    while len(found) < count:
        trouble = drawn_trouble(networks[len(found) % len(networks)], generator)
        if trouble.answers[:faults].any():
            found.append(trouble)
    return found


def told_in_part(
    trouble: Trouble,
    network: Network,
    atlas: Atlas,
    generator: np.random.Generator,
    *,
    looked: float,
    checked: float,
) -> Case | None:
    """The case as told: each fault is answered with the chance `looked`, each check with `checked`,
    whatever the answer; None where no fault that is seen was told."""
    faults = len(atlas.faults)
    chance = np.where(np.arange(len(network.findings)) < faults, looked, checked)
    given = generator.random(len(chance)) < chance
    if not (trouble.answers[:faults] & given[:faults]).any():
        return None
    return Case(
        told=tuple(
            Told(finding=name, said=Said.YES if trouble.answers[k] else Said.NO)
            for k, name in enumerate(network.findings)
            if given[k]
        )
    )
