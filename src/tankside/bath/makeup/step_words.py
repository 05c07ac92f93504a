"""The sentences that stand with a step: what to do, what to watch, what to expect."""

from dataclasses import replace

from tankside.base.constants import GAS_CONSTANT_J_PER_MOL_K
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.bath.ions import ions_of
from tankside.bath.makeup.numbers import allowance
from tankside.bath.makeup.request import MARK_TEMPERATURE
from tankside.bath.makeup.roles import Addition, Role
from tankside.bath.makeup.warming import Surroundings, cooling_time, ice_needed
from tankside.bath.mixture import Mixture, composition_of, volume

_MOLAR_GAS = GAS_CONSTANT_J_PER_MOL_K * 298.15 / 101325.0
"""A mole of gas at 25 °C and 1 atm [m³ mol⁻¹]."""


def dissolving_words(one: Addition, together: Mixture, dissolves: float | None) -> tuple[str, ...]:
    """For a solid on its way in, with what is then in the vessel; `dissolves` is how much copper
    sulfate pentahydrate surely does at 20 °C [kg m⁻³]."""
    words = []
    litres = ions_of(one.becomes.masses)["carbon dioxide"] * _MOLAR_GAS
    if litres > 0.0:
        words.append(
            said(
                "Add it by spoonfuls and wait for the foam each time: it gives off {gas} of carbon "
                "dioxide in all.",
                gas=Quantity(litres, "L"),
            )
        )
    elif one.role is Role.NEEDS_ACID:
        words.append(
            said("Stir it in by spoonfuls; it dissolves slowly and takes up acid as it does.")
        )
    else:
        words.append(
            said("Stir it in by handfuls, and stir until the floor of the vessel is clean.")
        )
    if one.role is Role.COPPER and dissolves is not None:
        held = composition_of(together, MARK_TEMPERATURE).copper_sulfate_pentahydrate
        if held > dissolves:
            words.append(
                said(
                    "The last crystals may wait for the water that fills to the mark; warm it, or "
                    "go on."
                )
            )
    return tuple(words)


def plain_words(one: Addition, together: Mixture) -> tuple[str, ...]:
    """For water, chloride, the filling or the additive, with what is then in the vessel."""
    if one.role is Role.WATER:
        return (said("All acid goes into this water, so it comes first."),)
    if one.role is Role.OXIDANT:
        return (
            said(
                "Peroxide goes into the acid before the copper; keep it off wood, cloth and "
                "solvents, never stopper the vessel, and stop where it grows warm or foams."
            ),
        )
    if one.role is Role.FILLING:
        full, warm, warmer = (
            Quantity(volume(together, MARK_TEMPERATURE + more), "L", 4) for more in (0.0, 5.0, 10.0)
        )
        return (
            said(
                "Fill to {full} at 20 °C (the same bath fills {warm} at 25 °C, {warmer} at 30 °C), "
                "and stir well.",
                full=full,
                warm=warm,
                warmer=warmer,
            ),
        )
    if one.role is Role.ADDITIVE:
        limit = Quantity(allowance("cold_enough_for_additive").best, "degC")
        return (
            said("Only once the bath is below {limit}: warmth destroys brighteners.", limit=limit),
        )
    return ()


def ice_words(
    held: Mixture, before: float, goal: float, wait: Interval, around: Surroundings
) -> list[str]:
    """How ice shortens a wait [s] from `before` to `goal` [K], where it is long or ice is there."""
    ice = Quantity(ice_needed(held, before, goal), "kg", 2)
    if around.ice_bath:
        return [said("The water around it takes about {ice} of ice for that.", ice=ice)]
    if wait.best < allowance("patience").best:
        return []
    quick = cooling_time(held, before, goal, replace(around, ice_bath=True))
    return [
        said(
            "Stood in water with about {ice} of ice it takes {quick} instead of {wait}.",
            ice=ice,
            quick=Quantity(quick.best, "min", 2),
            wait=Quantity(wait.best, "h", 2),
        )
    ]
