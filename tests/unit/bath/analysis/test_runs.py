"""Titres of burette readings: pooling, runs that stand apart, readings that cannot be."""

from dataclasses import replace
from math import sqrt

import pytest
from scipy.stats import studentized_range

from tankside.base.errors import BadInput, UnknownName
from tankside.bath.analysis.instruments import instrument, instruments, scale
from tankside.bath.analysis.runs import (
    EXPERIENCE,
    Run,
    critical_range,
    drop_volume,
    expected_deviation,
    titre_of,
)
from tests.unit.bath.analysis.bench import BURETTE, ML


def runs(*delivered: float) -> list[Run]:
    return [Run(start=0.5 * ML, end=(0.5 + one) * ML) for one in delivered]


@pytest.mark.parametrize("count", range(2, 11))
def test_the_critical_range_is_that_of_the_studentized_range(count: int) -> None:
    assert critical_range(count) == pytest.approx(
        float(studentized_range.ppf(0.95, count, 1e6)), abs=1e-3
    )


def test_one_run_has_the_experience_of_the_burette() -> None:
    found = titre_of(runs(12.0), BURETTE)
    assert found.mean.value == pytest.approx(12.0 * ML)
    assert found.mean.std == pytest.approx(expected_deviation(BURETTE))
    assert found.mean.freedom == EXPERIENCE
    assert "One run only" in found.notes[0]


def test_more_runs_make_the_mean_surer_and_scatter_less_sure() -> None:
    two, four = titre_of(runs(12.0, 12.0), BURETTE), titre_of(runs(12.0, 12.0, 12.0, 12.0), BURETTE)
    assert four.mean.std < two.mean.std < expected_deviation(BURETTE)
    apart = titre_of(runs(11.8, 12.2), BURETTE)
    assert apart.mean.std > two.mean.std
    expected = sqrt((EXPERIENCE * expected_deviation(BURETTE) ** 2 + 0.08 * ML**2) / 9.0 / 2.0)
    assert apart.mean.std == pytest.approx(expected)


def test_the_run_that_stands_apart_is_named_and_kept() -> None:
    found = titre_of(runs(12.0, 12.05, 13.1), BURETTE)
    assert "run 3 with 13.10 mL stands apart" in found.notes[0]
    assert found.mean.value == pytest.approx((12.0 + 12.05 + 13.1) / 3 * ML)
    assert "cannot say which" in titre_of(runs(12.0, 13.0), BURETTE).notes[0]
    assert titre_of(runs(12.0, 12.03, 11.98), BURETTE).notes == ()


def test_a_fine_tip_has_a_smaller_drop() -> None:
    assert drop_volume(instrument("burette 10 mL class A")) < drop_volume(BURETTE)


@pytest.mark.parametrize(
    ("bad", "words"),
    [
        ([], "at least one run"),
        ([Run(start=5.0 * ML, end=3.0 * ML)], "before its start"),
        ([Run(start=3.0 * ML, end=3.0 * ML)], "before its start"),
        ([Run(end=26.0 * ML)], "beyond the end of a 25 mL burette"),
        ([Run(end=12.0)], "beyond the end"),
        ([Run(start=-1.0 * ML, end=3.0 * ML)], "from zero up"),
        ([Run(end=float("nan"))], "from zero up"),
    ],
)
def test_readings_that_cannot_be_are_refused(bad: list[Run], words: str) -> None:
    with pytest.raises(BadInput, match=words):
        titre_of(bad, BURETTE)


def test_a_flask_is_no_burette() -> None:
    with pytest.raises(BadInput, match="not a burette"):
        titre_of(runs(1.0), instrument("flask 100 mL class A"))


def test_class_a_is_never_worse_than_class_b() -> None:
    known = instruments()
    for name, better in known.items():
        if "class A" in name:
            worse = known[name.replace("class A", "class B")]
            assert better.tolerance <= worse.tolerance
            assert better.capacity == worse.capacity


def test_glassware_measures_what_it_can() -> None:
    pipette = instrument("pipette 5 mL class B")
    assert pipette.measured().value == pytest.approx(5.0 * ML)
    with pytest.raises(BadInput, match="nothing else"):
        pipette.measured(2.0 * ML)
    with pytest.raises(BadInput, match="up to 5 mL at once"):
        instrument("syringe 5 mL").measured(7.0 * ML)
    with pytest.raises(UnknownName, match="burette 25 mL class B"):
        instrument("burette 25 mL")
    assert replace(pipette, tolerance=0.0, reading_std=0.0).measured().std == 0.0


def test_a_scale_weighs_up_to_its_load() -> None:
    pocket = scale("pocket scale 0.01 g")
    assert pocket.weighed(0.05).std > 0.01e-3 / sqrt(12.0)
    with pytest.raises(BadInput, match="weighs up to 200 g"):
        pocket.weighed(0.5)
    with pytest.raises(UnknownName, match="kitchen scale"):
        scale("kitchen")
