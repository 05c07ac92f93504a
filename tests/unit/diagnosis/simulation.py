"""Cases drawn from the network: what was wrong, and what a person would then say.

The network a case is drawn from is itself drawn within the ranges of the atlas's words, so that the
one that diagnoses is never quite the true one. A fault's answer carries the noise of noticing and
imagining (it is in the links and leaks); many answers are missing, some are "unsure".

    python -m tests.unit.diagnosis.simulation 1000     the order of checks, over that many cases
"""

import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools
from tankside.diagnosis.atlas import Atlas
from tankside.diagnosis.diagnosis import ANSWER_FROM
from tankside.diagnosis.evidence import Case, Said, Told, complaints_of, observed_in
from tankside.diagnosis.inference import beliefs
from tankside.diagnosis.loading import atlas as held_atlas
from tankside.diagnosis.network import Network, drawn_network, network_of
from tankside.diagnosis.next_check import effort_of, proposals, works_done

NAMED_UNASKED = 0.7
"""Share of the faults there are that a simulated person names by themselves."""

UNSURE = 0.1
"""Share of questions that a simulated person cannot answer."""

NETWORKS = 25
"""Networks that the cases of one batch are drawn from."""


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


def troubles(atlas: Atlas, count: int, seed: int) -> list[Trouble]:
    """`count` cases with at least one fault seen, each from one of NETWORKS drawn networks."""
    generator = np.random.default_rng(seed)
    networks = [drawn_network(atlas, generator) for _ in range(NETWORKS)]
    found: list[Trouble] = []
    while len(found) < count:
        trouble = drawn_trouble(networks[len(found) % NETWORKS], generator)
        if trouble.answers[: len(atlas.faults)].any():
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


def named_unasked(
    trouble: Trouble, network: Network, atlas: Atlas, generator: np.random.Generator
) -> Case:
    """The case as a person begins it: some of the faults there are, at least one, and no more."""
    seen = np.flatnonzero(trouble.answers[: len(atlas.faults)])
    named = seen[generator.random(len(seen)) < NAMED_UNASKED]
    told = named if len(named) else seen[:1]
    return Case(told=tuple(Told(finding=network.findings[k]) for k in told), unasked=True)


Order = Callable[[Case], Iterator[str]]


@dataclass(frozen=True, kw_only=True)
class Course:
    """How a dialogue went: minutes of checks and looks, whether one cause reached ANSWER_FROM, the
    chance it was then given, and whether it was to blame."""

    minutes: float
    reached: bool
    believed: float
    right: bool


def played(
    trouble: Trouble,
    start: Case,
    order: Order,
    network: Network,
    atlas: Atlas,
    generator: np.random.Generator,
) -> Course:
    """Asks in this order until one cause stands out or the order has nothing more to ask."""
    unsure = generator.random(len(network.findings)) < UNSURE
    case, seconds = start, 0.0
    while True:
        chances = beliefs((network,), observed_in(case, atlas, network)).to_blame[0]
        first = int(chances.argmax())
        complaints = tuple(network.column(name) for name in complaints_of(case, atlas))
        if chances[first] >= ANSWER_FROM:
            return Course(
                minutes=seconds / 60,
                reached=True,
                believed=float(chances[first]),
                right=bool(trouble.to_blame(complaints)[first]),
            )
        asked = next(order(case), "")
        if not asked:
            return Course(
                minutes=seconds / 60, reached=False, believed=float(chances[first]), right=False
            )
        seconds += effort_of(asked, atlas, works_done(case, atlas))
        k = network.column(asked)
        said = Said.YES if trouble.answers[k] else Said.NO
        case = case.added(Told(finding=asked, said=Said.UNSURE if unsure[k] else said))


def by_information(network: Network, atlas: Atlas) -> Order:
    """The proposed order, as long as anything is to be learned."""

    def order(case: Case) -> Iterator[str]:
        best = proposals(case, atlas, network)
        return iter([best[0].finding] if best and best[0].information > 1e-4 else [])

    return order


def fixed(names: list[str], atlas: Atlas) -> Order:
    """A fixed list, of which only those are asked that share a cause with a complaint: what a
    careful person with a checklist would do."""
    causes: dict[str, set[str]] = {}
    for link in atlas.links:
        causes.setdefault(link.finding, set()).add(link.cause)

    def order(case: Case) -> Iterator[str]:
        suspects = set().union(*(causes[name] for name in complaints_of(case, atlas)))
        answered = {one.finding for one in case.told}
        return (name for name in names if name not in answered and causes[name] & suspects)

    return order


def cheapest_first(atlas: Atlas) -> list[str]:
    """All checks, the quickest first."""
    return sorted(atlas.checks, key=lambda name: atlas.checks[name].effort)


def compared(count: int, seed: int) -> dict[str, list[Course]]:
    """The same cases played in the proposed order and in two fixed ones."""
    atlas = held_atlas()
    network = network_of(atlas)
    orders = {
        "proposed": by_information(network, atlas),
        "cheapest first": fixed(cheapest_first(atlas), atlas),
        "as listed": fixed(list(atlas.checks), atlas),
    }
    courses: dict[str, list[Course]] = {name: [] for name in orders}
    for number, trouble in enumerate(troubles(atlas, count, seed)):
        start = named_unasked(trouble, network, atlas, np.random.default_rng((seed, number)))
        for name, order in orders.items():
            generator = np.random.default_rng((seed, number, 1))
            courses[name].append(played(trouble, start, order, network, atlas, generator))
    return courses


def saved(courses: dict[str, list[Course]], other: str) -> float:
    """Share of the minutes saved by the proposed order, over the cases in which both reach an
    answer."""
    both = [
        (mine.minutes, theirs.minutes)
        for mine, theirs in zip(courses["proposed"], courses[other], strict=True)
        if mine.reached and theirs.reached
    ]
    return 1.0 - sum(mine for mine, _ in both) / sum(theirs for _, theirs in both)


def main(count: int) -> None:
    """Prints what each order takes."""
    courses = compared(count, seed=11)
    for name, played_out in courses.items():
        minutes = np.array([one.minutes for one in played_out])
        reached = [one for one in played_out if one.reached]
        right = np.mean([one.right for one in reached])
        believed = np.mean([one.believed for one in reached])
        sys.stdout.write(
            f"{name:<16} mean {minutes.mean():6.1f} min, median {np.median(minutes):6.1f}, "
            f"reached {len(reached) / count:.3f}, right {right:.3f}, believed {believed:.3f}, "
            f"saved {saved(courses, name):.2f}\n"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]))
