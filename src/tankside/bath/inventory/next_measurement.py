"""Which measurement is worth most: how much less often one would decide wrongly after it.

The decision on each quantity is "inside its window, or not", now or at a forecast's horizon.
Deciding by the likelier side errs with min(p, 1 - p). A measurement narrows the posterior by a
known amount and moves its mean by an unknown one; the expected error after it is that minimum
averaged over where the mean may go. The worth is the drop, summed over the quantities.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.bath.inventory.bath_estimate import BathEstimate, inside, place_of, quantities_of
from tankside.bath.inventory.forecast import Forecast
from tankside.bath.inventory.readings import Reading, expected
from tankside.bath.inventory.windows import Windows

_NODES = np.linspace(-5.0, 5.0, 401)
_WEIGHTS = np.exp(-0.5 * _NODES**2) / np.exp(-0.5 * _NODES**2).sum()


@dataclass(frozen=True, slots=True, kw_only=True)
class Possible:
    """A measurement that could be made: what, how well, and what it takes.

    quantity   copper, sulfuric_acid, chloride, density, conductivity or volume
    std        standard deviation of one result [the quantity's SI unit]
    minutes    of work
    cost       of what is used up, in the shop's currency
    """

    quantity: str
    std: float
    minutes: float
    cost: float = 0.0

    def __post_init__(self) -> None:
        if not (self.std > 0.0 and self.minutes > 0.0 and self.cost >= 0.0):
            raise BadInput(
                "a measurement has an error and takes time, both above zero", where=self.quantity
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """What a measurement is worth.

    fewer_errors   drop of the expected number of wrong decisions [-]
    narrowed       share of each windowed quantity's variance that it takes away [-]
    per_minute, per_cost   `fewer_errors` by minute and by cost; no cost gives None
    """

    measurement: Possible
    fewer_errors: float
    narrowed: dict[str, float]
    per_minute: float
    per_cost: float | None


def most_worth(
    estimate: BathEstimate,
    windows: Windows,
    possible: Sequence[Possible],
    *,
    ahead: Forecast | None = None,
) -> tuple[Worth, ...]:
    """Each measurement's worth for the decision now, or at the horizon of a forecast; best first.

    Sorted by worth per minute; where no decision is open, by what it narrows. OutsideValidity where
    the conductivity law does not reach the bath.
    """
    shop, state, covariance = estimate.shop, estimate.state, estimate.state_covariance
    if ahead is None:
        mean, spread, slope = quantities_of(state, covariance, shop.priors.temperature)
        stds = np.sqrt(np.maximum(np.diag(spread), 0.0))
    else:
        shop, state, covariance = ahead.shop, ahead.state, ahead.covariance
        mean, stds, slope = ahead.mean[-1], ahead.std[-1], ahead.sensitivity
    found = []
    for one in possible:
        reading = Reading(
            event="", at=estimate.at, quantity=one.quantity, value=0.0, std=one.std,
            temperature=shop.priors.temperature,
        )  # fmt: skip
        _, by_state = expected(reading, state, shop)
        cross = covariance @ by_state
        pulled = (slope @ cross) ** 2 / (float(by_state @ cross) + one.std**2)
        found.append(_worth(one, windows, mean, stds, pulled))
    return tuple(sorted(found, key=_rank))


def _rank(worth: Worth) -> tuple[float, float]:
    narrowed = sum(worth.narrowed.values()) / worth.measurement.minutes
    return -round(worth.per_minute, 6), -narrowed


def _worth(one: Possible, windows: Windows, mean: Floats, stds: Floats, pulled: Floats) -> Worth:
    fewer, narrowed = 0.0, {}
    for name, ends in windows.items():
        place = place_of(name)
        std, gone = float(stds[place]), float(pulled[place])
        narrowed[name] = gone / std**2 if std > 0.0 else 0.0
        fewer += wrong_before(float(mean[place]), std, ends) - wrong_after(
            float(mean[place]), std, gone, ends
        )
    return Worth(
        measurement=one,
        fewer_errors=max(fewer, 0.0),
        narrowed=narrowed,
        per_minute=max(fewer, 0.0) / one.minutes,
        per_cost=max(fewer, 0.0) / one.cost if one.cost > 0.0 else None,
    )


def wrong_before(mean: float, std: float, ends: tuple[float, float]) -> float:
    """Probability that the likelier of "inside" and "outside" is wrong [-]."""
    probability = inside(mean, std, *ends)
    return min(probability, 1.0 - probability)


def wrong_after(mean: float, std: float, gone: float, ends: tuple[float, float]) -> float:
    """The same, expected after a measurement that takes `gone` from the variance."""
    left, moved = max(std**2 - gone, 0.0) ** 0.5, gone**0.5
    return float(
        sum(
            weight * wrong_before(mean + moved * float(node), left, ends)
            for node, weight in zip(_NODES, _WEIGHTS, strict=True)
        )
    )
