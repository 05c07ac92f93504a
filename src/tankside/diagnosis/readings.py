"""How a number speaks for or against a cause.

One law for all numbers, with its parameters in data/readings.csv. With z the distance of the value
from the rule's middle (of their logarithms where the rule says so), over the spread of rule and
value together, the odds of the cause are multiplied by

    strength ^ (2 Phi(z) - 1)        z >= 0 on the side that speaks for the cause

so the factor runs smoothly from 1/strength over 1 at the middle to `strength`, and a vague value
moves it less. Several numbers for one cause are seldom independent: the product of their factors
is held within MOST_FACTOR either way.

The law is our own choice of shape; only its middles stand on physics or practice.
"""

from collections.abc import Iterable
from math import exp, isfinite, log, sqrt
from typing import TYPE_CHECKING

from tankside.base.errors import BadInput, MissingData
from tankside.base.intervals import Interval
from tankside.diagnosis.atlas import NINETY_PERCENT, Atlas, Rule

if TYPE_CHECKING:
    from tankside.diagnosis.evidence import Measured

MOST_FACTOR = 20.0
"""All numbers together move the odds of one cause by this factor at most [-]: our guess."""

_LEAST = 1e-9
"""Stands for zero where the logarithm of a value is asked."""


def odds_factors(atlas: Atlas, measured: Iterable["Measured"]) -> dict[str, float]:
    """The factor on the odds of every cause [-], 1 where no number bears on it."""
    logs = dict.fromkeys(atlas.causes, 0.0)
    for item in measured:
        for rule in rules_for(atlas, item):
            logs[rule.cause] += log(odds_factor(rule, item.value, item.window))
    most = log(MOST_FACTOR)
    return {name: exp(min(max(total, -most), most)) for name, total in logs.items()}


def rules_for(atlas: Atlas, item: "Measured") -> tuple[Rule, ...]:
    """The rules that a number meets; BadInput where the atlas knows no such quantity."""
    known = {rule.quantity for rule in atlas.rules}
    if item.quantity not in known:
        raise BadInput(
            "no rule reads {quantity!r}; there are: {known}",
            quantity=item.quantity,
            known=", ".join(sorted(known)),
        )
    return tuple(
        rule
        for rule in atlas.rules
        if rule.quantity == item.quantity and (not rule.group or rule.group == item.group)
    )


def odds_factor(rule: Rule, value: Interval, window: tuple[float, float] | None = None) -> float:
    """The factor [-] by which `value` moves the odds of the rule's cause."""
    middle = rule.middle if rule.middle is not None else _end(rule, window)
    if rule.logarithmic:
        low, best, high = (log(max(end, _LEAST)) for end in (value.low, value.best, value.high))
        middle = log(middle)
    else:
        low, best, high = value.low, value.best, value.high
    own = (high - low) / (2 * NINETY_PERCENT)
    z = (best - middle) / sqrt(rule.spread**2 + own**2)
    towards = z if rule.above else -z
    from scipy.special import ndtr  # a server's start need not wait for it

    return float(rule.strength.value.best ** (2.0 * float(ndtr(towards)) - 1.0))


def _end(rule: Rule, window: tuple[float, float] | None) -> float:
    if window is None:
        raise MissingData(
            "{quantity} needs the window of the bath's family to be judged", quantity=rule.quantity
        )
    end = window[1] if rule.above else window[0]
    if not (isfinite(end) and end > 0.0):
        raise MissingData(
            "the window of {quantity} ends at {end}, which judges nothing",
            quantity=rule.quantity,
            end=end,
        )
    return end
