"""A bath from bottles: from what a person asks to what is weighed, poured, waited for and paid.

The request is guarded against slips, balanced (balance.py), measured with the person's tools and
filled to the mark (measured_make_up.py), spread into intervals (spread.py), and turned into steps
(steps.py). Adjusting a bath that is there already is the same with an old bath, kept as far as the
target and the vessel allow.
"""

from dataclasses import replace

from tankside.base.errors import Impossible
from tankside.base.intervals import Interval
from tankside.bath.composition import Composition
from tankside.bath.density import RELATIVE_ERROR
from tankside.bath.evaporation import Room
from tankside.bath.ions import ions_of
from tankside.bath.makeup.balance import Balance, balanced
from tankside.bath.makeup.guards import ROOM_TO_STIR, guarded
from tankside.bath.makeup.measured_make_up import MeasuredMakeUp, additions_of, measured
from tankside.bath.makeup.plan import Amount, MakeUpPlan, Resulting, SolubilityCheck
from tankside.bath.makeup.remarks import (
    assumptions,
    costs,
    sources,
    warnings,
)
from tankside.bath.makeup.request import (
    MARK_TEMPERATURE,
    MakeUpRequest,
    OldBath,
    Preference,
    Stocked,
    Target,
    Tool,
    quantities,
)
from tankside.bath.makeup.roles import Addition, ordered, refuse_dangerous_order
from tankside.bath.makeup.shortfall import why_not
from tankside.bath.makeup.solubility_checks import (
    SALT,
    Limit,
    refuse_insoluble,
    solubility_checks,
    solubility_warnings,
)
from tankside.bath.makeup.spread import chloride_budget, spread, volume_interval
from tankside.bath.makeup.steps import worked
from tankside.bath.makeup.vessels import Vessel, material
from tankside.bath.mixture import composition_of, reacted

_ALL = 1.0 - 1e-9


def made_up(request: MakeUpRequest) -> MakeUpPlan:
    """The make-up that a request asks for.

    BadInput for a slip; Impossible, with the numbers, where shelf, tools, vessel or solubility do
    not allow it; SafetyRefusal for a dangerous product or order.
    """
    guarded(request)
    limit = refuse_insoluble(request.target)
    done = measured(request, _balanced(request))
    additions = ordered(additions_of(request, done), request.order)
    refuse_dangerous_order(additions, request.vessel, request.start)
    return _planned(request, done, additions, limit)


def adjusted(
    old: OldBath,
    target: Target,
    *,
    shelf: tuple[Stocked, ...],
    tools: tuple[Tool, ...],
    vessel: Vessel,
    most: float | None = None,
    preference: Preference = Preference.FEWEST,
    coldest: float = 288.15,
    start: float = MARK_TEMPERATURE,
    room: Room | None = None,
) -> MakeUpPlan:
    """The additions that bring a bath to a target, in its own vessel.

    All of the old bath is kept where the volume may grow to `most` [m³] (None: as far as the vessel
    allows with room to stir); beyond that the least is withdrawn. `start` is the bath's temperature
    and the products' [K]. Raises as `made_up` does.
    """
    brim = vessel.capacity * ROOM_TO_STIR
    limit = max(min(brim if most is None else most, brim), min(old.volume.best, brim))
    request = MakeUpRequest(
        volume=min(old.volume.best, limit),
        target=target,
        shelf=shelf,
        tools=tools,
        vessel=vessel,
        old=old,
        preference=preference,
        coldest=coldest,
        start=start,
        room=room or Room(),
        in_place=True,
    )
    guarded(request)
    refuse_insoluble(target)
    kept = _balanced(request).kept
    grown = limit if kept * limit <= request.volume else request.volume / kept
    return made_up(replace(request, volume=grown))


def _balanced(request: MakeUpRequest) -> Balance:
    """The balance from what may be poured in this vessel; from all, to be refused with its reason,
    where that is not enough."""
    strongest = material(request.vessel.material).strongest_acid
    safe = tuple(
        one for one in request.shelf if one.product.mass_fraction("sulfuric acid").best <= strongest
    )
    found = balanced(replace(request, shelf=safe)) if len(safe) < len(request.shelf) else None
    found = found or balanced(request)
    if found is None:
        raise Impossible(why_not(request), where="make-up")
    return found


def _planned(
    request: MakeUpRequest,
    done: MeasuredMakeUp,
    additions: tuple[Addition, ...],
    limit: Limit | None,
) -> MakeUpPlan:
    out = spread(request.target, done, request.old)
    amounts = {product.name: amount for product, amount in done.used}
    bath = reacted(done.mixture)
    whole = 0.0 if request.old is None else request.old.volume.best
    withdrawn = whole * (1.0 - done.kept) if done.kept < _ALL else 0.0
    composition = _composition(done)
    checks = _solubility(request, composition, out.resulting, limit)
    budget = chloride_budget(done.used, request.old, done.kept, done.volume)
    return MakeUpPlan(
        volume=volume_interval(done, request.old),
        mass=bath.mass,
        density=Interval.about(bath.mass / done.volume, RELATIVE_ERROR),
        amounts=_in_order(additions, amounts),
        old_bath=whole * done.kept,
        withdrawn=withdrawn,
        steps=worked(request, additions, done.used, withdrawn, checks),
        composition=out.resulting,
        names=out.names,
        covariance=out.covariance,
        chloride=budget,
        solubility=checks,
        cost=costs(done.used),
        warnings=(
            *solubility_warnings(checks),
            *warnings(request, done, out.resulting, budget, _exact(out.resulting)),
        ),
        assumptions=assumptions(request, done, checks),
        sources=sources(checks),
    )


def _composition(done: MeasuredMakeUp) -> Composition | None:
    """The bath as copper sulfate, acid and chloride; None for a weak-acid family."""
    moles = ions_of(done.mixture.masses)
    if moles["citrate"] + moles["acetate"] > 0.0:
        return None
    return composition_of(done.mixture, MARK_TEMPERATURE)


def _solubility(
    request: MakeUpRequest,
    composition: Composition | None,
    resulting: tuple[Resulting, ...],
    limit: Limit | None,
) -> tuple[SolubilityCheck, ...]:
    if composition is None or composition.copper_sulfate_pentahydrate <= 0.0:
        return ()
    copper = next(one for one in resulting if quantities()[one.quantity][0] == "copper ion")
    factor = quantities()[SALT][1] / quantities()[copper.quantity][1]
    return solubility_checks(composition, copper.value.scaled(factor), request.coldest, limit)


def _exact(resulting: tuple[Resulting, ...]) -> bool:
    """True where every aim is met to half a per cent or the tools' rounding."""
    for one in resulting:
        if one.wanted is not None:
            slack = max(0.005 * one.wanted.best, one.value.high - one.value.best)
            if abs(one.value.best - one.wanted.best) > slack:
                return False
    return True


def _in_order(additions: tuple[Addition, ...], amounts: dict[str, Amount]) -> tuple[Amount, ...]:
    """The amounts in the order in which they first go in."""
    names = dict.fromkeys(one.name for one in additions if one.name in amounts)
    return tuple(amounts[name] for name in names)
