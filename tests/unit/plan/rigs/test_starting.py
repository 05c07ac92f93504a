"""A coated rig's start as a search judges it."""

from dataclasses import replace
from math import log

import pytest

from tankside.base.intervals import Interval
from tankside.cell.coating import Box, PaintedRegion, SeedCoat, even_coat
from tankside.plan.rigs.evaluation import evaluated
from tankside.plan.rigs.figures import Bench, RigCase, RigFigures, RigStart, Starts
from tankside.plan.rigs.goals import FAILS, RigGoal, RigWish
from tankside.plan.rigs.rig import Rig
from tankside.plan.rigs.starting import LEAST_PATIENCE, patience


def coated(rig: Rig, coat: SeedCoat) -> Rig:
    (part,) = rig.description.parts
    return replace(rig, description=replace(rig.description, parts=(replace(part, coat=coat),)))


def figures(rig: Rig, bench: Bench) -> RigFigures:
    found = evaluated(RigCase(rig=rig, bench=bench)).figures
    assert found is not None
    return found


@pytest.fixture(scope="module")
def judged(bench: Bench) -> Bench:
    return replace(bench, starts=Starts.QUICK)


def test_metal_starts_at_once_and_a_poorer_coat_later(block_rig: Rig, judged: Bench) -> None:
    assert figures(block_rig, judged).start.delay == 0.0
    delays = [figures(coated(block_rig, even_coat(ohms)), judged).start.delay for ohms in (20, 200)]
    assert delays[0] is not None
    assert delays[1] is not None
    assert 0.0 < delays[0] < delays[1] < LEAST_PATIENCE


def test_a_start_is_judged_by_the_poorest_coat_that_is_believed(
    block_rig: Rig, judged: Bench
) -> None:
    """The same start as that of the high end alone, and another than that of the low end."""
    either = coated(block_rig, SeedCoat(sheet_resistance=Interval(20.0, 60.0, 200.0)))
    poor = figures(coated(block_rig, even_coat(200.0)), judged).start.delay
    assert figures(either, judged).start.delay == pytest.approx(poor, rel=1e-9)
    good = figures(coated(block_rig, even_coat(20.0)), judged).start.delay
    low = figures(either, replace(judged, coat="low")).start.delay
    assert low == pytest.approx(good, rel=1e-9)


def test_what_does_not_start_comes_after_all_that_start(block_rig: Rig, judged: Bench) -> None:
    """A band round the block that the paint left out: no wire feeds what is below it."""
    band = Box(low=(-1.0, -1.0, -0.004), high=(1.0, 1.0, 0.004))
    split = SeedCoat(
        sheet_resistance=Interval.exact(20.0),
        regions=(PaintedRegion(where=band, sheet_resistance=None),),
    )
    hopeless = figures(coated(block_rig, split), judged)
    assert hopeless.start.delay is None
    assert hopeless.start.covered < 0.6
    wish = RigWish(goal=RigGoal.THINNEST, thickness=100e-6)
    assert wish.score(hopeless) >= FAILS
    assert wish.score(figures(coated(block_rig, even_coat(20.0)), judged)) < FAILS


def test_the_start_is_in_the_hours_and_in_the_score(block_rig: Rig, judged: Bench) -> None:
    on_metal = figures(block_rig, judged)
    late = replace(on_metal, start=RigStart(delay=3600.0))
    wish = RigWish(goal=RigGoal.THINNEST, thickness=100e-6)
    hours = wish.hours_to_thinnest(on_metal)
    assert wish.hours_to_thinnest(late) == pytest.approx(hours + 1.0)
    gained = wish.score(late) - wish.score(on_metal)
    assert gained == pytest.approx(log((hours + 1.0) / hours))


def test_starts_are_left_out_unless_asked_for(block_rig: Rig, bench: Bench) -> None:
    assert figures(coated(block_rig, even_coat(1e6)), bench).start.delay == 0.0


def test_patience_is_a_tenth_of_the_job_and_half_an_hour_at_least() -> None:
    assert patience(3600.0) == LEAST_PATIENCE
    assert patience(36000.0) == 3600.0
