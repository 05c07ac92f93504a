"""Which of many tried rigs come back: the front that none beats, and a few good and different ones.

Non-dominated: no other rig is at least as good on every axis and better on one. Good: within about
12 % of the best, or with half of its gain over the own rig. Different: taken one after the other,
each the one that lies farthest from those already taken, as long as that is `apart` at least.
"""

from collections.abc import Callable, Sequence

import numpy as np

from tankside.base.arrays import Bools, Floats

GOOD_WITHIN = 0.12
"""A rig that comes back may score this much worse than the best in any case [-], so about 12 %: our
choice."""

APART = 0.25
"""Least difference of two rigs that come back [-]: a quarter of one freedom's range: our choice."""


def non_dominated(costs: Floats) -> Bools:
    """True for each row (n, m) that no other row beats; the smaller the better."""
    kept = np.ones(len(costs), dtype=bool)
    for number, row in enumerate(costs):
        beaten_by = (costs <= row).all(axis=1) & (costs < row).any(axis=1)
        kept[number] = not beaten_by.any()
    return kept


def allowance(best: float, own: float) -> float:
    """How much worse than the best a good rig may score [-], for the own rig's score."""
    return max(GOOD_WITHIN, (own - best) / 2)


def good_and_different(
    scores: Sequence[float],
    distance: Callable[[int, int], float],
    count: int,
    *,
    worse: float = GOOD_WITHIN,
    apart: float = APART,
) -> tuple[int, ...]:
    """Up to `count` numbers of rigs, the best first; `distance` between two by their numbers."""
    order = sorted(range(len(scores)), key=lambda number: (scores[number], number))
    good = [number for number in order if scores[number] <= scores[order[0]] + worse]
    if not good:
        return ()
    taken = [good[0]]
    nearest = {number: distance(number, taken[0]) for number in good[1:]}
    while len(taken) < count and nearest:
        number = max(nearest, key=lambda one: (nearest[one], -scores[one]))
        if nearest.pop(number) < apart:
            break
        taken.append(number)
        nearest = {one: min(old, distance(one, number)) for one, old in nearest.items()}
    return tuple(taken)


def least_distance(numbers: Sequence[int], distance: Callable[[int, int], float]) -> float:
    """How different the two most alike of some rigs are [-]; infinity for fewer than two."""
    return min(
        (distance(a, b) for k, a in enumerate(numbers) for b in numbers[:k]), default=float("inf")
    )
