"""How much of each product makes the bath: a small linear programme inside one for the density.

Unknown are the mass of each product and the share of an old bath that is kept. What is wanted of
each quantity is an equation in moles, and so is the mass of the bath, which the density law gives
for its volume and which is found by secants. Bounds are the stock on the shelf. An old bath
is kept as far as it goes; then the cheapest, or the fewest products, are chosen. Where the aim
cannot be met exactly, the ends that will do are used, and the answer says so.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from tankside.base.arrays import Floats
from tankside.base.errors import NotConverged
from tankside.bath import water
from tankside.bath.ions import ions, ions_of
from tankside.bath.makeup.numbers import allowance
from tankside.bath.makeup.request import (
    MARK_TEMPERATURE,
    Additive,
    MakeUpRequest,
    OldBath,
    Preference,
    Wanted,
    quantities,
)
from tankside.bath.makeup.welcome import welcome
from tankside.bath.mixture import Mixture, filled, mixed, portion, reacted, volume
from tankside.substances.products import Form, Product

_KEEPING = 1e3
"""What a withdrawn old bath weighs against the dearest product [-]: more than any saving."""

_CENTRING = 1e2
_ALMOST = 1.0 - 1e-6
_TOLERANCE = 1e-11
_GOOD_ENOUGH = 1e-6
"""A volume this near will do where the programme's own tolerance of 1e-7 keeps it from better."""

_MOST_ROUNDS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """The products that make the bath.

    masses    of each product that is used [kg]
    kept      share of the old bath, 0 to 1
    mixture   all together, before anything reacts
    exact     True where every quantity is at its aim
    """

    masses: dict[str, float]
    kept: float
    mixture: Mixture
    exact: bool


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


def balanced(request: MakeUpRequest, *, unlimited: bool = False) -> Balance | None:
    """The make-up that a request asks for, None where there is none.

    `unlimited` takes no notice of what there is of each product. NotConverged where the density
    does not settle.
    """
    columns = columns_of(request, unlimited=unlimited)
    old = old_mixture(request.old) if request.old else None
    for exact in (True, False):
        found = _settled(request, columns, old, exact)
        if found is not None:
            fewest = request.preference is Preference.FEWEST
            return _with_fewer(request, columns, old, found) if fewest else found
    return None


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


def solved(
    columns: Columns, total: float, *, exact: bool, keeping: float = _KEEPING
) -> Floats | None:
    """Masses of products and the share of old bath [kg, -] for a bath of mass `total` [kg].

    Unknowns are scaled: products by the bath's mass, moles by what is wanted of them. `keeping` is
    what the old bath is worth beside the dearest product. None where nothing fits.
    """
    count, wanted = len(columns.mass), len(columns.aims)
    scale = np.maximum(np.maximum(columns.aims, columns.highs), 1e-9 * total)
    unit = np.array([*np.full(count - 1, total), 1.0])
    none, away = np.zeros((wanted, 2 * wanted)), np.zeros((wanted, 2 * wanted))
    away[np.arange(wanted), 2 * np.arange(wanted)] = -1.0
    away[np.arange(wanted), 2 * np.arange(wanted) + 1] = 1.0
    balances = np.hstack([columns.rows * unit / scale[:, None], away])
    totals = np.vstack([columns.mass, columns.spare]) * unit / total
    matrix = np.vstack([balances, np.hstack([totals, none[:1].repeat(3, axis=0)])])
    aims, rest = columns.aims / scale, 1.0 - columns.fixed.mass / total
    free = np.stack([columns.highs - columns.aims, columns.aims - columns.lows], axis=1)
    reach = np.zeros(2 * wanted) if exact else (free / scale[:, None]).ravel()
    answer: Any = milp(
        np.concatenate([columns.price[:-1], [-keeping], _CENTRING / np.maximum(reach, 1e-9)]),
        constraints=LinearConstraint(
            matrix,
            np.concatenate([aims, [rest, 0.0, -np.inf]]),
            np.concatenate([aims, [rest, np.inf, 0.0]]),
        ),
        bounds=Bounds(np.zeros(count + 2 * wanted), np.concatenate([columns.most / unit, reach])),
    )
    if answer.x is None:
        return None
    return np.array(np.maximum(answer.x[:count], 0.0) * unit)


def _with_fewer(
    request: MakeUpRequest, columns: Columns, old: Mixture | None, found: Balance
) -> Balance:
    """The cheapest make-up with the fewest products that stays between the ends that will do.

    A vertex of the programme uses no more products than it has equations, so that only smaller
    sets need be tried.
    """
    if np.all(columns.highs - columns.lows <= 1e-9 * columns.highs):
        return found  # an exact aim is met by fewer products by chance alone
    at_hand = np.flatnonzero(columns.most[:-1] > 0.0).tolist()
    for size in range(len(found.masses)):
        fits = [
            (float(columns.price[:-1] @ answer[:-1]), chosen)
            for chosen in combinations(at_hand, size)
            if columns.covered_by(chosen, found.mixture.mass)
            and (answer := solved(columns.limited_to(chosen), found.mixture.mass, exact=False))
            is not None
        ]
        for _, chosen in sorted(fits):
            only = columns.limited_to(chosen)
            better = _settled(request, only, old, exact=True)
            better = better or _settled(request, only, old, exact=False)
            if better is not None and better.kept >= found.kept - _TOLERANCE:
                return better
    return found


def _settled(
    request: MakeUpRequest, columns: Columns, old: Mixture | None, exact: bool
) -> Balance | None:
    """The programme's answer whose mass fills the volume."""
    total = bath_mixture(request.target.wanted, request.volume).mass
    slope = water_density = water.density(MARK_TEMPERATURE)
    missing = request.volume
    before: tuple[float, float] | None = None
    for number in range(1, _MOST_ROUNDS + 1):
        answer = solved(columns, total, exact=exact)
        if answer is None:
            return None
        mixture = _mixture(request, answer, old, columns.fixed)
        missing = request.volume - volume(mixture, MARK_TEMPERATURE)
        near = _TOLERANCE if number < _MOST_ROUNDS else _GOOD_ENOUGH
        if abs(missing) < near * request.volume:
            used = zip(columns.names, answer[:-1], strict=True)
            return Balance(
                masses={name: float(mass) for name, mass in used if mass > 1e-9 * total},
                kept=float(answer[-1]),
                mixture=mixture,
                exact=exact,
            )
        if before is not None and before[1] != missing:
            slope = (total - before[0]) / (before[1] - missing)
            slope = min(max(slope, 0.2 * water_density), 5.0 * water_density)
        before = (total, missing)
        total += missing * slope
    raise NotConverged(
        "the mass that fills the bath's volume was not found",
        residual=missing / request.volume,
        iterations=_MOST_ROUNDS,
    )


def _mixture(
    request: MakeUpRequest, answer: Floats, old: Mixture | None, fixed: Mixture
) -> Mixture:
    parts = [fixed] + [
        portion(one.product, float(mass))
        for one, mass in zip(request.shelf, answer[:-1], strict=True)
    ]
    if old is not None:
        parts.append(old.scaled(float(answer[-1])))
    return mixed(*parts)


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
    return all(content.substance == "water" for content in product.contents)
