"""Masses on their way through events, with their dependence on the past and their uncertainty.

A `Course` starts from a state x = (masses, parameters z) and carries the masses m, their derivative
∂m/∂x and the covariance of what events scattered. It knows how to put in, take out, fill up and
fade; what each event is made of stands in steps.py.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp, expm1

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.base.messages import Quantity
from tankside.bath.inventory.contents import (
    ADDITIVE,
    CHLORIDE,
    WATER,
    Effect,
)
from tankside.bath.inventory.priors import LEARNED, Belief, Priors

DAY = 86400.0
_MOST_SHARE = 0.98
"""Share of the bath that one event can take; beyond it nothing would be left to follow."""

_EYE = np.eye(5)
CHLORIDE_ALONE = np.array([0.0, 0.0, 1.0, 0.0, 0.0])

Parameters = Mapping[str, tuple[int, float, float]]
"""Place, value and slope of each learned parameter, by name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Everything that propagation needs to know beside the state.

    index      place of each parameter in the state
    beliefs    how each parameter follows from its normal number
    effects    of each product, by name
    densities  of each product [kg m⁻³], by name
    modelled   formulas' evaporation of each event [kg], by its id, and per day of it
    numbers    the fixed beliefs, by name
    """

    priors: Priors
    index: Mapping[str, int]
    beliefs: Mapping[str, Belief]
    effects: Mapping[str, Effect]
    densities: Mapping[str, float]
    modelled: Mapping[str, tuple[float, float]]
    numbers: Mapping[str, float]

    @property
    def size(self) -> int:
        """How long the state is."""
        return 5 + len(self.index)

    def effect_of(self, product: str, state: Floats) -> tuple[Floats, list[tuple[int, Floats]]]:
        """What a kilogram of a product adds at a state [kg kg⁻¹], and its derivatives by place."""
        effect = self.effects[product]
        change, slopes = effect.best.copy(), []
        change[CHLORIDE] += effect.chloride
        for name, direction in (
            (f"strength of {product}", effect.strength),
            (f"chloride of {product}", CHLORIDE_ALONE),
        ):
            if name in self.index:
                place, belief = self.index[name], self.beliefs[name]
                z = float(state[place])
                change += direction * (belief.value(z) - belief.best)
                slopes.append((place, direction * belief.slope(z)))
        return change, slopes

    def parameters(self, state: Floats) -> Parameters:
        """Place, value and slope of each learned parameter at a state."""
        found = {}
        for name in LEARNED:
            place, belief = self.index[name], self.beliefs[name]
            z = float(state[place])
            found[name] = (place, belief.value(z), belief.slope(z))
        return found


class Course:
    """Masses on their way through events, from the state `start` with specific volumes `nu`."""

    __slots__ = ("masses", "noise", "nu", "parameters", "shop", "slopes", "start")

    def __init__(self, start: Floats, nu: Floats, shop: Shop, parameters: Parameters) -> None:
        self.shop = shop
        self.parameters = parameters
        self.start = start
        self.nu = nu
        self.masses = start[:5].copy()
        self.slopes = np.zeros((5, start.size))
        self.slopes[:, :5] = _EYE
        self.noise = np.zeros((5, 5))

    def aged(self, seconds: float, unlogged: float = 0.0) -> None:
        """Adds what nobody noted in this time: its scatter, and the water that went unseen in the
        part of it for which no open hours were noted."""
        own = self.shop.numbers
        longest = own["unlogged_longest"]
        self._dried(longest * -expm1(-unlogged / DAY / longest))
        usual = own["unlogged"]
        daily = np.array([usual, usual, own["unlogged_chloride"], own["unlogged_additive"], usual])
        self.noise += np.diag((daily * self.masses) ** 2) * (seconds / DAY)
        traces = own["unlogged_traces"] * float(self.nu @ self.masses)
        self.noise[CHLORIDE, CHLORIDE] += traces**2 * (seconds / DAY)

    def _dried(self, days: float) -> None:
        if days <= 0.0:
            return
        place, rate, slope = self.parameters["unlogged_evaporation"]
        left = exp(-rate * days)
        self.masses[WATER] *= left
        self.slopes[WATER] *= left
        self.slopes[WATER, place] -= self.masses[WATER] * slope * days
        self.noise[WATER] *= left
        self.noise[:, WATER] *= left
        scatter = self.shop.numbers["unlogged_evaporation_scatter"] * rate * self.masses[WATER]
        self.noise[WATER, WATER] += scatter**2 * days

    def put(self, product: str, mass: float, std: float) -> None:
        """A portion of a product, with the scatter of its mass."""
        change, slopes = self.shop.effect_of(product, self.start)
        for place, slope in slopes:
            self.slopes[:, place] += slope * mass
        self.masses += change * mass
        self.scatter(change, std)

    def scatter(self, direction: Floats, std: float) -> None:
        """Independent noise along a direction."""
        self.noise += direction[:, None] * (direction * (std * std))

    def removed(self, volume: float, std: float, *, place: int = -1, slope: float = 0.0) -> None:
        """A volume [m³] of bath goes; `slope` is its derivative by the parameter at `place`."""
        filled = float(self.nu @ self.masses)
        share = volume / filled
        if share > _MOST_SHARE:
            raise BadInput(
                "{volume} are taken out of a bath of {filled}; begin a new ledger for a new bath, "
                "or mend the volume",
                volume=Quantity(volume, "L"),
                filled=Quantity(filled, "L"),
            )
        # each keeps 1 - share of itself, and the share depends on all through the volume
        keep, pull = 1.0 - share, self.masses * (share / filled)
        row, column = self.nu @ self.slopes, self.noise @ self.nu
        self.slopes *= keep
        self.slopes += pull[:, None] * row
        half = pull[:, None] * (keep * column + 0.5 * float(self.nu @ column) * pull)
        self.noise *= keep * keep
        self.noise += half + half.T
        concentrations = self.masses / filled
        if place >= 0:
            self.slopes[:, place] -= concentrations * slope
        self.scatter(concentrations, std)
        self.masses = self.masses * keep

    def filled_to(self, volume: float, water: str, std: float) -> float:
        """Water is poured until the level shows `volume` [m³] to within `std`; how much [kg].

        Nothing happens where the tank holds more already. How much goes in depends on the state, so
        the volume's uncertainty gives way to the level's.
        """
        change, slopes = self.shop.effect_of(water, self.start)
        each = float(self.nu @ change)
        mass = (volume - float(self.nu @ self.masses)) / each
        if mass <= 0.0:
            return 0.0
        self.slopes -= (change / each)[:, None] * (self.nu @ self.slopes)
        keep = _EYE - (change / each)[:, None] * self.nu
        self.noise = keep @ self.noise @ keep.T
        for place, slope in slopes:
            self.slopes[:, place] += slope * mass
        self.scatter(change, std / each)
        self.masses = self.masses + change * mass
        return mass

    def faded(self, exponent: float, place: int, slope: float, *, by_volume: float = 0.0) -> None:
        """The additive falls to exp(-exponent) of itself; `slope` is the exponent's derivative by
        the parameter at `place`, `by_volume` its fall per volume [m⁻³]."""
        left = exp(-exponent)
        remains = float(self.masses[ADDITIVE]) * left
        keep = _EYE.copy()
        keep[ADDITIVE, ADDITIVE] = left
        keep[ADDITIVE] += remains * by_volume * self.nu
        self.slopes[ADDITIVE] = keep[ADDITIVE] @ self.slopes
        self.slopes[ADDITIVE, place] -= remains * slope
        self.noise = keep @ self.noise @ keep.T
        self.masses[ADDITIVE] = remains
