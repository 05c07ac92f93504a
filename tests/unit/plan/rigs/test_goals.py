"""Goals order rigs as people would."""

from dataclasses import replace
from math import inf, log

import pytest

from tankside.plan.plan import MeasuredAt
from tankside.plan.rigs.figures import RigFigures, RigStart
from tankside.plan.rigs.goals import AXES, FAILS, RigGoal, RigWish, spread_of

FIGURES = RigFigures(
    thinnest_rate=1e-9,
    part_thinnest_rates=(1e-9,),
    mean_rate=2e-9,
    thickest_rate=4e-9,
    copper_rate=4e-7,
    part_copper_rate=3e-7,
    burning_fraction=0.0,
    rough_fraction=0.01,
    highest_fraction=0.4,
    current=1.0,
    voltage=0.3,
    limited_by="",
    solved_panels=100,
)


def score(goal: RigGoal, figures: RigFigures = FIGURES, **changes: object) -> float:
    return RigWish(goal=goal, thickness=1e-4, **changes).score(figures)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("goal", "better"),
    [
        (RigGoal.THINNEST, {"thinnest_rate": 1.1e-9}),
        (RigGoal.EVEN, {"thickest_rate": 3.6e-9}),
        (RigGoal.TIME, {"mean_rate": 2.2e-9}),
        (RigGoal.COPPER, {"copper_rate": 3.6e-7}),
        (RigGoal.BURNING, {"highest_fraction": 0.36}),
        (RigGoal.ALL, {"copper_rate": 3.6e-7}),
    ],
)
def test_a_tenth_better_is_a_tenth_less(goal: RigGoal, better: dict[str, float]) -> None:
    gained = score(goal) - score(goal, replace(FIGURES, **better))  # type: ignore[arg-type]
    share = 3 if goal is RigGoal.ALL else 1
    assert gained * share == pytest.approx(0.1, abs=0.006)


def test_time_is_measured_where_the_job_measures() -> None:
    thin = score(RigGoal.TIME, measured_at=MeasuredAt.THINNEST_5_PERCENT)
    assert thin == pytest.approx(score(RigGoal.TIME) + log(2))


def test_late_is_worse_than_any_difference_of_the_goal() -> None:
    wish = RigWish(goal=RigGoal.COPPER, thickness=1e-4, within=100_000.0)
    in_time = replace(FIGURES, copper_rate=8e-7)  # twice the copper
    late = replace(FIGURES, thinnest_rate=0.9e-9, copper_rate=3.6e-7)
    assert wish.score(in_time) < wish.score(late)
    assert wish.score(FIGURES) == score(RigGoal.COPPER)


def test_a_place_that_does_not_grow_is_infinitely_bad() -> None:
    bare = replace(FIGURES, thinnest_rate=0.0)
    for goal in RigGoal:
        assert score(goal, bare) == inf


def test_the_axes_of_the_front() -> None:
    wish = RigWish(goal=RigGoal.THINNEST, thickness=1e-4)
    values = {name: axis(wish, FIGURES) for name, axis in AXES}
    assert values["hours_to_thinnest_h"] == pytest.approx(1e5 / 3600)
    assert values["copper_g"] == pytest.approx(4e-7 * 1e5 * 1e3)
    assert values["spread"] == spread_of(FIGURES) == pytest.approx(4.0)
    assert values["cover_minutes"] == 0.0


def test_a_sooner_start_is_better_and_a_failed_one_worse_than_all() -> None:
    def starting(after: float | None, failure: str = "") -> RigFigures:
        start = RigStart(covered_after=after, delay=None if failure else 10.0, failure=failure)
        return replace(FIGURES, start=start)

    late, soon = starting(1200.0), starting(600.0)
    assert score(RigGoal.START, late) - score(RigGoal.START, soon) == pytest.approx(log(2))
    burnt = starting(60.0, "a collar burns: it bears 99 % of copper's limit")
    for goal in RigGoal:
        assert FAILS <= score(goal, burnt) < inf
        assert score(goal, late) < FAILS
