"""The sentences that stand with a step: what to do, what to watch, what to expect."""

from dataclasses import replace

from tankside.base.constants import GAS_CONSTANT_J_PER_MOL_K
from tankside.base.intervals import Interval
from tankside.base.units import shown
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
            f"Add it by spoonfuls and wait for the foam each time: it gives off "
            f"{shown(litres, 'L')} of carbon dioxide in all."
        )
    elif one.role is Role.NEEDS_ACID:
        words.append("Stir it in by spoonfuls; it dissolves slowly and takes up acid as it does.")
    else:
        words.append("Stir it in by handfuls, and stir until the floor of the vessel is clean.")
    if one.role is Role.COPPER and dissolves is not None:
        held = composition_of(together, MARK_TEMPERATURE).copper_sulfate_pentahydrate
        if held > dissolves:
            words.append(
                "The last crystals may wait for the water that fills to the mark; warm it, or go "
                "on."
            )
    return tuple(words)


def plain_words(one: Addition, together: Mixture) -> tuple[str, ...]:
    """For water, chloride, the filling or the additive, with what is then in the vessel."""
    if one.role is Role.WATER:
        return ("All acid goes into this water, so it comes first.",)
    if one.role is Role.OXIDANT:
        return (
            "Peroxide goes into the acid before the copper; keep it off wood, cloth and solvents, "
            "never stopper the vessel, and stop where it grows warm or foams.",
        )
    if one.role is Role.FILLING:
        full = volume(together, MARK_TEMPERATURE)
        warm = ", ".join(
            f"{_litres(volume(together, MARK_TEMPERATURE + more))} at {20 + more:.0f} °C"
            for more in (5.0, 10.0)
        )
        return (f"Fill to {_litres(full)} at 20 °C (the same bath fills {warm}), and stir well.",)
    if one.role is Role.ADDITIVE:
        limit = shown(allowance("cold_enough_for_additive").best, "degC", 3)
        return (f"Only once the bath is below {limit}: warmth destroys brighteners.",)
    return ()


def ice_words(
    held: Mixture, before: float, goal: float, wait: Interval, around: Surroundings
) -> list[str]:
    """How ice shortens a wait [s] from `before` to `goal` [K], where it is long or ice is there."""
    ice = shown(ice_needed(held, before, goal), "kg", 2)
    if around.ice_bath:
        return [f"The water around it takes about {ice} of ice for that."]
    if wait.best < allowance("patience").best:
        return []
    quick = cooling_time(held, before, goal, replace(around, ice_bath=True))
    return [
        f"Stood in water with about {ice} of ice it takes {shown(quick.best, 'min', 2)} instead of "
        f"{shown(wait.best, 'h', 2)}."
    ]


def _litres(value: float) -> str:
    return f"{1e3 * value:.4g} L"
