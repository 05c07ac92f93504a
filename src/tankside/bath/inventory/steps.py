"""What each event does to the bath, as portions put in and shares taken out.

With ν the specific volumes at the start:
    portions        m += effect · mass
    evaporation     water -= factor · formulas' kilograms
    film, loss      m -= m v / (ν·m), which leaves all concentrations as they were
    charge          copper += mismatch · Q M/2F, acid -= as many moles (the sulfate stays)
    idle anodes     copper += rate · area · time, acid -= as many moles, water += as many
    additive        m exp(-k Q/V), and the share that carbon leaves
Every law is linear in its amount or exponential, so an event may be split in two.
"""

from collections.abc import Callable
from math import log

import numpy as np

from tankside.bath.deposit import ELECTROCHEMICAL_EQUIVALENT
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.contents import ACID_PER_COPPER, WATER, WATER_PER_COPPER
from tankside.bath.inventory.propagation import CHLORIDE_ALONE, DAY, Course

UNKNOWN_SHARE = 0.3
"""Standard deviation of what evaporated where only the level was read, over the bath's water."""

_DISSOLVED = np.array([1.0, -ACID_PER_COPPER, 0.0, 0.0, WATER_PER_COPPER])
_SHIFTED = np.array([1.0, -ACID_PER_COPPER, 0.0, 0.0, 0.0])

WATER_DENSITY = 1000.0
"""Kilograms in a cubic metre [kg m⁻³], where no more than the size of a bath is asked."""


def through(course: Course, event: ev.Event) -> None:
    """Lets an event happen."""
    _STEPS[type(event)](course, event)


def _make_up(course: Course, event: ev.MakeUp) -> None:
    for one in event.portions:
        course.put(one.product, one.mass, _weighed(course, one.mass, one.mass_std))
    volume = sum(one.mass for one in event.portions) / WATER_DENSITY
    course.scatter(CHLORIDE_ALONE, course.shop.numbers["chloride_traces"] * volume)


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
