"""A balanced make-up as the tools measure it: doses rounded, then water filled to the mark.

Rounding a dose moves the bath by as much as the dose, not more: the water gives way. A dose that no
tool and no stock solution can measure is left out where the bath stays within the ends that will
do; else it is refused.
"""

from dataclasses import dataclass

from tankside.base.errors import Impossible
from tankside.base.intervals import Interval
from tankside.bath import water
from tankside.bath.ions import ions_of
from tankside.bath.makeup.balance import Balance
from tankside.bath.makeup.columns import additive_mass, is_water, old_mixture
from tankside.bath.makeup.measuring import density_of, dosed_volume, measured_amount
from tankside.bath.makeup.numbers import allowance
from tankside.bath.makeup.plan import Amount
from tankside.bath.makeup.request import MARK_TEMPERATURE, Additive, MakeUpRequest, quantities
from tankside.bath.makeup.roles import OLD_BATH, Addition, Role, addition
from tankside.bath.mixture import Mixture, filled, mixed, portion, volume
from tankside.substances.products import Product

_ALL = 1.0 - 1e-9
_WITHIN = 1e-3
"""Share of a quantity by which leaving a dose out may miss the ends that will do [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredMakeUp:
    """What goes into the vessel.

    doses       measured products with their amounts
    filling     the water that fills to the mark, with its amount; None where none is needed
    additives   products with their amounts
    kept        share of the old bath
    mixture     all together, before it reacts
    volume      of the bath at 20 °C [m³]
    left_out    products whose dose was too small to measure, and to matter
    mark        how far the filling to the mark errs, of the volume [-]
    """

    doses: tuple[tuple[Product, Amount], ...]
    filling: tuple[Product, Amount] | None
    additives: tuple[tuple[Product, Amount], ...]
    kept: float
    mixture: Mixture
    volume: float
    left_out: tuple[str, ...]
    mark: Interval

    @property
    def used(self) -> tuple[tuple[Product, Amount], ...]:
        """All products with their amounts."""
        water_last = () if self.filling is None else (self.filling,)
        return (*self.doses, *self.additives, *water_last)


def measured(request: MakeUpRequest, balance: Balance) -> MeasuredMakeUp:
    """The balance's products as the person's tools measure them, filled to the mark."""
    filler = _filler(request, balance)
    doses, left_out = _doses(request, balance, filler)
    additives = tuple(_additive(request, one) for one in request.additives)
    kept = _kept(request, balance)
    parts = [portion(product, amount.mass.best) for product, amount in (*doses, *additives)]
    if request.old is not None:
        parts.append(old_mixture(request.old).scaled(kept))
    mixture = mixed(*parts)
    filling = None
    if filler is not None:
        missing = filled(mixture, request.volume, MARK_TEMPERATURE).mass - mixture.mass
        filling = (filler, _filling_amount(request, filler, missing, mixture.mass + missing))
        mixture = mixed(mixture, portion(filler, missing))
    return MeasuredMakeUp(
        doses=doses,
        filling=filling,
        additives=additives,
        kept=kept,
        mixture=mixture,
        volume=volume(mixture, MARK_TEMPERATURE),
        left_out=left_out,
        mark=_mark(request),
    )


def additions_of(request: MakeUpRequest, done: MeasuredMakeUp) -> tuple[Addition, ...]:
    """All that goes into the vessel, the filling water in two: most of it first, the rest to the
    mark."""
    found = [_dose_addition(product, amount) for product, amount in done.doses]
    found += [_dose_addition(product, amount, Role.ADDITIVE) for product, amount in done.additives]
    if request.old is not None and done.kept > 0.0:
        old = old_mixture(request.old).scaled(done.kept)
        found.append(Addition(name=OLD_BATH, role=Role.OLD_BATH, mass=old.mass, becomes=old))
    if done.filling is not None:
        product, amount = done.filling
        by_stock = (
            sum(one.mass for one in found)
            - sum(amount.mass.best for _, amount in (*done.doses, *done.additives))
            - (old_mixture(request.old).mass * done.kept if request.old else 0.0)
        )
        rest = max(amount.mass.best - by_stock, 0.0)
        last = min(allowance("room_for_filling").best * done.mixture.mass, rest / 2.0)
        found.append(addition(product, rest - last, Role.WATER))
        found.append(addition(product, last, Role.FILLING))
    return tuple(one for one in found if one.mass > 0.0)


def _filler(request: MakeUpRequest, balance: Balance) -> Product | None:
    """The water that there is most of."""
    waters = [
        one.product
        for one in request.shelf
        if is_water(one.product) and balance.masses.get(one.product.name, 0.0) > 0.0
    ]
    return max(waters, key=lambda one: balance.masses[one.name], default=None)


def _doses(
    request: MakeUpRequest, balance: Balance, filler: Product | None
) -> tuple[tuple[tuple[Product, Amount], ...], tuple[str, ...]]:
    doses, left_out = [], []
    for one in request.shelf:
        product = one.product
        mass = balance.masses.get(product.name, 0.0)
        if mass <= 0.0 or product is filler:
            continue
        try:
            amount = measured_amount(product, mass, request.tools, most=one.available)
        except Impossible:
            if not _can_do_without(request, balance, product, mass):
                raise
            left_out.append(product.name)
        else:
            doses.append((product, amount))
    return tuple(doses), tuple(left_out)


def _can_do_without(
    request: MakeUpRequest, balance: Balance, product: Product, mass: float
) -> bool:
    """True where every quantity stays within what will do though a dose is left out."""
    all_ions, its_ions = ions_of(balance.mixture.masses), ions_of(portion(product, mass).masses)
    for one in request.target.wanted:
        ion, weight = quantities()[one.quantity]
        left = (all_ions[ion] - its_ions[ion]) * weight / request.volume
        low, high = one.value.low * (1.0 - _WITHIN), one.value.high * (1.0 + _WITHIN)
        if not low <= left <= high:
            return False
    return True


def _additive(request: MakeUpRequest, additive: Additive) -> tuple[Product, Amount]:
    old = request.old.volume.best if request.old else 0.0
    mass = additive_mass(additive, max(request.volume - old, 0.0))
    return additive.product, measured_amount(additive.product, mass, request.tools)


def _kept(request: MakeUpRequest, balance: Balance) -> float:
    """The share of the old bath that stays, what is withdrawn rounded to a tool."""
    if request.old is None:
        return 0.0
    if balance.kept > _ALL:
        return 1.0
    whole = request.old.volume.best
    withdrawn = whole * (1.0 - balance.kept)
    reading = dosed_volume(withdrawn, request.tools)
    return balance.kept if reading is None else max(1.0 - reading / whole, 0.0)


def _filling_amount(request: MakeUpRequest, product: Product, mass: float, whole: float) -> Amount:
    """The water to the mark: it is not measured, and errs by what the mark errs."""
    error = min(_mark(request).high * whole / mass, 1.0) if mass > 0.0 else 0.0
    heavy = density_of(product)
    per = water.density(MARK_TEMPERATURE) if heavy is None else heavy.best
    price = product.cost_per_kg
    return Amount(
        product=product.name,
        mass=Interval.about(mass, error),
        volume=Interval.about(mass / per, error),
        reading=None,
        stock=None,
        relative_error=error,
        cost=None if price is None else price * mass,
    )


def _mark(request: MakeUpRequest) -> Interval:
    if request.mark_error is None:
        return allowance("mark_error").value
    return Interval(-request.mark_error, 0.0, request.mark_error)


def _dose_addition(product: Product, amount: Amount, role: Role | None = None) -> Addition:
    """A dose as it goes in; from a stock, with the stock's water."""
    plain = addition(product, amount.mass.best, role)
    if amount.stock is None:
        return plain
    thinned = amount.stock.dose.best * water.density(MARK_TEMPERATURE) - amount.mass.best
    becomes = mixed(plain.becomes, Mixture(masses={"water": max(thinned, 0.0)}))
    return Addition(name=plain.name, role=plain.role, mass=becomes.mass, becomes=becomes)
