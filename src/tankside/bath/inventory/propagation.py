"""What each event does to the masses, to their dependence on the past, and to their uncertainty.

A `Course` starts from a state x = (masses, parameters z) and carries the masses m, their derivative
∂m/∂x and the covariance of what events scattered. With ν the specific volumes at the start:
    portions        m += effect · mass
    evaporation     water -= factor · formulas' kilograms
    film, loss      m -= m v / (ν·m), which leaves all concentrations as they were
    charge          copper += mismatch · Q M/2F, acid -= as many moles (the sulfate stays)
    idle anodes     copper += rate · area · time, acid -= as many moles, water += as many
    additive        m exp(-k Q/V), and the share that carbon leaves
Every law is linear in its amount or exponential, so an event may be split in two.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import exp, log

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.bath.deposit import ELECTROCHEMICAL_EQUIVALENT
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.contents import (
    ACID_PER_COPPER,
    ADDITIVE,
    CHLORIDE,
    WATER,
    WATER_PER_COPPER,
    Effect,
)
from tankside.bath.inventory.priors import LEARNED, Belief, Priors

DAY = 86400.0
UNKNOWN_SHARE = 0.3
"""Standard deviation of what evaporated where only the level was read, over the bath's water."""

_MOST_SHARE = 0.98
"""Share of the bath that one event can take; beyond it nothing would be left to follow."""

_DISSOLVED = np.array([1.0, -ACID_PER_COPPER, 0.0, 0.0, WATER_PER_COPPER])
_SHIFTED = np.array([1.0, -ACID_PER_COPPER, 0.0, 0.0, 0.0])
_EYE = np.eye(5)
_CHLORIDE = np.array([0.0, 0.0, 1.0, 0.0, 0.0])

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
            (f"chloride of {product}", _CHLORIDE),
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

    def through(self, event: ev.Event) -> None:
        """Lets an event happen."""
        _STEPS[type(event)](self, event)

    def aged(self, seconds: float) -> None:
        """Adds what nobody noted in this time."""
        own = self.shop.numbers
        usual = own["unlogged"]
        daily = np.array([usual, usual, own["unlogged_chloride"], own["unlogged_additive"], usual])
        self.noise += np.diag((daily * self.masses) ** 2) * (seconds / DAY)

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
                f"{1e3 * volume:.3g} L are taken out of a bath of {1e3 * filled:.3g} L; begin a "
                "new ledger for a new bath, or mend the volume"
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


def _make_up(course: Course, event: ev.MakeUp) -> None:
    for one in event.portions:
        course.put(one.product, one.mass, _weighed(course, one.mass, one.mass_std))


def _addition(course: Course, event: ev.Addition) -> None:
    course.put(event.product, event.mass, _weighed(course, event.mass, event.mass_std))


def _top_up(course: Course, event: ev.TopUp) -> None:
    density = course.shop.densities[event.water]
    std = _stated(course, "pouring", event.volume, event.volume_std)
    course.put(event.water, event.volume * density, std * density)


def _take_over(course: Course, event: ev.TakeOver) -> None:
    found = (event.copper, event.sulfuric_acid, event.chloride, event.additive)
    stds = (event.copper_std, event.sulfuric_acid_std, event.chloride_std, event.additive_std)
    nu = course.nu
    masses = np.array([*found, 0.0]) * event.volume
    masses[WATER] = (event.volume - float(nu @ masses)) / nu[WATER]
    course.masses = masses
    for place, std in enumerate(stds):
        direction = np.zeros(5)
        direction[place] = event.volume
        direction[WATER] = -event.volume * nu[place] / nu[WATER]
        course.scatter(direction, std)
    course.scatter(masses / event.volume, event.volume_std)


def _evaporation(course: Course, event: ev.Evaporation) -> None:
    if event.duration * event.surface_area > 0.0:
        place, factor, slope = course.parameters["evaporation"]
        kilograms, daily = course.shop.modelled[event.id]
        course.masses[WATER] -= factor * kilograms
        course.slopes[WATER, place] -= slope * kilograms
        relative = course.shop.numbers["evaporation_scatter"]
        course.noise[WATER, WATER] += (factor * relative) ** 2 * abs(kilograms) * daily
    else:
        course.noise[WATER, WATER] += (UNKNOWN_SHARE * course.masses[WATER]) ** 2


def _drag_out(course: Course, event: ev.DragOut) -> None:
    place, film, slope = course.parameters["drag_out"]
    own = course.shop.numbers
    std = own["drag_out_scatter"] * film * (event.area * own["usual_load"]) ** 0.5
    course.removed(film * event.area, std, place=place, slope=slope * event.area)


def _ampere_hours(course: Course, event: ev.AmpereHours) -> None:
    place, mismatch, slope = course.parameters["mismatch"]
    plated = event.charge * ELECTROCHEMICAL_EQUIVALENT
    course.masses += _SHIFTED * (plated * mismatch)
    course.slopes[:, place] += _SHIFTED * (plated * slope)
    own = course.shop.numbers
    usual = own["usual_charge"] * ELECTROCHEMICAL_EQUIVALENT
    course.scatter(_SHIFTED, own["mismatch_scatter"] * (plated * usual) ** 0.5)
    place, used, slope = course.parameters["additive_consumption"]
    filled = float(course.nu @ course.masses)
    dose = event.charge / filled
    course.faded(used * dose, place, slope * dose, by_volume=used * dose / filled)


def _idle(course: Course, event: ev.Idle) -> None:
    place, rate, slope = course.parameters["idle_dissolution"]
    amount = event.duration * event.anode_area
    course.masses += _DISSOLVED * (rate * amount)
    course.slopes[:, place] += _DISSOLVED * (slope * amount)
    daily = DAY * event.anode_area * amount
    course.scatter(_DISSOLVED, course.shop.numbers["idle_scatter"] * rate * daily**0.5)


def _carbon(course: Course, event: ev.Carbon) -> None:
    place, left, slope = course.parameters["carbon_left"]
    course.faded(-log(left), place, -slope / left)


def _withdrawal(course: Course, event: ev.Withdrawal) -> None:
    course.removed(event.volume, _stated(course, "pouring", event.volume, event.volume_std))


def _loss(course: Course, event: ev.Loss) -> None:
    course.removed(event.volume, _stated(course, "spill_guess", event.volume, event.volume_std))


def _nothing(course: Course, event: ev.Event) -> None:
    """A sample or a bottle changes nothing in the bath."""


def _weighed(course: Course, mass: float, std: float | None) -> float:
    return _stated(course, "weighing", mass, std)


def _stated(course: Course, prior: str, amount: float, std: float | None) -> float:
    return course.shop.numbers[prior] * amount if std is None else std


_STEPS: dict[type[ev.Event], Callable[..., None]] = {
    ev.Bottle: _nothing,
    ev.MakeUp: _make_up,
    ev.TakeOver: _take_over,
    ev.Addition: _addition,
    ev.TopUp: _top_up,
    ev.Evaporation: _evaporation,
    ev.DragOut: _drag_out,
    ev.AmpereHours: _ampere_hours,
    ev.Idle: _idle,
    ev.Analysis: _nothing,
    ev.Carbon: _carbon,
    ev.Withdrawal: _withdrawal,
    ev.Loss: _loss,
}
