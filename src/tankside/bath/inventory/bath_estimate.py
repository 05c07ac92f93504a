"""What the ledger says is in the bath: the answer of `estimated`.

Mean and covariance are those of copper, acid, chloride, additive [kg m⁻³] and volume [m³], under
the condition that none of them is negative. The additive is indicative: nobody measures it, its
decay is exponential, and so it is told as a log-normal number about its best value.
"""

from dataclasses import dataclass
from math import erfc, exp, log, pi, sqrt
from statistics import NormalDist

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.errors import UnknownName
from tankside.base.intervals import Interval
from tankside.bath.composition import Composition
from tankside.bath.inventory.contents import SALT_PER_COPPER
from tankside.bath.inventory.propagation import Shop
from tankside.bath.inventory.volumes import specific_volumes
from tankside.substances import substance

QUANTITIES = ("copper", "sulfuric_acid", "chloride", "additive", "volume")
"""What an estimate is of, in the order of its mean and covariance."""

SALT_OF_COPPER = (
    SALT_PER_COPPER
    * substance("copper sulfate pentahydrate").molar_mass
    / substance("copper sulfate").molar_mass
)
"""Copper sulfate pentahydrate that holds a mass of copper [kg kg⁻¹]."""

_NEAR_ZERO = 4.0
"""Standard deviations from zero within which the condition of not being negative matters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Surprise:
    """How one reading fits all others.

    event      id of the event that holds it
    quantity   what was read
    value      what was read [SI]
    expected   what all other readings and the mass balance let one expect [SI]
    score      its miss over the standard deviation of the miss [-]
    doubt      probability that it is grossly wrong [-]
    gross      True where it was set aside as grossly wrong
    """

    event: str
    at: float
    quantity: str
    value: float
    expected: float
    score: float
    doubt: float
    gross: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """A parameter of the shop: what was believed, what the ledger taught [unit], both 90 %."""

    name: str
    believed: Interval
    learned: Interval
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BathEstimate:
    """The bath at `at` [s since 1970-01-01 UTC].

    mean         of QUANTITIES [kg m⁻³, m³]
    covariance   of the same
    free_mean, free_std   before the condition of not being negative
    surprises    one for each reading, in the order of the ledger
    learned      parameters of the shop
    notes        sentences on what was left out or is doubtful
    state, state_covariance   masses and parameters, for the forecast and the doses
    rounds       how often the laws were linearised anew; `converged` where the last changed nothing
    """

    at: float
    mean: Floats
    covariance: Floats
    free_mean: Floats
    free_std: Floats
    surprises: tuple[Surprise, ...]
    learned: tuple[Learned, ...]
    notes: tuple[str, ...]
    state: Floats
    state_covariance: Floats
    shop: Shop
    rounds: int
    converged: bool

    @property
    def names(self) -> tuple[str, ...]:
        """What mean and covariance are of."""
        return QUANTITIES

    def best(self, name: str) -> float:
        """Best value of a quantity."""
        return float(self.mean[place_of(name)])

    def std(self, name: str) -> float:
        """Standard deviation of a quantity."""
        place = place_of(name)
        return float(self.covariance[place, place] ** 0.5)

    def interval(self, name: str, probability: float = 0.9) -> Interval:
        """The ends that hold a quantity with this probability, half of the rest beyond each."""
        mean, std = self._free(name)
        rest = 0.5 * (1.0 - probability)
        quantile = log_quantile if name == "additive" else truncated_quantile
        ends = [quantile(mean, std, share) for share in (rest, 1.0 - rest)]
        return Interval(ends[0], min(max(self.best(name), ends[0]), ends[1]), ends[1])

    def probability_inside(self, name: str, low: float, high: float) -> float:
        """Probability that a quantity lies between two ends."""
        mean, std = self._free(name)
        return (log_inside if name == "additive" else inside)(mean, std, low, high)

    def _free(self, name: str) -> tuple[float, float]:
        place = place_of(name)
        return float(self.free_mean[place]), float(self.free_std[place])

    @property
    def composition(self) -> Composition:
        """The best values as a composition."""
        return Composition(
            copper_sulfate_pentahydrate=self.best("copper") * SALT_OF_COPPER,
            sulfuric_acid=self.best("sulfuric_acid"),
            chloride=self.best("chloride"),
        )

    @property
    def gross(self) -> tuple[Surprise, ...]:
        """The readings that were set aside, most doubtful first."""
        return tuple(sorted((s for s in self.surprises if s.gross), key=lambda s: -s.doubt))


def place_of(name: str) -> int:
    """Where a quantity stands in mean and covariance; UnknownName offers close ones."""
    if name not in QUANTITIES:
        raise UnknownName("quantity of a bath", name, QUANTITIES)
    return QUANTITIES.index(name)


def quantities_of(
    state: Floats, covariance: Floats, temperature: float
) -> tuple[Floats, Floats, Floats]:
    """Mean and covariance of QUANTITIES from those of a state, and the derivative [5 x state]."""
    nu = specific_volumes(state[:5], temperature)
    filled = float(nu @ state[:5])
    slope = np.zeros((5, state.size))
    slope[:4, :4] = np.eye(4) / filled
    slope[:4, :5] -= np.outer(state[:4] / filled**2, nu)
    slope[4, :5] = nu
    mean = np.array([*(state[:4] / filled), filled])
    return mean, slope @ covariance @ slope.T, slope


def not_negative(mean: Floats, covariance: Floats) -> tuple[Floats, Floats]:
    """Moments of a Gaussian under the condition that no component is negative, one after another:
    each truncated by itself, the others drawn along by regression."""
    mean, covariance = mean.copy(), covariance.copy()
    for place in range(mean.size):
        std = float(covariance[place, place]) ** 0.5
        if std == 0.0 or mean[place] > _NEAR_ZERO * std or QUANTITIES[place] == "additive":
            continue
        above, variance = _above_zero(float(mean[place]), std)
        pull = covariance[:, place] / std**2
        mean += pull * (above - mean[place])
        covariance += np.outer(pull, pull) * (variance - std**2)
    return frozen_floats(np.maximum(mean, 0.0)), frozen_floats(covariance)


def inside(mean: float, std: float, low: float, high: float) -> float:
    """Probability of `low` to `high` for a normal number that is not negative."""
    if std == 0.0:
        return float(low <= mean <= high)
    whole = normal_below(mean / std)
    part = normal_below((high - mean) / std) - normal_below((max(low, 0.0) - mean) / std)
    return max(part, 0.0) / whole if whole > 0.0 else 0.0


def truncated_quantile(mean: float, std: float, share: float) -> float:
    """Below which value a normal number that is not negative lies with probability `share`."""
    if std == 0.0:
        return max(mean, 0.0)
    below = normal_below(-mean / std)
    return max(mean + std * normal_quantile(below + share * (1.0 - below)), 0.0)


def log_inside(median: float, std: float, low: float, high: float) -> float:
    """Probability of `low` to `high` for a log-normal number; `std` is that of small errors."""
    if std == 0.0 or median <= 0.0:
        return float(low <= max(median, 0.0) <= high)
    below = [
        normal_below(log(end / median) * median / std) if end > 0.0 else 0.0 for end in (low, high)
    ]
    return below[1] - below[0]


def log_quantile(median: float, std: float, share: float) -> float:
    """Below which value such a number lies with probability `share`."""
    if std == 0.0 or median <= 0.0:
        return max(median, 0.0)
    return median * exp(std / median * normal_quantile(share))


def normal_below(z: float) -> float:
    """Probability that a standard normal number lies below `z`."""
    return 0.5 * erfc(-z / sqrt(2.0))


def normal_quantile(share: float) -> float:
    """Below which number a standard normal one lies with this probability."""
    return NormalDist().inv_cdf(min(max(share, 1e-300), 1.0 - 1e-16))


def _above_zero(mean: float, std: float) -> tuple[float, float]:
    """Mean and variance of a normal number under the condition of being above zero."""
    a = -mean / std
    if a > 30.0:  # far below zero: the tail is an exponential
        return std / a, (std / a) ** 2
    hazard = exp(-0.5 * a * a) / sqrt(2.0 * pi) / normal_below(-a)
    return mean + std * hazard, std * std * max(1.0 + a * hazard - hazard**2, 0.0)
