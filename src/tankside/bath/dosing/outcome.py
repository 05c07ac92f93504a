"""What a set of actions makes of the bath: where each quantity ends, and how surely inside.

The actions are let happen to the estimate as events of the ledger would, so that what the ledger
taught of a bottle's strength counts, and so does what a scale can tell apart.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.intervals import NINE_IN_TEN, Interval
from tankside.bath.dosing.shelf import WITHDRAWAL, Item
from tankside.bath.inventory.bath_estimate import (
    BathEstimate,
    inside,
    log_inside,
    place_of,
    quantities_of,
)
from tankside.bath.inventory.propagation import Course, Shop
from tankside.bath.inventory.shop import with_products
from tankside.bath.inventory.volumes import specific_volumes
from tankside.bath.inventory.windows import Windows

_UNIFORM = 12.0**-0.5
"""Standard deviation of a rounding over the step that it rounds to [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdraw:
    """Take out a volume of bath [m³], and keep it: it is no waste to pour away."""

    volume: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Add:
    """Put in a product: its mass [kg], and its volume [m³] where it is measured so."""

    product: str
    mass: float
    volume: float | None = None


Action = Withdraw | Add


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """The bath after the actions: QUANTITIES' mean and covariance, and the masses [kg]."""

    mean: Floats
    covariance: Floats
    masses: Floats

    def std(self, name: str) -> float:
        """Standard deviation of a quantity."""
        place = place_of(name)
        return float(max(self.covariance[place, place], 0.0) ** 0.5)

    def interval(self, name: str) -> Interval:
        """Nine in ten of a quantity, not below zero."""
        mean, half = float(self.mean[place_of(name)]), NINE_IN_TEN * self.std(name)
        return Interval(max(mean - half, 0.0), max(mean, 0.0), max(mean + half, 0.0))

    def probabilities(self, windows: Windows) -> dict[str, float]:
        """Of each windowed quantity being inside [-]."""
        return {
            name: (log_inside if name == "additive" else inside)(
                float(self.mean[place_of(name)]), self.std(name), *ends
            )
            for name, ends in windows.items()
        }


def together(probabilities: dict[str, float]) -> float:
    """At least how probable it is that all are inside at once [-]: one less the sum of the misses
    (Boole's inequality), whatever hangs together."""
    return max(1.0 - sum(1.0 - one for one in probabilities.values()), 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """An estimate with what is on the shelf, ready for trying out actions."""

    shop: Shop
    state: Floats
    covariance: Floats
    items: tuple[Item, ...]

    def after(self, actions: tuple[Action, ...]) -> Outcome:
        """The bath after the actions: withdrawals first, additions as they stand."""
        nu = specific_volumes(self.state[:5], self.shop.priors.temperature)
        course = Course(self.state, nu, self.shop, self.shop.parameters(self.state))
        steps = {item.product.name: item.step for item in self.items}
        for one in sorted(actions, key=lambda action: isinstance(action, Add)):
            if isinstance(one, Withdraw):
                course.removed(one.volume, WITHDRAWAL.resolution * _UNIFORM)
            else:
                course.put(one.product, one.mass, steps[one.product] * _UNIFORM)
        transition = np.eye(self.state.size)
        transition[:5] = course.slopes
        covariance = transition @ self.covariance @ transition.T
        covariance[:5, :5] += course.noise
        state = np.concatenate([course.masses, self.state[5:]])
        mean, spread, _ = quantities_of(state, covariance, self.shop.priors.temperature)
        return Outcome(
            mean=frozen_floats(mean),
            covariance=frozen_floats(spread),
            masses=frozen_floats(course.masses),
        )


def bench_of(estimate: BathEstimate, items: tuple[Item, ...]) -> Bench:
    """The bench of an estimate and a shelf."""
    shop, state, covariance = with_products(
        estimate.shop,
        estimate.state,
        estimate.state_covariance,
        {item.product.name: (item.product, False) for item in items},
    )
    return Bench(shop=shop, state=state, covariance=covariance, items=items)
