"""What a ledger's own bottles and hours make of the beliefs: the `Shop` that propagation needs."""

from functools import lru_cache

import numpy as np

from tankside.base.errors import UnknownName
from tankside.base.intervals import Interval
from tankside.bath import water
from tankside.bath.evaporation import Room, evaporation_rate
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.contents import Effect, effect
from tankside.bath.inventory.priors import LEARNED, Belief, Priors, belief_of, known_priors
from tankside.bath.inventory.propagation import DAY, Shop

WATER_ACTIVITY = 0.96
"""Vapour pressure over an acid copper bath as a fraction of pure water's [-]: between 0.93 and 0.98
for the families' windows by `water_activity`; the learned factor takes up the rest."""

_STANDARD = Belief(best=0.0, spread=1.0, logarithmic=False)


def shop_of(events: ev.Ledger, priors: Priors) -> Shop:
    """The shop of a ledger; UnknownName where a portion names a product without a bottle."""
    bottles = {e.product.name: e for e in events if isinstance(e, ev.Bottle)}
    used = _used(events, set(bottles))
    effects = {
        name: effect(
            bottles[name].product,
            additive=bottles[name].additive,
            least_error=priors.best("label"),
        )
        for name in used
    }
    rates = {e.id: _formula(e) for e in events if isinstance(e, ev.Evaporation)}
    names = [*LEARNED, *_labels(effects)]
    beliefs = {name: priors.belief(name) for name in LEARNED}
    beliefs.update({name: _STANDARD for name in names[len(LEARNED) :]})
    if "evaporation" not in priors.own:
        beliefs["evaporation"] = _evaporation(list(rates.values()), beliefs["evaporation"])
    plain = water.density(priors.temperature)
    return Shop(
        priors=priors,
        index={name: 5 + place for place, name in enumerate(names)},
        beliefs=beliefs,
        effects=effects,
        densities={
            name: density.best if (density := bottles[name].product.density) else plain
            for name in used
        },
        modelled={
            e.id: (
                rates[e.id].best * e.surface_area * e.duration,
                abs(rates[e.id].best) * e.surface_area * DAY,
            )
            for e in events
            if isinstance(e, ev.Evaporation)
        },
        numbers={name: priors.best(name) for name in known_priors() if name not in LEARNED},
    )


def _used(events: ev.Ledger, known: set[str]) -> list[str]:
    names: dict[str, None] = {}
    for event in events:
        for name in _products(event):
            if name not in known:
                raise UnknownName("product of this ledger", name, known, where=event.id)
            names[name] = None
    return sorted(names)


def _products(event: ev.Event) -> tuple[str, ...]:
    match event:
        case ev.MakeUp():
            return tuple(one.product for one in event.portions)
        case ev.Addition():
            return (event.product,)
        case ev.TopUp():
            return (event.water,)
    return ()


def _labels(effects: dict[str, Effect]) -> list[str]:
    """The parameters of the products: strength, chloride impurity, where they matter."""
    strengths = [f"strength of {name}" for name, one in effects.items() if one.strength.any()]
    chlorides = [f"chloride of {name}" for name, one in effects.items() if one.impurity.any()]
    return strengths + chlorides


def _formula(event: ev.Evaporation) -> Interval:
    return _rate(event.temperature, event.room_temperature, event.relative_humidity)


@lru_cache(maxsize=4096)
def _rate(temperature: float, room_temperature: float, relative_humidity: float) -> Interval:
    room = Room(temperature=room_temperature, relative_humidity=relative_humidity)
    return evaporation_rate(temperature, room, water_activity=WATER_ACTIVITY).rate


def _evaporation(rates: list[Interval], otherwise: Belief) -> Belief:
    """How far off the formulas may be together, by their own intervals."""
    held = [
        belief_of(Interval(r.low / r.best, 1.0, r.high / r.best), logarithmic=True).spread
        for r in rates
        if r.low > 0.0
    ]
    if not held:
        return otherwise
    return Belief(best=1.0, spread=float(np.mean(held)), logarithmic=True)
