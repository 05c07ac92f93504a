"""What comes out of a make-up, with its interval: every strength, tool and mark counted.

Each source of error (a label's strength, a product's chloride, a scale, the old bath's analysis,
the mark) moves all quantities at once and independently of the other sources. Its ends are carried
by the linear balance, which is exact in masses; sources add in quadrature, low and high apart, and
the products of their moves are the covariance. No random draws.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.intervals import Interval
from tankside.bath.ions import dissolves, ions_per_kilogram
from tankside.bath.makeup.measured_make_up import MeasuredMakeUp
from tankside.bath.makeup.plan import Amount, ChlorideShare, Resulting
from tankside.bath.makeup.request import OldBath, Target, quantities
from tankside.bath.mixture import ions_in
from tankside.substances.products import Product

STANDARD_DEVIATIONS = 1.645
"""Half-width of an interval that holds nine times in ten, in standard deviations of a normal."""

_ALWAYS = ("copper sulfate pentahydrate", "sulfuric acid", "chloride")


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """How far one source of error moves the quantities [kg m⁻³]: at its low end and at its high."""

    low: Floats
    high: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """What comes out, and the covariance of it [kg² m⁻⁶], in the order of `names`."""

    resulting: tuple[Resulting, ...]
    names: tuple[str, ...]
    covariance: tuple[tuple[float, ...], ...]


def spread(target: Target, done: MeasuredMakeUp, old: OldBath | None) -> Spread:
    """The quantities of a finished bath [kg m⁻³] with their intervals and covariance.

    A bath that is filled to its mark errs by the mark; one that is not, by its old volume, which
    then dilutes itself.
    """
    names = told(target)
    moles = ions_in(done.mixture)
    each = [quantities()[name] for name in names]
    best = np.array([max(moles[ion], 0.0) * weight / done.volume for ion, weight in each])
    moves = [
        *(move for product, amount in done.used for move in _product_moves(names, product, amount)),
        *_old_moves(names, old, done.kept),
        *_volume_moves(names, best, done, old),
    ]
    scaled = [Move(low=move.low / done.volume, high=move.high / done.volume) for move in moves]
    return _gathered(names, best, scaled, target)


def volume_interval(done: MeasuredMakeUp, old: OldBath | None) -> Interval:
    """Volume of the finished bath [m³]: by the mark, or by the old bath's own."""
    if done.filling is None and old is not None:
        rest = done.volume - old.volume.best * done.kept
        return old.volume.mapped(lambda volume: volume * done.kept + rest)
    return done.mark.mapped(lambda error: done.volume * (1.0 + error))


def told(target: Target) -> tuple[str, ...]:
    """The quantities that are told of a bath: those wanted, and copper, acid and chloride."""
    wanted = [one.quantity for one in target.wanted]
    counted = {quantities()[name][0] for name in wanted}
    weak = counted & {"citrate", "acetate"}
    more = [
        name
        for name in _ALWAYS
        if quantities()[name][0] not in counted and not (weak and name == "sulfuric acid")
    ]
    return (*wanted, *more)


def chloride_budget(
    used: tuple[tuple[Product, Amount], ...], old: OldBath | None, kept: float, volume: float
) -> tuple[ChlorideShare, ...]:
    """What each product, and the old bath, bring of chloride per finished bath [kg m⁻³]."""
    shares = []
    weight = quantities()["chloride"][1]
    for product, amount in used:
        content = Interval.exact(0.0)
        for one in product.contents:
            each = _per_kilogram(one.substance).get("chloride", 0.0) * weight
            content = _sum(content, one.mass_fraction.scaled(each))
        shares.append(
            ChlorideShare(
                product=product.name,
                as_content=_product(content, amount.mass).scaled(1.0 / volume),
                as_impurity=_product(product.chloride, amount.mass).scaled(1.0 / volume),
            )
        )
    if old is not None:
        held = next((one.value for one in old.holds if one.quantity == "chloride"), None)
        if held is not None:
            shares.append(
                ChlorideShare(
                    product="old bath",
                    as_content=_product(held, old.volume).scaled(kept / volume),
                    as_impurity=Interval.exact(0.0),
                )
            )
    return tuple(share for share in shares if share.as_content.high + share.as_impurity.high > 0.0)


def _product_moves(names: tuple[str, ...], product: Product, amount: Amount) -> Iterator[Move]:
    """Moves of what one product brings [kg]: each content, its chloride, and its measuring."""
    mass = amount.mass.best
    brought = np.zeros(len(names))
    for content in product.contents:
        each = _row(names, _per_kilogram(content.substance)) * mass
        fraction = content.mass_fraction
        brought += each * fraction.best
        yield Move(
            low=each * (fraction.low - fraction.best), high=each * (fraction.high - fraction.best)
        )
    impurity = _row(names, ions_per_kilogram("chloride")) * mass
    brought += impurity * product.chloride.best
    yield Move(
        low=impurity * (product.chloride.low - product.chloride.best),
        high=impurity * (product.chloride.high - product.chloride.best),
    )
    if mass > 0.0:
        yield Move(
            low=brought * (amount.mass.low / mass - 1.0),
            high=brought * (amount.mass.high / mass - 1.0),
        )


def _old_moves(names: tuple[str, ...], old: OldBath | None, kept: float) -> Iterator[Move]:
    """Moves of what the old bath brings [kg]."""
    if old is None:
        return
    volume = old.volume.best * kept
    ways = [_row(names, _moles_per_kilogram(one.quantity)) for one in old.holds]
    if old.covariance is None:
        for one, way in zip(old.holds, ways, strict=True):
            yield Move(
                low=way * (one.value.low - one.value.best) * volume,
                high=way * (one.value.high - one.value.best) * volume,
            )
    else:
        values, vectors = np.linalg.eigh(np.array(old.covariance))
        for value, vector in zip(values, vectors.T, strict=True):
            step = STANDARD_DEVIATIONS * max(float(value), 0.0) ** 0.5
            move = (
                volume
                * step
                * sum(
                    (way * part for way, part in zip(ways, vector, strict=True)),
                    start=np.zeros(len(names)),
                )
            )
            yield Move(low=-move, high=move)


def _volume_moves(
    names: tuple[str, ...], best: Floats, done: MeasuredMakeUp, old: OldBath | None
) -> Iterator[Move]:
    """Moves of what the old bath's volume and the mark bring [kg]."""
    fills = done.filling is not None
    if old is not None:
        held = sum(
            (_row(names, _moles_per_kilogram(one.quantity)) * one.value.best for one in old.holds),
            start=np.zeros(len(names)),
        )
        brought = (held if fills else held - best) * done.kept
        yield Move(
            low=brought * (old.volume.low - old.volume.best),
            high=brought * (old.volume.high - old.volume.best),
        )
    if fills or old is None:
        mark = done.mark
        amounts = best * done.volume
        yield Move(low=-amounts * mark.high, high=-amounts * mark.low)


def _gathered(names: tuple[str, ...], best: Floats, moves: list[Move], target: Target) -> Spread:
    down, up = np.zeros(len(names)), np.zeros(len(names))
    covariance = np.zeros((len(names), len(names)))
    for move in moves:
        down += np.minimum(np.minimum(move.low, move.high), 0.0) ** 2
        up += np.maximum(np.maximum(move.low, move.high), 0.0) ** 2
        half = (move.high - move.low) / 2.0 / STANDARD_DEVIATIONS
        covariance += np.outer(half, half)
    resulting = tuple(
        Resulting(
            quantity=name,
            value=Interval(
                max(float(value - low), 0.0), max(float(value), 0.0), float(value + high)
            ),
            wanted=target.value(name),
        )
        for name, value, low, high in zip(names, best, np.sqrt(down), np.sqrt(up), strict=True)
    )
    rows = tuple(tuple(float(value) for value in row) for row in covariance)
    return Spread(resulting=resulting, names=names, covariance=rows)


def _row(names: tuple[str, ...], moles: Mapping[str, float]) -> Floats:
    """Kilograms of each quantity that some ions are."""
    return np.array(
        [moles.get(quantities()[name][0], 0.0) * quantities()[name][1] for name in names]
    )


def _per_kilogram(name: str) -> Mapping[str, float]:
    return ions_per_kilogram(name) if dissolves(name) else {}


def _moles_per_kilogram(quantity: str) -> dict[str, float]:
    ion, weight = quantities()[quantity]
    return {ion: 1.0 / weight}


def _sum(one: Interval, other: Interval) -> Interval:
    return Interval(one.low + other.low, one.best + other.best, one.high + other.high)


def _product(one: Interval, other: Interval) -> Interval:
    """Of two numbers that are not negative."""
    return Interval(one.low * other.low, one.best * other.best, one.high * other.high)
