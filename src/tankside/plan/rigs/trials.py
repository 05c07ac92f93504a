"""The values of a search: its effort, what it tried, and what it is told."""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.plan.rigs.figures import RigResult


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """evaluations in all, how many are asked for together at least, a seed, and how many ways each
    freedom is screened."""

    evaluations: int = 300
    batch: int = 12
    seed: int = 1
    screened: int = 6


@dataclass(frozen=True, kw_only=True)
class Trial:
    """A design (n,), its result, where it lies among all (its features), whether it changes
    anything, and its costs: score and trouble for the goal, then for the other goals; the smaller
    the better, infinity where refused."""

    design: Floats
    result: RigResult
    features: Floats
    changes: int
    costs: tuple[float, ...]

    def __post_init__(self) -> None:
        object.__setattr__(self, "design", frozen_floats(self.design))
        object.__setattr__(self, "features", frozen_floats(self.features))

    @property
    def score(self) -> float:
        """The cost for the goal that was asked for."""
        return self.costs[0]

    def distance(self, other: "Trial") -> float:
        """How different two rigs are [-]: 1 is one freedom at its other end."""
        return float(np.linalg.norm(self.features - other.features))


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """Results of the designs that were asked for, in their order; `enough` ends the search."""

    results: tuple[RigResult, ...]
    enough: bool = False
