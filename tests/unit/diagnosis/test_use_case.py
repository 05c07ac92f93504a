"""The use case: what the ledger, the log and the person say come together, once each."""

import pytest

from tankside.app.diagnose import DiagnoseRequest, diagnose
from tankside.base.intervals import Interval
from tankside.bath.inventory import estimated
from tankside.bath.inventory.bath_estimate import SALT_OF_COPPER
from tankside.diagnosis.known_numbers import BathNumbers, RunNumbers, bath_numbers
from tankside.diagnosis.loading import atlas
from tankside.diagnosis.shop import Audit, Counts, counted
from tests.unit.bath.inventory.shelf import BOTTLES, make_up


def first(request: DiagnoseRequest) -> str:
    return diagnose(request).diagnosis.suspects[0].cause


def test_the_ledger_s_estimate_is_read_as_it_stands() -> None:
    estimate = estimated((*BOTTLES, make_up()))
    numbers = bath_numbers(estimate)
    assert numbers.copper_sulfate_pentahydrate is not None
    best = numbers.copper_sulfate_pentahydrate.best
    assert best == pytest.approx(estimate.composition.copper_sulfate_pentahydrate, rel=0.02)
    assert best == pytest.approx(SALT_OF_COPPER * estimate.best("copper"), rel=0.02)
    assert numbers.chloride == estimate.interval("chloride")
    assert numbers.temperature is None


def test_the_ledger_and_the_log_speak() -> None:
    low = BathNumbers(chloride=Interval(0.010, 0.015, 0.020))
    assert first(DiagnoseRequest(seen=("dull-all-over",), bath=low)) == "chloride-low"
    cut = RunNumbers(unpowered_in_run=Interval.exact(3600.0))
    assert first(DiagnoseRequest(seen=("layers-separate",), run=cut)) == "interrupted"


def test_what_was_measured_today_goes_before_the_ledger() -> None:
    low = BathNumbers(chloride=Interval(0.010, 0.015, 0.020))
    request = DiagnoseRequest(seen=("dull-all-over",), bath=low, values={"chloride": "75 mg/L"})
    measured = diagnose(request).diagnosis.case.measured
    assert [item.origin for item in measured] == ["what you measured"]
    assert first(request) != "chloride-low"


def test_the_shop_s_own_audits_count() -> None:
    audits = [Audit(found=frozenset({"bag-torn"}))] * 20
    counts = counted(Counts(), audits, atlas())
    assert first(DiagnoseRequest(seen=("sandpaper",), counts=counts)) == "bag-torn"


def test_one_bench_s_silence_is_not_a_statement_s() -> None:
    own = diagnose(DiagnoseRequest(seen=("sandpaper",))).diagnosis.case
    statement = diagnose(DiagnoseRequest(seen=("sandpaper",), on_own_bench=False)).diagnosis.case
    assert own.unasked
    assert not statement.unasked


def test_the_reply_tells_when_it_is_settled() -> None:
    assert not diagnose(DiagnoseRequest(seen=("pits",))).settled
    sure = DiagnoseRequest(seen=("bare-pocket",), answers={"tilt": "yes"})
    assert diagnose(sure).settled
