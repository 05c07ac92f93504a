"""What a shop's audited runs say together of its copper efficiency, for its factors.

An audit's answer stands on what the plan believed before, and every run's charge was counted by the
same meter. Taken one by one, what was believed would count as often as there are runs, and the
meter's error would seem to average out; neither is true.
"""

from collections.abc import Sequence
from math import exp, log, sqrt

import numpy as np

from tankside.base.intervals import NINE_IN_TEN, Interval
from tankside.plan.shop_tests import EFFICIENCY, of_audit
from tankside.runs.audit import METER
from tankside.runs.calibration import Observation

_TELLS = 0.05
"""Share of what was known before that an audit must add to count as having told anything."""


def of_audits(audits: Sequence[tuple[Interval, Interval]], *, name: str) -> Observation | None:
    """What audited runs say together of the copper efficiency [-]: of each what was believed
    before it was weighed and after. What was believed before is taken out again, so that it counts
    once, in the shop; the supply's meter errs alike in all runs, so that many of them say no more
    of the efficiency than it allows. None where no audit has told anything."""
    meter = _variance(METER)
    weights, values = [], []
    for before, after in audits:
        precision = 1.0 / _variance(after) - 1.0 / _variance(before)
        if precision < _TELLS / _variance(before):
            continue
        pull = log(after.best) / _variance(after) - log(before.best) / _variance(before)
        weights.append(1.0 / max(1.0 / precision - meter, 1e-8))
        values.append(pull / precision)
    if not weights:
        return None
    middle = float(np.average(values, weights=weights))
    half = NINE_IN_TEN * sqrt(1.0 / sum(weights) + meter)
    found = Interval(exp(middle - half), exp(middle), exp(middle + half))
    return of_audit(found, EFFICIENCY.best, name=name)


def _variance(interval: Interval) -> float:
    """Of the logarithm."""
    return (log(interval.high / interval.low) / (2 * NINE_IN_TEN)) ** 2
