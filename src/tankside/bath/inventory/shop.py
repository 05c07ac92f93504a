"""What a ledger's own bottles and hours make of the beliefs: the `Shop` that propagation needs."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import lru_cache

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.bath import water
from tankside.bath.evaporation import Room, evaporation_rate
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.contents import Effect, effect
from tankside.bath.inventory.priors import LEARNED, Belief, Priors, Shape, belief_of, known_priors
from tankside.bath.inventory.propagation import DAY, Shop
from tankside.substances.products import Product

WATER_ACTIVITY = 0.96
"""Vapour pressure over an acid copper bath as a fraction of pure water's [-]: between 0.93 and 0.98
for the families' windows by `water_activity`; the learned factor takes up the rest."""


def shop_of(events: ev.Ledger, priors: Priors) -> Shop:
    """The shop of a ledger; UnknownName where a portion names a product without a bottle, BadInput
    where two bottles of one name differ."""
    bottles = _bottles(events)
    used = _used(events, set(bottles))
    effects = {
        name: effect(
            bottles[name].product,
            additive=bottles[name].additive,
            least_error=priors.best("label"),
        )
        for name in used
    }
    rates = [_formula(e) for e in events if isinstance(e, ev.Evaporation)]
    beliefs = {name: priors.belief(name) for name in LEARNED} | _labels(effects)
    if "evaporation" not in priors.own:
        beliefs["evaporation"] = _evaporation(rates, beliefs["evaporation"])
    plain = water.density(priors.temperature)
    return Shop(
        priors=priors,
        index={name: 5 + place for place, name in enumerate(beliefs)},
        beliefs=beliefs,
        effects=effects,
        densities={
            name: density.best if (density := bottles[name].product.density) else plain
            for name in used
        },
        modelled={e.id: _modelled(e) for e in events if isinstance(e, ev.Evaporation)},
        numbers={name: priors.best(name) for name in known_priors() if name not in LEARNED},
    )


def with_products(
    shop: Shop, state: Floats, covariance: Floats, products: Mapping[str, tuple[Product, bool]]
) -> tuple[Shop, Floats, Floats]:
    """The shop, state and covariance with further products, each with whether it is an additive.

    Products of the ledger stay as they are, with what was learned of their strength.
    """
    new = {name: pair for name, pair in products.items() if name not in shop.effects}
    least = shop.priors.best("label")
    effects = {
        name: effect(product, additive=additive, least_error=least)
        for name, (product, additive) in new.items()
    }
    beliefs = _labels(effects)
    plain = water.density(shop.priors.temperature)
    wider = replace(
        shop,
        index={**shop.index, **{name: shop.size + n for n, name in enumerate(beliefs)}},
        beliefs={**shop.beliefs, **beliefs},
        effects={**shop.effects, **effects},
        densities={
            **shop.densities,
            **{n: p.density.best if p.density else plain for n, (p, _) in new.items()},
        },
    )
    spread = np.eye(wider.size)
    spread[: shop.size, : shop.size] = covariance
    return wider, np.concatenate([state, np.zeros(len(beliefs))]), spread


def with_hours(shop: Shop, events: Iterable[ev.Evaporation]) -> Shop:
    """The shop that knows what the formulas say of further hours."""
    return replace(shop, modelled={**shop.modelled, **{e.id: _modelled(e) for e in events}})


def _modelled(event: ev.Evaporation) -> tuple[float, float]:
    rate = _formula(event).best * event.surface_area
    return rate * event.duration, abs(rate) * DAY


def _bottles(events: ev.Ledger) -> dict[str, ev.Bottle]:
    found: dict[str, ev.Bottle] = {}
    for event in events:
        if isinstance(event, ev.Bottle):
            known = found.setdefault(event.product.name, event)
            if (known.product, known.additive) != (event.product, event.additive):
                raise BadInput(
                    "the bottle {product!r} was entered before with another label; give the new "
                    "one a name of its own, such as with its date",
                    product=event.product.name,
                    where=event.id,
                )
    return found


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


def _labels(effects: Mapping[str, Effect]) -> dict[str, Belief]:
    """The parameters of the products where they matter: relative error of the strength [-],
    chloride impurity [kg kg⁻¹]."""
    found = {}
    for name, one in effects.items():
        for word, best, std in (
            ("strength", 0.0, one.strength_std), ("chloride", one.chloride, one.chloride_std),
        ):  # fmt: skip
            if std > 0.0:
                found[f"{word} of {name}"] = Belief(best=best, spread=std, shape=Shape.LINEAR)
    return found


def _formula(event: ev.Evaporation) -> Interval:
    return _rate(event.temperature, event.room_temperature, event.relative_humidity)


@lru_cache(maxsize=4096)
def _rate(temperature: float, room_temperature: float, relative_humidity: float) -> Interval:
    room = Room(temperature=room_temperature, relative_humidity=relative_humidity)
    return evaporation_rate(temperature, room, water_activity=WATER_ACTIVITY).rate


def _evaporation(rates: list[Interval], otherwise: Belief) -> Belief:
    """How far off the formulas may be together, by their own intervals."""
    held = [
        belief_of(Interval(r.low / r.best, 1.0, r.high / r.best), Shape.LOG).spread
        for r in rates
        if r.low > 0.0
    ]
    if not held:
        return otherwise
    return Belief(best=1.0, spread=float(np.mean(held)), shape=Shape.LOG)
