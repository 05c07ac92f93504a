"""What a measurement says of the state: its expected value and its derivative.

Concentrations are masses over the volume; a density couples copper and acid through the density
law, a conductivity through its own. Each kind of measurement carries an error that all of its kind
share (the titrant's strength, the hydrometer's scale, the law); the ledger learns it where it can.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.constants import COPPER_MOLAR_MASS_KG_PER_MOL
from tankside.bath import conductivity as conductivity_law
from tankside.bath.analysis.finding import Finding
from tankside.bath.composition import Composition
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.contents import ACID, CHLORIDE, COPPER
from tankside.bath.inventory.propagation import Shop
from tankside.bath.inventory.volumes import MASS_FACTORS, specific_volumes
from tankside.substances import substance

_STEP = 1e-4

_ROUNDING = 1e-5
"""Relative error that keeps a reading stated without one from being exact."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One number that was read.

    event         the id of the event that holds it
    quantity      copper, sulfuric_acid, chloride, density, conductivity or volume
    value         [SI], with its standard deviation `std`
    temperature   that it holds at [K]
    """

    event: str
    at: float
    quantity: str
    value: float
    std: float
    temperature: float


def readings_of(event: ev.Event, shop: Shop) -> tuple[Reading, ...]:
    """All that an event measured; pH says nothing of a strong acid's amount and is left out."""
    if isinstance(event, ev.Analysis):
        return tuple(
            Reading(
                event=event.id,
                at=event.at,
                quantity=one.quantity,
                value=one.value.best,
                std=max(one.std, _finest(one, shop)),
                temperature=one.temperature or shop.priors.temperature,
            )
            for one in event.findings
            if one.quantity in _EXPECTED
        )
    if isinstance(event, ev.MakeUp | ev.TopUp | ev.Evaporation) and event.level_volume is not None:
        usual = shop.priors.best("level_reading") * event.level_volume
        return (
            Reading(
                event=event.id,
                at=event.at,
                quantity="volume",
                value=event.level_volume,
                std=usual if event.level_std is None else event.level_std,
                temperature=shop.priors.temperature,
            ),
        )
    return ()


def _finest(finding: Finding, shop: Shop) -> float:
    """The least error that a finding is believed to have; a titration has a burette's at least."""
    titrated = f"titre_{finding.quantity}" in shop.index
    relative = shop.numbers["finest_titration"] if titrated else _ROUNDING
    return relative * abs(finding.value.best)


def expected(reading: Reading, state: Floats, shop: Shop) -> tuple[float, Floats]:
    """The value that a state lets one expect, and its derivative by the state.

    OutsideValidity where a law does not reach the state's composition.
    """
    return _EXPECTED[reading.quantity](reading, state, shop)


def _concentration(place: int) -> Callable[[Reading, Floats, Shop], tuple[float, Floats]]:
    def law(reading: Reading, state: Floats, shop: Shop) -> tuple[float, Floats]:
        nu = specific_volumes(state[:5], shop.priors.temperature)
        filled = float(nu @ state[:5])
        amount = float(state[place]) / filled
        bias = shop.index[f"titre_{reading.quantity}"]
        belief, z = shop.beliefs[f"titre_{reading.quantity}"], float(state[bias])
        slope = np.zeros(state.size)
        slope[:5] = -amount / filled * nu
        slope[place] += 1.0 / filled
        slope *= 1.0 + belief.value(z)
        slope[bias] = amount * belief.slope(z)
        return amount * (1.0 + belief.value(z)), slope

    return law


def _volume(reading: Reading, state: Floats, shop: Shop) -> tuple[float, Floats]:
    slope = np.zeros(state.size)
    slope[:5] = specific_volumes(state[:5], reading.temperature)
    return float(slope[:5] @ state[:5]), slope


def _density(reading: Reading, state: Floats, shop: Shop) -> tuple[float, Floats]:
    nu = specific_volumes(state[:5], reading.temperature)
    filled, mass = float(nu @ state[:5]), float(MASS_FACTORS @ state[:5])
    place = shop.index["hydrometer"]
    belief, z = shop.beliefs["hydrometer"], float(state[place])
    slope = np.zeros(state.size)
    slope[:5] = (MASS_FACTORS - mass / filled * nu) / filled
    slope[place] = belief.slope(z)
    return mass / filled + belief.value(z), slope


def _conductivity(reading: Reading, state: Floats, shop: Shop) -> tuple[float, Floats]:
    nu = specific_volumes(state[:5], shop.priors.temperature)
    filled = float(nu @ state[:5])
    held = state[:5] / filled
    place = shop.index["conductivity_law"]
    belief, z = shop.beliefs["conductivity_law"], float(state[place])
    here = _law(float(held[COPPER]), float(held[ACID]), reading.temperature)
    slope = np.zeros(state.size)
    for one in (COPPER, ACID):
        step = held.copy()
        step[one] *= 1.0 + _STEP
        there = _law(float(step[COPPER]), float(step[ACID]), reading.temperature)
        by_amount = (there - here) / (_STEP * float(held[one]))
        slope[:5] -= by_amount * float(held[one]) / filled * nu
        slope[one] += by_amount / filled
    slope *= belief.value(z)
    slope[place] = here * belief.slope(z)
    return here * belief.value(z), slope


def _law(copper: float, acid: float, temperature: float) -> float:
    salt = substance("copper sulfate pentahydrate").molar_mass / COPPER_MOLAR_MASS_KG_PER_MOL
    bath = Composition(
        copper_sulfate_pentahydrate=max(copper, 0.0) * salt, sulfuric_acid=max(acid, 0.0)
    )
    return conductivity_law.conductivity(bath, temperature).best


_EXPECTED: dict[str, Callable[[Reading, Floats, Shop], tuple[float, Floats]]] = {
    "copper": _concentration(COPPER),
    "sulfuric_acid": _concentration(ACID),
    "chloride": _concentration(CHLORIDE),
    "density": _density,
    "conductivity": _conductivity,
    "volume": _volume,
}
