"""From a plan to the ledger's events, and from the ledger's estimate to an old bath.

A plan that is carried out is written down as what was weighed, with the tools' errors, and the mark
that it was filled to; the ledger then knows the bath as the plan does. What the ledger knows months
later comes back with its covariance, to be put right.
"""

from collections.abc import Callable

from tankside.base.intervals import Interval
from tankside.bath.inventory.bath_estimate import BathEstimate, place_of
from tankside.bath.inventory.events import Addition, Event, MakeUp, Portion, Withdrawal
from tankside.bath.makeup.plan import Amount, MakeUpPlan
from tankside.bath.makeup.request import OldBath, Wanted
from tankside.bath.makeup.spread import STANDARD_DEVIATIONS

_HELD = {"copper": "copper", "sulfuric_acid": "sulfuric acid", "chloride": "chloride"}
"""The ledger's names of what a bath holds, and the make-up's."""


def events_of(plan: MakeUpPlan, *, at: float, id_of: Callable[[str], str]) -> tuple[Event, ...]:
    """What a carried-out plan is in the ledger, at a time [s since 1970-01-01 UTC].

    `id_of` gives an id for what happened ("make-up", "withdrawal", a product's name). A bath that
    was there is a withdrawal and additions; a new one is a make-up with the mark that it was filled
    to. A dose from a stock solution counts as the product that was in it.
    """
    if plan.old_bath == 0.0:
        return (
            MakeUp(
                at=at,
                id=id_of("make-up"),
                portions=tuple(
                    Portion(product=one.product, mass=one.mass.best, mass_std=_std(one.mass))
                    for one in plan.amounts
                ),
                level_volume=plan.volume.best,
                level_std=_std(plan.volume),
            ),
        )
    taken: tuple[Event, ...] = ()
    if plan.withdrawn > 0.0:
        taken = (Withdrawal(at=at, id=id_of("withdrawal"), volume=plan.withdrawn),)
    return (*taken, *(_addition(one, at, id_of) for one in plan.amounts))


def old_bath_of(estimate: BathEstimate) -> OldBath:
    """The ledger's bath as a make-up takes it, with the covariance of what it holds.

    That the volume errs together with what is in it is left out: it errs on the wide side.
    """
    places = [place_of(name) for name in _HELD]
    return OldBath(
        volume=estimate.interval("volume"),
        holds=tuple(
            Wanted(quantity=told, value=_from_zero(estimate.interval(name)))
            for name, told in _HELD.items()
        ),
        covariance=tuple(
            tuple(float(estimate.covariance[row, column]) for column in places) for row in places
        ),
    )


def _addition(amount: Amount, at: float, id_of: Callable[[str], str]) -> Addition:
    return Addition(
        at=at,
        id=id_of(amount.product),
        product=amount.product,
        mass=amount.mass.best,
        mass_std=_std(amount.mass),
    )


def _std(value: Interval) -> float:
    return (value.high - value.low) / 2.0 / STANDARD_DEVIATIONS


def _from_zero(value: Interval) -> Interval:
    return Interval(max(value.low, 0.0), max(value.best, 0.0), max(value.high, 0.0))
