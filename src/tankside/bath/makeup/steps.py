"""The work as steps: what goes in when, how warm it gets, how long to wait, what to heed.

Temperatures follow from the heats of mixing and dissolving and from what the vessel loses while it
waits. Cautions are named by their ids and stand with the step before which they are to be read.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace

from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.bath.heat_of_dilution import heat_capacity_of
from tankside.bath.makeup.bench_steps import check, put_on, stocks, withdrawal
from tankside.bath.makeup.numbers import allowance
from tankside.bath.makeup.plan import Action, Amount, SolubilityCheck, Step
from tankside.bath.makeup.request import MARK_TEMPERATURE, MakeUpRequest
from tankside.bath.makeup.roles import Addition, Role
from tankside.bath.makeup.step_cautions import cautions_of
from tankside.bath.makeup.step_words import dissolving_words, ice_words, plain_words
from tankside.bath.makeup.warming import (
    Pour,
    Surroundings,
    cooling_time,
    poured,
)
from tankside.bath.mixture import Mixture, mixed, volume
from tankside.substances.products import Product


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """The vessel between two steps: what is in it and how warm [K]."""

    held: Mixture
    temperature: float


def worked(
    request: MakeUpRequest,
    additions: tuple[Addition, ...],
    used: Collection[tuple[Product, Amount]],
    withdrawn: float,
    checks: tuple[SolubilityCheck, ...],
) -> tuple[Step, ...]:
    """All steps of a make-up, from putting on goggles to the label."""
    around = Surroundings(vessel=request.vessel, room=request.room, ice_bath=request.ice_bath)
    steps = [put_on(), *stocks(used)]
    if withdrawn > 0.0:
        steps.append(withdrawal(withdrawn))
    dissolves = checks[0].dissolves.low if checks else None
    state = State(held=Mixture(masses={}), temperature=request.start)
    for one in additions:
        if one.role is Role.FILLING:
            cooled, state = _cooled(state, around)
            steps.extend(cooled)
        made, state = _added(one, state, around, request, dissolves)
        steps.extend(_warned(made, one, used))
    steps.append(check())
    return tuple(steps)


def _warned(
    steps: list[Step], one: Addition, used: Collection[tuple[Product, Amount]]
) -> list[Step]:
    """The steps of a product, with its cautions before the first that handles it."""
    if one.product is None:
        return steps
    others = {content.substance for product, _ in used for content in product.contents}
    cautions = cautions_of(one.product, others)
    return [
        replace(step, cautions=cautions) if step.product and step.portion == 1 else step
        for step in steps
    ]


def _added(
    one: Addition,
    state: State,
    around: Surroundings,
    request: MakeUpRequest,
    dissolves: float | None,
) -> tuple[list[Step], State]:
    if one.role is Role.ACID:
        return _acid(one, state, around, request)
    if one.role in (Role.NEEDS_ACID, Role.COPPER, Role.SOLID):
        return _solid(one, state, around, request, dissolves)
    return _plain(one, state, kept_in_place=request.in_place and one.role is Role.OLD_BATH)


def _acid(
    one: Addition, state: State, around: Surroundings, request: MakeUpRequest
) -> tuple[list[Step], State]:
    pours = poured(state.held, state.temperature, one.becomes, request.start, around)
    first = Step(
        action=Action.POUR_ACID,
        product=one.name,
        wait=allowance("stirring_time").value,
        words=(
            said(
                "Pour the acid into the liquid in a thin stream while stirring, never water onto "
                "acid; stir, and read the thermometer before the next portion."
            ),
        ),
    )
    return _portioned(one, pours, first, state, around)


def _solid(
    one: Addition,
    state: State,
    around: Surroundings,
    request: MakeUpRequest,
    dissolves: float | None,
) -> tuple[list[Step], State]:
    """A solid that dissolves; its heat of dissolving warms or cools."""
    contents = () if one.product is None else one.product.contents
    solids = {content.substance: content.mass_fraction.best * one.mass for content in contents}
    pours = poured(state.held, state.temperature, one.becomes, request.start, around, solids=solids)
    together = mixed(state.held, one.becomes)
    slow = "oxide_dissolving_time" if one.role is Role.NEEDS_ACID else "dissolving_time"
    first = Step(
        action=Action.DISSOLVE,
        product=one.name,
        wait=allowance(slow).value,
        words=dissolving_words(one, together, dissolves),
    )
    return _portioned(one, pours, first, state, around)


def _portioned(
    one: Addition, pours: tuple[Pour, ...], first: Step, state: State, around: Surroundings
) -> tuple[list[Step], State]:
    """A step for each portion, the first with its words and cautions, and the waits between."""
    steps: list[Step] = []
    last = state.temperature
    for number, pour in enumerate(pours, start=1):
        if pour.wait.best > 0.0:
            held = mixed(state.held, one.becomes.scaled((number - 1) / len(pours)))
            steps.append(_waiting(pour, held, last, around))
        steps.append(
            replace(
                first,
                mass=pour.mass,
                volume=_liquid_volume(one, pour.mass),
                portion=number,
                portions=len(pours),
                before=pour.before,
                after=pour.after,
                wait=first.wait.scaled(1.0 / len(pours))
                if first.action is Action.DISSOLVE
                else first.wait,
                words=first.words if number == 1 else (),
            )
        )
        last = pour.after.best
    return steps, State(held=mixed(state.held, one.becomes), temperature=last)


def _waiting(pour: Pour, held: Mixture, before: float, around: Surroundings) -> Step:
    words = [
        said(
            "Wait until the thermometer shows {temperature} or less before the next portion.",
            temperature=Quantity(pour.before, "degC"),
        )
    ]
    words.extend(ice_words(held, before, pour.before, pour.wait, around))
    return Step(
        action=Action.COOL,
        before=before,
        after=Interval.exact(pour.before),
        wait=pour.wait,
        words=tuple(words),
    )


def _plain(one: Addition, state: State, *, kept_in_place: bool) -> tuple[list[Step], State]:
    """Water, old bath, chloride, the filling, the additive: what changes no temperature to speak
    of."""
    together = mixed(state.held, one.becomes)
    temperature = _blended(state, one)
    actions = {
        Role.WATER: Action.POUR_WATER,
        Role.OLD_BATH: Action.POUR_OLD_BATH,
        Role.CHLORIDE: Action.ADD,
        Role.OXIDANT: Action.ADD,
        Role.FILLING: Action.FILL,
        Role.ADDITIVE: Action.ADDITIVE,
    }
    step = Step(
        action=Action.KEEP_OLD_BATH if kept_in_place else actions[one.role],
        product=one.name,
        mass=one.mass,
        volume=_liquid_volume(one, one.mass),
        before=state.temperature,
        after=Interval.exact(temperature),
        wait=allowance("stirring_time").value,
        words=plain_words(one, together),
    )
    return [step], State(held=together, temperature=temperature)


def _cooled(state: State, around: Surroundings) -> tuple[list[Step], State]:
    """The wait before the mark, where the vessel is warmer than the mark's temperature."""
    goal = max(allowance("cold_enough_for_additive").best, around.coolest)
    if state.temperature <= goal:
        return [], state
    wait = cooling_time(state.held, state.temperature, goal, around)
    words = [
        said(
            "Let it cool to {temperature}, loosely covered, before the mark.",
            temperature=Quantity(goal, "degC"),
        )
    ]
    words.extend(ice_words(state.held, state.temperature, goal, wait, around))
    step = Step(
        action=Action.COOL,
        before=state.temperature,
        after=Interval.exact(goal),
        wait=wait,
        words=tuple(words),
    )
    return [step], replace(state, temperature=goal)


def _blended(state: State, one: Addition) -> float:
    """Temperature [K] after something as cold as the mark has gone in."""
    if state.held.mass <= 0.0:
        return state.temperature
    if one.role in (Role.CHLORIDE, Role.ADDITIVE):
        return state.temperature
    mine = heat_capacity_of(state.held, state.temperature)
    its = heat_capacity_of(one.becomes, MARK_TEMPERATURE)
    return (mine * state.temperature + its * MARK_TEMPERATURE) / (mine + its)


def _liquid_volume(one: Addition, mass: float) -> float:
    """Volume [m³] of a liquid product; zero where its density is not known."""
    if one.product is None:
        return volume(one.becomes, MARK_TEMPERATURE)
    heavy = one.product.density
    if heavy is not None:
        return mass / heavy.best
    if one.role in (Role.WATER, Role.FILLING):
        return volume(one.becomes, MARK_TEMPERATURE)
    return 0.0
