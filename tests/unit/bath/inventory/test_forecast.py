"""Forecasts against hand sums, and the worth of measurements against doing them."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.bath.families import family
from tankside.bath.inventory import Analysis, estimated
from tankside.bath.inventory.forecast import WEEK, WeeklyUse, forecast
from tankside.bath.inventory.next_measurement import (
    Possible,
    most_worth,
    wrong_after,
    wrong_before,
)
from tankside.bath.inventory.waters import water_year
from tankside.bath.inventory.windows import windows_of
from tests.unit.bath.inventory.shelf import DAY, TAP, WATER, certain, found, taken_over

WINDOWS = windows_of(family("conventional"))
IDLE = WeeklyUse(charge=0.0, area=0.0, water=WATER)
BUSY = WeeklyUse(
    charge=1.5e5, area=0.2, water=TAP, open_duration=4 * DAY, surface_area=0.08,
    idle_duration=5 * DAY, anode_area=0.06,
)  # fmt: skip


def test_the_published_window_counts_copper_as_metal() -> None:
    low, high = WINDOWS["copper"]
    assert (low, high) == pytest.approx((195 * 0.2545, 248 * 0.2545), rel=1e-3)


def test_a_bath_that_rests_stays_and_is_known_ever_less() -> None:
    estimate = estimated((taken_over(relative=0.02),))
    ahead = forecast(estimate, IDLE, WINDOWS, weeks=10)
    assert ahead.mean[-1, :3] == pytest.approx(ahead.mean[0, :3], rel=1e-6)
    assert np.all(np.diff(ahead.std[1:, 0]) > 0.0)
    assert ahead.at[1] - ahead.at[0] == WEEK
    assert ahead.top_up == 0.0


def test_chloride_of_the_water_adds_up() -> None:
    """By hand: what evaporates is replaced by water with 30 mg/kg, nothing leaves."""
    use = replace(BUSY, charge=0.0, area=0.0, idle_duration=0.0)
    ahead = forecast(estimated((taken_over(),), certain()), use, WINDOWS, weeks=20)
    gained = (ahead.mean[-1] - ahead.mean[0])[2] * ahead.mean[0, 4]
    assert gained == pytest.approx(3e-5 * ahead.top_up, rel=1e-3)
    assert ahead.top_up > 5.0
    assert ahead.mean[-1, 4] == pytest.approx(0.018, rel=1e-3)


def test_the_sulfate_of_a_working_bath_stays_but_for_what_is_carried_out() -> None:
    use = replace(BUSY, area=0.0)
    ahead = forecast(estimated((taken_over(),), certain()), use, WINDOWS, weeks=20)
    sulfate = ahead.mean[:, 0] / 63.546e-3 + ahead.mean[:, 1] / 98.078e-3
    assert sulfate[-1] == pytest.approx(sulfate[0], rel=1e-3)
    assert ahead.mean[-1, 0] > ahead.mean[0, 0]


def test_leaving_is_dated_between_early_and_late() -> None:
    estimate = estimated((taken_over(copper=58.0, relative=0.01),))
    ahead = forecast(estimate, replace(BUSY, charge=6e5), WINDOWS, weeks=104)
    (copper,) = [one for one in ahead.leaving if one.quantity == "copper"]
    assert copper.side == "above"
    assert copper.probability_now < 0.05 < copper.probability_then
    assert copper.earliest is not None
    assert ahead.at[0] < copper.earliest
    if copper.likely is not None:
        assert copper.earliest < copper.likely


def test_what_is_outside_has_left_already() -> None:
    ahead = forecast(estimated((taken_over(copper=80.0, relative=0.01),)), IDLE, WINDOWS, weeks=2)
    (copper,) = [one for one in ahead.leaving if one.quantity == "copper"]
    assert copper.earliest == copper.likely == copper.latest == ahead.at[0]
    assert copper.side == "above"


def test_sensitivity_is_the_derivative_of_the_end() -> None:
    """Moving what is known of the start moves the end as the forecast says."""
    base = forecast(estimated((taken_over(),), certain()), BUSY, WINDOWS, weeks=8)
    more = forecast(estimated((taken_over(copper=54.05),), certain()), BUSY, WINDOWS, weeks=8)
    moved = base.sensitivity @ (more.state - base.state)
    assert (more.mean[-1] - base.mean[-1])[:3] == pytest.approx(moved[:3], rel=0.02, abs=1e-6)


def test_bad_weeks_are_refused() -> None:
    with pytest.raises(BadInput, match="168 hours"):
        replace(BUSY, open_duration=8 * DAY)
    with pytest.raises(BadInput, match="zero or more"):
        replace(BUSY, charge=-1.0)
    with pytest.raises(BadInput, match="one week or more"):
        forecast(estimated((taken_over(),)), IDLE, WINDOWS, weeks=0)


POSSIBLE = (
    Possible(quantity="copper", std=0.8, minutes=20.0, cost=0.5),
    Possible(quantity="sulfuric_acid", std=1.2, minutes=15.0, cost=0.2),
    Possible(quantity="chloride", std=0.005, minutes=30.0),
    Possible(quantity="density", std=1.0, minutes=3.0),
)


def test_the_doubtful_quantity_is_worth_measuring() -> None:
    near = replace(taken_over(copper=50.5, acid=50.0, chloride=0.085, relative=0.02),
                   copper_std=2.5)  # fmt: skip
    ranked = most_worth(estimated((near,)), WINDOWS, POSSIBLE[:3])
    assert ranked[0].measurement.quantity == "copper"
    assert ranked[0].fewer_errors > 0.05
    assert ranked[0].per_cost == pytest.approx(ranked[0].fewer_errors / 0.5)
    assert all(one.fewer_errors < 0.02 for one in ranked[1:])


@pytest.mark.parametrize("one", POSSIBLE, ids=[one.quantity for one in POSSIBLE])
def test_narrowing_is_what_the_measurement_then_does(one: Possible) -> None:
    """Foretold share of variance against the ledger with the measurement in it."""
    start = taken_over(relative=0.04)
    before = estimated((start,), certain())
    (told,) = most_worth(before, WINDOWS, (one,))
    middle = {"copper": 54.0, "sulfuric_acid": 55.0, "chloride": 0.07, "density": 1161.0}
    reading = Analysis(
        at=0.0, id="a", findings=(found(one.quantity, middle[one.quantity], one.std),)
    )
    after = estimated((start, reading), certain())
    for name in WINDOWS:
        gone = 1.0 - (after.std(name) / before.std(name)) ** 2
        assert told.narrowed[name] == pytest.approx(gone, abs=0.02), name


def test_expected_errors_are_those_of_many_trials() -> None:
    rng = np.random.default_rng(3)
    mean, std, own, ends = 50.0, 2.0, 1.0, (49.0, 60.0)
    truth = mean + std * rng.standard_normal(200_000)
    read = truth + own * rng.standard_normal(truth.size)
    gain = std**2 / (std**2 + own**2)
    best = mean + gain * (read - mean)
    said = (best > ends[0]) & (best < ends[1])
    wrong = np.mean(said != ((truth > ends[0]) & (truth < ends[1])))
    assert wrong_after(mean, std, gain * std**2, ends) == pytest.approx(wrong, abs=0.005)
    assert wrong_before(mean, std, ends) == pytest.approx(np.mean(truth < ends[0]), abs=0.005)


def test_a_measurement_ahead_of_a_forecast() -> None:
    estimate = estimated((taken_over(relative=0.03),))
    ahead = forecast(estimate, BUSY, WINDOWS, weeks=30)
    ranked = most_worth(estimate, WINDOWS, POSSIBLE, ahead=ahead)
    assert {one.measurement for one in ranked} == set(POSSIBLE)
    assert all(0.0 <= share <= 1.0 for one in ranked for share in one.narrowed.values())
    assert [one.per_minute for one in ranked] == sorted(
        (one.per_minute for one in ranked), reverse=True
    )


def test_impossible_measurements_are_refused() -> None:
    with pytest.raises(BadInput, match="above zero"):
        Possible(quantity="copper", std=0.0, minutes=1.0)


def test_a_year_of_tap_water_is_worse_than_one_of_pure() -> None:
    estimate = estimated((taken_over(relative=0.02),))
    tap = water_year(estimate, BUSY, WINDOWS, hardness=0.3)
    pure = water_year(estimate, replace(BUSY, water=WATER), WINDOWS, hardness=0.0)
    assert tap.chloride.best > pure.chloride.high
    assert "beyond the 120 mg/L" in tap.note
    assert "gypsum" in tap.note
    assert tap.gypsum is not None
    # 1.72 g of gypsum from a gram of calcium carbonate (172.17 over 100.09)
    assert tap.gypsum == pytest.approx(0.3 * 1.7202 * tap.top_up / 997.0 / 0.018, rel=0.01)
    assert pure.gypsum == 0.0
    assert "gypsum" not in pure.note


def test_hardness_in_milligrams_is_refused() -> None:
    with pytest.raises(BadInput, match="kg/m³"):
        water_year(estimated((taken_over(),)), BUSY, WINDOWS, hardness=300.0)


def test_an_interval_of_the_future_is_not_negative() -> None:
    start = replace(taken_over(), chloride=0.002, chloride_std=0.004)
    ends = forecast(estimated((start,)), IDLE, WINDOWS, weeks=3).interval("chloride")
    assert isinstance(ends, Interval)
    assert ends.low == 0.0
