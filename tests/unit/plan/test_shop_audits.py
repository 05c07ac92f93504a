"""Audited runs, pooled: simulated shops with a hidden efficiency and a hidden error of a meter."""

from math import exp, log

import numpy as np
import pytest

from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.intervals import NINE_IN_TEN, Interval
from tankside.bath import Composition, acid_sulfate
from tankside.bath.electrolyte import Electrolyte
from tankside.plan.shop_audits import of_audits
from tankside.plan.shop_tests import COAT, EFFICIENCY, FACTORS, calibrated, shop_before
from tankside.runs.audit import METER, Believed, Weighed, audited
from tankside.runs.calibration import Shop, learned

BELIEVED = Believed(
    efficiency=Interval(0.97, 0.99, 1.0),
    share=Interval(0.93, 0.95, 0.97),
    area=Interval(0.018, 0.02, 0.022),
)
PLACE = FACTORS.index("efficiency")
CHARGE = 108000.0


@pytest.fixture(scope="module")
def bath() -> Electrolyte:
    composition = Composition(copper_sulfate_pentahydrate=75.0, sulfuric_acid=190.0, chloride=0.07)
    return acid_sulfate(composition, 298.15, "gentle air")


@pytest.fixture(scope="module")
def before(bath: Electrolyte) -> Shop:
    return shop_before(bath, COAT, EFFICIENCY)


def runs(
    efficiency: float, meter: float, count: int, random: np.random.Generator
) -> list[tuple[Interval, Interval]]:
    """Audited runs of a shop, each with its own share, counted by one meter."""
    found = []
    for _ in range(count):
        share = exp(log(0.95) + log(0.97 / 0.93) / (2 * NINE_IN_TEN) * random.standard_normal())
        laid = CHARGE * COPPER_PER_CHARGE_KG_PER_C * efficiency * meter
        gain, others = laid * share, laid * max(1e-3, 1.0 - share)
        weighed = Weighed(charge=CHARGE, mass_gain=gain, others_gain=others)
        told = audited(BELIEVED, weighed).factors["efficiency"]
        found.append((BELIEVED.efficiency, told))
    return found


def test_many_runs_are_believed_no_further_than_their_meter(before: Shop) -> None:
    random = np.random.default_rng(11)
    held, shops, widths = 0, 300, []
    for _ in range(shops):
        truth = before.mean[PLACE] + before.covariance[PLACE, PLACE] ** 0.5 * float(
            random.standard_normal()
        )
        meter = exp(log(METER.high / METER.low) / (2 * NINE_IN_TEN) * random.standard_normal())
        observed = of_audits(runs(0.99 * exp(truth), meter, 12, random), name="12 audited runs")
        assert observed is not None
        after = learned(before, [observed]).shop.factor("efficiency")
        held += exp(truth) in after
        widths.append(log(after.high / after.low))
    assert 0.85 <= held / shops <= 0.96, held / shops
    was = before.factor("efficiency")
    assert np.mean(widths) < 0.75 * log(was.high / was.low)


def test_what_was_believed_counts_once() -> None:
    """An audit that found what was believed, as surely as it was, tells nothing."""
    assert of_audits([(BELIEVED.efficiency, BELIEVED.efficiency)] * 20, name="x") is None
    assert of_audits([], name="x") is None


def test_a_plan_stands_on_the_audited_efficiency(before: Shop, bath: Electrolyte) -> None:
    random = np.random.default_rng(2)
    observed = of_audits(runs(0.96, 1.0, 8, random), name="8 audited runs")
    assert observed is not None
    known = calibrated(bath, learned(before, [observed]).shop).efficiency
    assert 0.96 in known
    assert known.high <= 1.0
    assert calibrated(bath, before).efficiency == Interval.exact(1.0)
