"""A make-up as a table of numbers: what each product brings, what is wanted, what there is.

The products that do not belong into this bath stand in it with a stock of nothing. An old bath is
the last column, and counts by its share.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace

import numpy as np

from tankside.base.arrays import Floats
from tankside.bath import water
from tankside.bath.ions import ions, ions_of
from tankside.bath.makeup.numbers import allowance
from tankside.bath.makeup.request import (
    MARK_TEMPERATURE,
    Additive,
    MakeUpRequest,
    OldBath,
    Wanted,
    quantities,
)
from tankside.bath.makeup.welcome import welcome
from tankside.bath.mixture import Mixture, filled, mixed, portion, reacted
from tankside.substances.products import Form, Product

_ALMOST = 1.0 - 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """The programme's data: products and, last, the old bath, scaled by the bath's mass.

    names    of products
    rows     (quantities, products + 1) moles of the quantity's ion a kilogram, or in the old bath
    aims     (quantities,) moles wanted, with `lows` and `highs` that will do
    mass     (products + 1,) kilograms a kilogram, the old bath's mass last
    most     (products + 1,) stock [kg], nothing of what does not belong, one for the old bath
    price    (products + 1,) a kilogram, over the dearest
    spare    (2, products + 1) hydrogen that must not go below zero, electrons that must not exceed
    fixed    what the additives bring, whatever the rest is
    """

    names: tuple[str, ...]
    rows: Floats
    lows: Floats
    aims: Floats
    highs: Floats
    mass: Floats
    most: Floats
    price: Floats
    spare: Floats
    fixed: Mixture

    def limited_to(self, chosen: Collection[int]) -> "Columns":
        """The same shelf with nothing left but the products of these numbers."""
        last = len(self.most) - 1
        kept = [number in chosen or number == last for number in range(last + 1)]
        return replace(self, most=np.where(kept, self.most, 0.0))

    def covered_by(self, chosen: Collection[int], total: float) -> bool:
        """True where these products, or the old bath, hold of every quantity enough a kilogram, and
        one of them little enough: what a make-up of a mass `total` [kg] needs at the very least."""
        sources = list(chosen) + ([len(self.most) - 1] if self.most[-1] > 0.0 else [])
        if not sources:
            return False
        content = self.rows[:, sources] / self.mass[sources]
        most, least = content.max(axis=1) * total, content.min(axis=1) * total
        return bool(np.all((most >= self.lows * _ALMOST) & (least * _ALMOST <= self.highs)))


def columns_of(request: MakeUpRequest, *, unlimited: bool = False) -> Columns:
    """The programme's data of a request."""
    products = [one.product for one in request.shelf]
    each = [ions_of(portion(product, 1.0).masses) for product in products]
    old = old_mixture(request.old) if request.old else Mixture(masses={})
    each.append(ions_of(old.masses))
    wanted = request.target.wanted
    fixed = additive_mixture(request)
    brought = ions_of(fixed.masses)
    taken = np.array([brought[quantities()[one.quantity][0]] for one in wanted])
    rows = [[held[quantities()[one.quantity][0]] for held in each] for one in wanted]
    spare = [[held[name] for held in each] for name in ("hydrogen ion", "electron")]
    most = [
        (np.inf if unlimited or one.available is None else one.available)
        if welcome(one.product, request.target, tuple(products))
        else 0.0
        for one in request.shelf
    ]
    return Columns(
        names=tuple(product.name for product in products),
        rows=np.array(rows),
        lows=np.array([_moles(one, one.value.low, request.volume) for one in wanted]) - taken,
        aims=np.array([_moles(one, one.value.best, request.volume) for one in wanted]) - taken,
        highs=np.array([_moles(one, one.value.high, request.volume) for one in wanted]) - taken,
        mass=np.array([*np.ones(len(products)), old.mass]),
        most=np.array([*most, 1.0 if request.old else 0.0]),
        price=np.array([*_prices(products), 0.0]),
        spare=np.array(spare),
        fixed=fixed,
    )


def additive_mixture(request: MakeUpRequest) -> Mixture:
    """The additives of the volume that is new; what the old bath still holds is not counted."""
    old = request.old.volume.best if request.old else 0.0
    fresh = max(request.volume - old, 0.0)
    return mixed(*(portion(one.product, additive_mass(one, fresh)) for one in request.additives))


def additive_mass(additive: Additive, fresh: float) -> float:
    """Kilograms of an additive for a volume [m³]; a liquid's density without one is water's."""
    if additive.product.form is Form.SOLID:
        return additive.dose * fresh
    density = additive.product.density
    heavy = water.density(MARK_TEMPERATURE) if density is None else density.best
    return additive.dose * fresh * heavy


def old_mixture(old: OldBath) -> Mixture:
    """An old bath at its best values, as masses."""
    return bath_mixture(old.holds, old.volume.best)


def bath_mixture(holds: tuple[Wanted, ...], bath_volume: float) -> Mixture:
    """A bath of stated quantities, sulfate as charge asks for, filled with water to a volume."""
    moles = dict.fromkeys(ions(), 0.0)
    for one in holds:
        moles[quantities()[one.quantity][0]] += _moles(one, one.value.best, bath_volume)
    if "sulfate" not in {one.quantity for one in holds}:
        charge = sum(ions()[name].charge * amount for name, amount in moles.items())
        moles["sulfate"] = max(charge, 0.0) / 2.0
    masses = {name: amount * ions()[name].molar_mass for name, amount in moles.items()}
    dry = reacted(Mixture(masses={name: mass for name, mass in masses.items() if mass > 0.0}))
    return filled(dry, bath_volume, MARK_TEMPERATURE)


def _moles(one: Wanted, value: float, bath_volume: float) -> float:
    return value * bath_volume / quantities()[one.quantity][1]


def _prices(products: list[Product]) -> list[float]:
    """Price a kilogram over the dearest; water without a price is free, others are dearest."""
    known = [product.cost_per_kg for product in products]
    dearest = max([price for price in known if price is not None], default=1.0) or 1.0
    unknown = dearest * allowance("unpriced").best
    return [
        (price if price is not None else 0.0 if is_water(product) else unknown) / dearest
        for product, price in zip(products, known, strict=True)
    ]


def is_water(product: Product) -> bool:
    """True for a product that is water, whatever its chloride."""
    held = [content.substance for content in product.contents]
    return bool(held) and all(name == "water" for name in held)
