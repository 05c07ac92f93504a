"""The usual rules beside a plan: what each would set for this part, and what the plan says.

The rules are common practice and have no source. What the rule's current would do is told by the
plan's own field in proportion: at more current a field is less even, so the peaks that are told for
a rule that asks for more are the least they can be.
"""

import numpy as np

from tankside.base.units import in_unit, shown
from tankside.cell.bodies import Role
from tankside.field.deposit import THICKNESS_PER_CHARGE
from tankside.plan.plan import Plan
from tankside.plan.rigs.rules_of_thumb import (
    RULE_CURRENT_DENSITY,
    RuleSaid,
    Told,
    anode_area_rule,
    equal_distances_rule,
)


def usual_rules(plan: Plan, told: Told = shown) -> tuple[RuleSaid, ...]:
    """Current by area, hours by Faraday's law, anode area, equal distances; `told` writes values in
    the reader's units."""
    description = plan.cell.description
    return (
        _current_by_area(plan, told),
        _hours_by_faraday(plan, told),
        anode_area_rule(description, plan.part_area, told),
        equal_distances_rule(description, told),
    )


def _current_by_area(plan: Plan, told: Told) -> RuleSaid:
    current = RULE_CURRENT_DENSITY * plan.part_area
    ratio = current / plan.current
    peak = max(
        float(np.max(result.fraction_of_limit))
        for result in plan.results
        if result.body.role is Role.PART
    )
    return RuleSaid(
        rule="so much current per area",
        rule_sets=f"{told(RULE_CURRENT_DENSITY, 'A/dm^2')} on {told(plan.part_area, 'dm^2')} "
        f"give {current:.3g} A",
        computed=f"{plan.current:.3g} A; the rule sets {ratio:.2g} times that, and the edges would "
        f"bear about {100 * ratio * peak:.0f} % of copper's limit instead of {100 * peak:.0f} %",
    )


def _hours_by_faraday(plan: Plan, told: Told) -> RuleSaid:
    goal = plan.goal.thickness
    seconds = goal / (RULE_CURRENT_DENSITY * THICKNESS_PER_CHARGE)
    mean, least = plan.thickness.mean, plan.thickness.minimum
    return RuleSaid(
        rule="hours by Faraday's law from the mean",
        rule_sets=f"{told(goal, 'um')} everywhere after {in_unit(seconds, 'h'):.3g} h",
        computed=f"{in_unit(plan.duration, 'h'):.3g} h, and then {told(mean, 'um')} in the mean "
        f"and {told(least, 'um')} at the thinnest place, {100 * (least / mean - 1):+.0f} % of "
        "the mean",
    )
