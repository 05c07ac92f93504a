"""A cheap guess of a rig's score from those that were tried: radial basis functions over features.

It only chooses which candidates are worth an evaluation; no number of it reaches a person.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from tankside.base.arrays import Floats
from tankside.plan.rigs.space import DesignSpace

_FEWEST = 20
"""Trials that a guess needs."""

_NEIGHBOURS = 80

_SMOOTHING = 1e-3

_REFUSED = 0.3
"""How much worse than the worst a refused rig counts [-]."""


@dataclass(frozen=True, kw_only=True)
class Surrogate:
    """The guess, or None where too few were tried."""

    space: DesignSpace
    guess: Any | None

    @classmethod
    def of(cls, space: DesignSpace, tried: Sequence[tuple[Floats, float]]) -> "Surrogate":
        """Through designs (n,) and their scores; a refused one counts as worse than the worst."""
        from scipy.interpolate import RBFInterpolator

        known = {
            space.features(design).round(6).tobytes(): (design, score) for design, score in tried
        }
        scores = np.array([score for _, score in known.values()])
        finite = scores[np.isfinite(scores)]
        if len(finite) < _FEWEST:
            return cls(space=space, guess=None)
        scores = np.where(np.isfinite(scores), scores, finite.max() + _REFUSED)
        places = np.array([space.features(design) for design, _ in known.values()])
        guess = RBFInterpolator(
            places,
            scores,
            neighbors=min(_NEIGHBOURS, len(places)),
            kernel="linear",
            smoothing=_SMOOTHING,
        )
        return cls(space=space, guess=guess)

    def chosen(self, designs: Sequence[Floats], count: int) -> list[int]:
        """The numbers of the `count` most promising designs, in their order."""
        if self.guess is None:
            return list(range(count))
        scores = self.guess(np.array([self.space.features(design) for design in designs]))
        return sorted(np.argsort(scores, kind="stable")[:count].tolist())
