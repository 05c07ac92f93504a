"""What this shop's cell really is, learned from what it measures.

A bath's properties are known from tables only within factors. Each factor's logarithm is taken as
normal before; every test or audit that a model can predict narrows it. The answer is the most
probable point, found by Gauss and Newton's method on the squares, with the covariance of Laplace's
approximation there; with linear models it is exact. Tests that contradict what was believed are
named, not averaged away in silence.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import exp, log

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.errors import BadInput, NotConverged, UnknownName
from tankside.base.intervals import NINE_IN_TEN, Interval

SURPRISING = 0.01
"""Chance below which a test is named as contradicting what was believed: our judgement."""

_STEP, _MOST_ROUNDS, _SETTLED = 1e-4, 50, 1e-5


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """What is believed of a shop: factors on the tables' values, as logarithms.

    names        what each multiplies, such as "conductivity"
    mean         of the logarithms (n,) [-]
    covariance   (n, n) [-]
    """

    names: tuple[str, ...]
    mean: Floats
    covariance: Floats

    def __post_init__(self) -> None:
        count = len(self.names)
        if self.mean.shape != (count,) or self.covariance.shape != (count, count):
            raise BadInput(
                "{count} factors need as many means and a square of covariances", count=count
            )
        object.__setattr__(self, "mean", frozen_floats(self.mean))
        object.__setattr__(self, "covariance", frozen_floats(self.covariance))

    @classmethod
    def believed(cls, intervals: dict[str, Interval]) -> "Shop":
        """From the relative intervals that tables leave, each nine times in ten, independent."""
        for name, one in intervals.items():
            if one.low <= 0.0:
                raise BadInput("the {name} must be above zero to be known by a factor", name=name)
        deviations = [log(one.high / one.low) / (2 * NINE_IN_TEN) for one in intervals.values()]
        middles = [log(one.low * one.high) / 2 - log(one.best) for one in intervals.values()]
        return cls(
            names=tuple(intervals),
            mean=np.array(middles),
            covariance=np.diag(np.square(deviations)),
        )

    def factor(self, name: str) -> Interval:
        """The factor on a table's value [-], nine times in ten."""
        if name not in self.names:
            raise UnknownName("factor", name, self.names)
        k = self.names.index(name)
        half = NINE_IN_TEN * float(self.covariance[k, k]) ** 0.5
        mean = float(self.mean[k])
        return Interval(exp(mean - half), exp(mean), exp(mean + half))

    def applied(self, name: str, best: float) -> Interval:
        """A table's best value under this shop's factor."""
        return self.factor(name).scaled(best)


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """Something measured that a model predicts.

    name       what it was, with its date, for a person
    predicted  from the factors' logarithms (n,) to the readings (m,)
    measured   the readings (m,), in the same unit or logarithm
    error      standard deviation of each, of the reading and of the model together (m,)
    """

    name: str
    predicted: Callable[[Floats], Floats]
    measured: Floats
    error: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """The shop after, and of each observation the chance, before it was made, to lie as far from
    what was expected as it did."""

    shop: Shop
    chances: dict[str, float]

    @property
    def surprising(self) -> tuple[str, ...]:
        """Observations that contradict what was believed."""
        return tuple(name for name, chance in self.chances.items() if chance < SURPRISING)


def learned(shop: Shop, observations: Sequence[Observation]) -> Learned:
    """The shop after all observations together; NotConverged where no most probable point is
    found."""
    if not observations:
        return Learned(shop=shop, chances={})
    chances = {one.name: _chance(shop, one) for one in observations}
    precision: Floats = np.linalg.inv(shop.covariance).astype(np.float64)
    point, size = shop.mean.copy(), float("inf")
    for _ in range(_MOST_ROUNDS):
        step, information = _newton_step(shop, observations, precision, point)
        length = _length(shop, observations, precision, point, step)
        point = point + length * step
        size = float(np.abs(length * step).max())
        if size < _SETTLED:
            covariance = np.linalg.inv(information)
            after = Shop(names=shop.names, mean=point, covariance=(covariance + covariance.T) / 2)
            return Learned(shop=after, chances=chances)
    raise NotConverged(
        "the shop's most probable numbers were not found", residual=size, iterations=_MOST_ROUNDS
    )


def _newton_step(
    shop: Shop, observations: Sequence[Observation], precision: Floats, point: Floats
) -> tuple[Floats, Floats]:
    information = precision.copy()
    gradient = precision @ (shop.mean - point)
    for one in observations:
        slope = _slope(one, point) / one.error[:, None]
        information += slope.T @ slope
        gradient += slope.T @ ((one.measured - one.predicted(point)) / one.error)
    step: Floats = np.linalg.solve(information, gradient).astype(np.float64)
    return step, information


def _length(
    shop: Shop, observations: Sequence[Observation], precision: Floats, point: Floats, step: Floats
) -> float:
    """The longest of the steps 1, 1/2, 1/4 ... that does not raise the sum of squares."""
    before = _squares(shop, observations, precision, point)
    length = 1.0
    while length > 1e-4:
        if _squares(shop, observations, precision, point + length * step) <= before * (1 + 1e-12):
            return length
        length /= 2
    return 0.0


def _squares(
    shop: Shop, observations: Sequence[Observation], precision: Floats, point: Floats
) -> float:
    away = point - shop.mean
    total = float(away @ precision @ away)
    for one in observations:
        total += float(np.square((one.measured - one.predicted(point)) / one.error).sum())
    return total


def _slope(one: Observation, point: Floats) -> Floats:
    """d predicted / d factors (m, n), by central differences."""
    columns = []
    for k in range(len(point)):
        step = np.zeros(len(point))
        step[k] = _STEP
        columns.append((one.predicted(point + step) - one.predicted(point - step)) / (2 * _STEP))
    return np.stack(columns, axis=1)


def _chance(shop: Shop, one: Observation) -> float:
    slope = _slope(one, shop.mean)
    spread = slope @ shop.covariance @ slope.T + np.diag(np.square(one.error))
    missed = one.measured - one.predicted(shop.mean)
    from scipy.stats import chi2  # a server's start need not wait for it

    return float(chi2.sf(missed @ np.linalg.solve(spread, missed), len(missed)))
