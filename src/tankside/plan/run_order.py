"""From a plan to a run: what to set, what meters should show, what to believe of the outcome."""

from math import ceil

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.constants import COPPER_DENSITY_KG_PER_M3
from tankside.base.intervals import Interval
from tankside.plan.laws import anode_law, best_numbers, cathode_law
from tankside.plan.plan import Plan
from tankside.plan.shop_tests import polarisation
from tankside.runs.audit import MASS_PER_CHARGE, Believed
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe, Setting

CEILING = 1.5
"""Voltage limit over the highest voltage that the plan thinks likely [-]: our judgement."""

_FROM, _TO, _CURRENTS = 0.05, 1.5, 30
"""Currents of the expectation over the plan's, from and to, and how many."""

AREA_SURE = 0.05
"""How far a coated part's area may lie from its file's [-]: our judgement."""

EFFICIENCY_SURE = 0.02
"""How far copper's share of the current may lie below the plan's [-]: acid copper baths plate at
nearly all of the current (Metal Finishing Guidebook 2013, p. 284: about 100 %)."""


def recipe_of(plan: Plan, voltage_limit: float) -> Recipe:
    """The settings of a plan on metal: its current until its charge has passed, under a ceiling
    below the supply's own `voltage_limit` [V]."""
    ceiling = ceil(10 * CEILING * plan.voltage_interval.high) / 10
    setting = Setting(
        current=plan.current,
        voltage_limit=min(ceiling, voltage_limit),
        charge=plan.charge,
        words="the build",
    )
    return Recipe(settings=(setting,))


def expected_of(plan: Plan) -> Expected:
    """The voltage at the supply's terminals against current, by the plan's own parts of it: the
    solution and the leads in proportion, the electrodes along their laws from the plan's point."""
    numbers = best_numbers(plan.electrolyte)
    share = np.linspace(_FROM, _TO, _CURRENTS)
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
    spread = plan.voltage_interval
    return Expected.steady(
        plan.current * share,
        np.maximum(voltage, 1e-3),
        (spread.high - spread.low) / (2 * spread.best),
    )


def believed_of(plan: Plan) -> Believed:
    """What the plan holds of the copper on the part, for the audit of its run."""
    copper = MASS_PER_CHARGE * plan.charge
    efficiency = min(1.0, plan.copper_mass / copper)
    share = plan.copper_on_part / plan.copper_mass
    spread = 0.5 * (1.0 - share) + 0.01
    return Believed(
        efficiency=Interval(efficiency - EFFICIENCY_SURE, efficiency, max(1.0, efficiency)),
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
