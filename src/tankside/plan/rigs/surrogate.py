"""A cheap guess of a rig's cost from those that were tried: radial basis functions over features.

It only chooses which candidates are worth an evaluation; no number of it reaches a person.
"""

from collections.abc import Callable

import numpy as np

from tankside.base.arrays import Floats

_FEWEST = 20
"""Rigs that can be, which a guess needs."""

_NEIGHBOURS = 80

_SMOOTHING = 1e-3

_REFUSED = 0.3
"""How much worse than the worst a refused rig counts [-]."""

Choice = Callable[[Floats, int], list[int]]


def surrogate(features: Floats, costs: Floats) -> Choice:
    """From features (n, m) and costs (n,) of tried rigs, infinite where refused: a function that
    chooses, of candidates by their features (k, m), the numbers of so many promising ones, in
    their order; the first ones where too little is known."""
    known, first = np.unique(features.round(6), axis=0, return_index=True)
    costs = costs[first]
    finite = costs[np.isfinite(costs)]
    if len(finite) < _FEWEST:
        return lambda candidates, count: list(range(count))
    from scipy.interpolate import RBFInterpolator

    guess = RBFInterpolator(
        known,
        np.where(np.isfinite(costs), costs, finite.max() + _REFUSED),
        neighbors=min(_NEIGHBOURS, len(known)),
        kernel="linear",
        smoothing=_SMOOTHING,
    )

    def chosen(candidates: Floats, count: int) -> list[int]:
        best = np.argsort(guess(candidates), kind="stable")[:count]
        return sorted(int(number) for number in best)

    return chosen
