"""From a plan to a run: what to set, what meters should show, what to believe of the outcome."""

from math import ceil

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.constants import COPPER_DENSITY_KG_PER_M3, COPPER_PER_CHARGE_KG_PER_C
from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.field.seed.front import Covering
from tankside.plan.laws import anode_law, best_numbers, cathode_law
from tankside.plan.plan import Plan
from tankside.plan.shop_tests import polarisation
from tankside.plan.start import SeedStart
from tankside.runs.audit import Believed
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe, Setting

CEILING = 1.5
"""Voltage limit over the highest voltage that the plan thinks likely [-]: our judgement."""

_FROM, _TO, _CURRENTS = 0.02, 1.5, 40
"""Currents of the expectation over the plan's, from and to, and how many."""

_MOST_CHARGES = 60
"""Charges of the expectation of a coated part, at most."""

_LEAST_BUILD_S = 60.0
"""The build lasts at least so long, however much the ramp has laid down."""

AREA_SURE = 0.05
"""How far a coated part's area may lie from its file's [-]: our judgement."""

EFFICIENCY_SURE = 0.02
"""How far copper's share of the current may lie below the plan's [-]: acid copper baths plate at
nearly all of the current (Metal Finishing Guidebook 2013, p. 284: about 100 %)."""


def recipe_of(plan: Plan, voltage_limit: float) -> Recipe:
    """The settings of a plan, under ceilings below the supply's own `voltage_limit` [V]: the ramp
    of a coated part's start by the clock, then the plan's current until its charge has passed."""
    ceiling = min(ceil(10 * CEILING * plan.voltage_interval.high) / 10, voltage_limit)
    ramp = () if plan.start is None else _ramp(plan.start, voltage_limit)
    left = plan.charge - sum(one.current * one.duration for one in ramp)
    build = Setting(
        current=plan.current,
        voltage_limit=ceiling,
        charge=max(left, plan.current * _LEAST_BUILD_S),
        words=said("the build"),
    )
    return Recipe(settings=(*ramp, build))


def _ramp(start: SeedStart, voltage_limit: float) -> tuple[Setting, ...]:
    """All settings of the table but the last, which is the build's own current."""
    return tuple(
        Setting(
            current=entry.current,
            voltage_limit=min(entry.voltage_ceiling, voltage_limit),
            duration=entry.duration,
            words=said("copper creeps over the coat"),
        )
        for entry in start.table[:-1]
    )


def expected_of(plan: Plan) -> Expected:
    """The voltage at the supply's terminals against current, by the plan's own parts of it: the
    solution and the leads in proportion, the electrodes along their laws from the plan's point; on
    a coat, more by the coat's resistance, which fades with the charge."""
    share = np.linspace(_FROM, _TO, _CURRENTS)
    voltage = _on_metal(plan, share)
    spread = plan.voltage_interval
    relative = (spread.high - spread.low) / (2 * spread.best)
    current = plan.current * share
    if plan.start is None:
        return Expected.steady(current, voltage, relative)
    charge, more = _coat_resistance(plan.start.covering, current, voltage)
    return Expected(
        charge=charge,
        current=current,
        voltage=voltage + more[:, None] * current,
        spread=relative,
    )


def _on_metal(plan: Plan, share: Floats) -> Floats:
    """Voltage [V] at shares of the plan's current, once copper covers everything."""
    numbers = best_numbers(plan.electrolyte)
    cathode = polarisation(cathode_law(numbers), anodic=False)
    anode = polarisation(anode_law(numbers), anodic=True)
    cathode_density = plan.current / plan.cathode_area
    anode_density = plan.current / sum(one.area for one in plan.anodes)
    ohmic = plan.voltage.solution + plan.voltage.leads
    voltage: Floats = (
        ohmic * share
        + _along(
            anode(-anode_density * share), anode(-np.array([anode_density])), plan.voltage.anode
        )
        + _along(
            -cathode(cathode_density * share),
            -cathode(np.array([cathode_density])),
            plan.voltage.cathode,
        )
    )
    return np.maximum(voltage, 1e-3)


def _coat_resistance(covering: Covering, current: Floats, voltage: Floats) -> tuple[Floats, Floats]:
    """Charges [C] and what the coat adds there [ohm], never less than nothing and never rising."""
    charge, kept = np.unique(covering.charge, return_index=True)
    flows, shown = covering.current[kept], covering.voltage[kept]
    more = np.maximum(shown - np.interp(flows, current, voltage), 0.0) / np.maximum(flows, 1e-9)
    more = np.minimum.accumulate(more)
    if len(charge) > _MOST_CHARGES:
        chosen = np.unique(np.linspace(0, len(charge) - 1, _MOST_CHARGES).astype(int))
        charge, more = charge[chosen], more[chosen]
    return charge, more


def believed_of(plan: Plan) -> Believed:
    """What the plan holds of the copper on the part, for the audit of its run."""
    copper = COPPER_PER_CHARGE_KG_PER_C * plan.charge
    efficiency = min(1.0, plan.copper_mass / copper)
    known = plan.electrolyte.efficiency
    if known.low < known.high:  # a shop has learned it from its audits
        sure = known.scaled(efficiency / known.best)
    else:
        sure = Interval(efficiency - EFFICIENCY_SURE, efficiency, max(1.0, efficiency))
    share = plan.copper_on_part / plan.copper_mass
    spread = 0.5 * (1.0 - share) + 0.01
    return Believed(
        efficiency=sure,
        share=Interval(share - spread, share, min(share + spread, 1.0)),
        area=Interval.about(plan.part_area, AREA_SURE),
        density=Interval(
            0.99 * COPPER_DENSITY_KG_PER_M3,
            plan.copper_on_part / (plan.part_area * plan.thickness.mean),
            1.005 * COPPER_DENSITY_KG_PER_M3,
        ),
    )


def _along(values: Floats, here: Floats, planned: float) -> Floats:
    """Values along a law, moved so that the plan's point keeps its value; never below zero."""
    return np.maximum(values + (planned - float(here[0])), 0.0)
