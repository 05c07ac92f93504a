"""The usual rules beside a plan: what each would set for this part, and what the plan says.

The rules are common practice and have no source. What the rule's current would do is told by the
plan's own field in proportion: at more current a field is less even, so the peaks that are told for
a rule that asks for more are the least they can be.
"""

import numpy as np

from tankside.base.messages import Quantity, said
from tankside.cell.bodies import Role
from tankside.field.deposit import THICKNESS_PER_CHARGE
from tankside.plan.plan import Plan
from tankside.plan.rigs.rules_of_thumb import (
    RULE_CURRENT_DENSITY,
    RuleSaid,
    anode_area_rule,
    equal_distances_rule,
)


def usual_rules(plan: Plan) -> tuple[RuleSaid, ...]:
    """Current by area, hours by Faraday's law, anode area, equal distances."""
    description = plan.cell.description
    return (
        _current_by_area(plan),
        _hours_by_faraday(plan),
        anode_area_rule(description, plan.part_area),
        equal_distances_rule(description),
    )


def _current_by_area(plan: Plan) -> RuleSaid:
    current = RULE_CURRENT_DENSITY * plan.part_area
    ratio = current / plan.current
    peak = max(
        float(np.max(result.fraction_of_limit))
        for result in plan.results
        if result.body.role is Role.PART
    )
    return RuleSaid(
        rule=said("so much current per area"),
        rule_sets=said(
            "{density} on {area} give {current}",
            density=Quantity(RULE_CURRENT_DENSITY, "A/dm^2"),
            area=Quantity(plan.part_area, "dm^2"),
            current=Quantity(current, "A"),
        ),
        computed=said(
            "{planned}; the rule sets {ratio} times that, and the edges would bear about {by_rule} "
            "% of copper's limit instead of {here} %",
            planned=Quantity(plan.current, "A"),
            ratio=Quantity(ratio, digits=2),
            by_rule=Quantity(100 * ratio * peak, digits=2),
            here=Quantity(100 * peak, digits=2),
        ),
    )


def _hours_by_faraday(plan: Plan) -> RuleSaid:
    goal = plan.goal.thickness
    seconds = goal / (RULE_CURRENT_DENSITY * THICKNESS_PER_CHARGE)
    mean, least = plan.thickness.mean, plan.thickness.minimum
    return RuleSaid(
        rule=said("hours by Faraday's law from the mean"),
        rule_sets=said(
            "{goal} everywhere after {time}",
            goal=Quantity(goal, "um"),
            time=Quantity(seconds, "h"),
        ),
        computed=said(
            "{time}, and then {mean} in the mean and {least} at the thinnest place",
            time=Quantity(plan.duration, "h"),
            mean=Quantity(mean, "um"),
            least=Quantity(least, "um", digits=2),
        ),
    )
