"""Time left, from earlier runs and only from them."""

from pathlib import Path

import pytest

from tankside.app.work.estimates import KEPT_RUNS, Estimates, alike
from tankside.app.work.work import Order, WorkKind

RUN = [("reading", 2.0), ("solving", 10.0), ("drawing", 4.0)]


@pytest.fixture
def taught(tmp_path: Path) -> Estimates:
    estimates = Estimates(tmp_path / "times.json")
    for factor in (0.5, 1.0, 9.0):
        estimates.learn(WorkKind.PLAN, [(stage, factor * seconds) for stage, seconds in RUN])
    return estimates


def test_nothing_is_made_up(taught: Estimates) -> None:
    assert taught.left(WorkKind.PART, {}, "reading", 0.0) is None
    assert taught.left(WorkKind.PLAN, {}, "dreaming", 0.0) is None


def test_the_median_run_is_the_usual_one(taught: Estimates) -> None:
    assert taught.left(WorkKind.PLAN, {}, "", 0.0) == 16.0
    assert taught.left(WorkKind.PLAN, {"reading": 0.0}, "reading", 0.0) == 16.0


def test_time_runs_down_by_clock_and_by_fraction(taught: Estimates) -> None:
    past = {"reading": 2.0, "solving": 4.0}
    assert taught.left(WorkKind.PLAN, past, "solving", 0.0) == pytest.approx(14.0)
    past = {"reading": 2.0, "solving": 8.0}
    assert taught.left(WorkKind.PLAN, past, "solving", 0.5) == pytest.approx(9.0)


def test_what_takes_longer_than_ever_is_judged_by_its_own_pace(taught: Estimates) -> None:
    past = {"reading": 2.0, "solving": 100.0}  # ten times the usual, and a fifth of it done
    assert taught.left(WorkKind.PLAN, past, "solving", 0.2) == pytest.approx(400.0 + 4.0)
    assert taught.left(WorkKind.PLAN, past, "solving", 0.0) is None


def test_a_plan_over_a_coat_is_alike_to_its_own(tmp_path: Path) -> None:
    metal, coated = (
        Order(id="x", kind=WorkKind.PLAN, title="x", created=1.0, options={"form": form})
        for form in ({"surface": "metal"}, {"surface": "coat"})
    )
    estimates = Estimates(tmp_path / "times.json")
    estimates.learn(alike(metal), RUN)
    assert estimates.left(alike(metal), {}, "", 0.0) == 16.0
    assert estimates.left(alike(coated), {}, "", 0.0) is None


def test_it_never_falls_below_zero(taught: Estimates) -> None:
    assert taught.left(WorkKind.PLAN, {"drawing": 99.0}, "drawing", 1.0) == 0.0


def test_it_is_kept_and_only_the_last_runs(taught: Estimates, tmp_path: Path) -> None:
    for _ in range(KEPT_RUNS):
        taught.learn(WorkKind.PLAN, [("reading", 7.0)])
    assert Estimates(tmp_path / "times.json").left(WorkKind.PLAN, {}, "", 0.0) == 7.0


@pytest.mark.parametrize("content", ["", "[]", '{"plan": 3}', '{"plan": [[1]]}'])
def test_a_spoilt_file_costs_only_the_estimates(tmp_path: Path, content: str) -> None:
    path = tmp_path / "times.json"
    path.write_text(content)
    assert Estimates(path).left(WorkKind.PLAN, {}, "", 0.0) is None
