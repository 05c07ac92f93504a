"""Runs by hand as the pages carry them, and runs from a logger's file: charge, late readings, what
is asked for when, and the way into the store."""

import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tankside.app.order_a_run import Order, as_json
from tankside.app.run_by_hand import FIRST_READING_S, RAMP_READING_S
from tankside.app.run_ports import HardLimits
from tankside.app.show_a_run import show_a_run
from tankside.app.work.live_runs import LiveRuns
from tankside.app.work.run_by_hand_kept import HandReading, TypedReading, understood
from tankside.app.work.run_ways import BY_HAND, LOGGED
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units import UnitSystem
from tankside.main import _LocalTools
from tankside.runs.audit import FACTORS, Believed
from tankside.runs.events import Noted, Read, Set
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe, Setting
from tankside.storage.store.memory import MemoryRows
from tankside.storage.store.store import KeptStore
from tests.unit.app.work.test_live_runs import order


class Time:
    """A clock that tests turn."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.now = 1.7e9
        monkeypatch.setattr(time, "time", lambda: self.now)

    def passes(self, seconds: float) -> None:
        self.now += seconds


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Time:
    return Time(monkeypatch)


@pytest.fixture
def store() -> KeptStore:
    return KeptStore(MemoryRows())


@pytest.fixture
def runs(tmp_path: Path, store: KeptStore) -> LiveRuns:
    return LiveRuns(tmp_path, _LocalTools(), store)


def two_steps() -> dict[str, Any]:
    """Half an hour at 0.5 A, then 2 A up to 7200 C."""
    return as_json(
        Order(
            title="knob",
            recipe=Recipe(
                settings=(
                    Setting(current=0.5, voltage_limit=2.0, duration=1800.0, words="cover it"),
                    Setting(current=2.0, voltage_limit=3.0, charge=7200.0, words="build it"),
                )
            ),
            expected=Expected.steady(np.array([0.5, 2.0]), np.array([0.1, 0.4]), 0.3),
            believed=Believed(**dict.fromkeys(FACTORS, Interval(0.9, 1.0, 1.1))),
            limits=HardLimits(current=5.0, voltage=8.0),
            planned_mass=2e-3,
            planned_thickness=1e-4,
        )
    )


def begun(runs: LiveRuns, what: dict[str, Any] | None = None) -> str:
    id = runs.begin(what or order(), BY_HAND)
    runs.wish(id, "begin")
    runs.wish(id, "immersed")
    return id


def reading(volts: float, amps: float, ago: float = 0.0) -> HandReading:
    return HandReading(voltage=volts, current=amps, ago=ago)


def test_it_enters_live_and_counts_what_is_read(runs: LiveRuns, clock: Time) -> None:
    id = runs.begin(order(), BY_HAND)
    with pytest.raises(BadInput, match="planned"):
        runs.wish(id, "immersed")
    runs.wish(id, "begin")
    assert (runs.view(id).stage, runs.view(id).powered) == ("entry", True)
    runs.wish(id, "immersed")
    clock.passes(1800.0)
    runs.read(id, [reading(0.4, 2.0)])
    assert runs.view(id).charge == pytest.approx(3600.0, rel=1e-3)
    assert runs.view(id).share == pytest.approx(0.5, rel=1e-3)
    clock.passes(900.0)
    assert runs.view(id).charge == pytest.approx(5400.0, rel=1e-3), "taken as last read"
    clock.passes(900.0)
    runs.read(id, [reading(0.4, 2.0)])
    runs.wish(id, "end")
    view = runs.view(id)
    assert (view.stage, view.powered, view.immersed) == ("ended", False, True)
    runs.wish(id, "lifted")
    assert not runs.view(id).immersed


def test_the_next_setting_is_told_when_it_is_due(runs: LiveRuns, clock: Time) -> None:
    id = begun(runs, two_steps())
    assert runs.view(id).reading_due == pytest.approx(clock.now + FIRST_READING_S)
    clock.passes(FIRST_READING_S)
    runs.read(id, [reading(0.1, 0.5)])
    assert runs.view(id).reading_due == pytest.approx(clock.now + RAMP_READING_S)
    assert [row.standing for row in runs.view(id).rows] == ["now", "later"]
    clock.passes(1600.0)
    runs.read(id, [reading(0.1, 0.5)])
    assert runs.view(id).reading_due == pytest.approx(clock.now + 80.0, abs=1.0)
    clock.passes(85.0)
    runs.read(id, [reading(0.1, 0.5)])
    view = runs.view(id)
    assert view.set_current == 2.0
    assert [row.standing for row in view.rows] == ["done", "now"]


def test_readings_that_waited_are_placed_where_they_were_taken(runs: LiveRuns, clock: Time) -> None:
    id = begun(runs, two_steps())
    clock.passes(3600.0)
    late = [reading(0.1, 0.5, ago=2400.0), reading(0.1, 0.5, ago=1200.0), reading(0.1, 0.6)]
    runs.read(id, late)
    runs.read(id, late)  # the answer was lost, and all is sent again
    events = runs.seen(id).events()
    assert [one.at for one in events if isinstance(one, Read)] == pytest.approx(
        [clock.now - 2400.0, clock.now - 1200.0, clock.now]
    )
    assert [one.number for one in events if isinstance(one, Set)] == [0, 1]
    assert [one for one in events if isinstance(one, Set)][1].at >= clock.now
    assert show_a_run(runs.order(id), runs.seen(id)).charge == pytest.approx(
        0.5 * 2400 + 0.55 * 1200, rel=1e-3
    )


def test_a_reading_from_before_a_pause_is_noted_and_not_counted(
    runs: LiveRuns, clock: Time
) -> None:
    id = begun(runs)
    clock.passes(600.0)
    runs.wish(id, "pause")
    clock.passes(60.0)
    runs.read(id, [reading(0.4, 2.0, ago=300.0)])
    events = runs.seen(id).events()
    assert not any(isinstance(one, Read) for one in events)
    assert any(isinstance(one, Noted) and "2 A" in one.text for one in events)


def test_what_looks_wrong_stays_until_it_is_answered(runs: LiveRuns, clock: Time) -> None:
    id = begun(runs)
    clock.passes(120.0)
    runs.read(id, [reading(3.0, 0.05)])
    view = runs.view(id)
    assert view.unseen
    assert "Hardly any current" in view.alarms[-1][1]
    runs.wish(id, "answered")
    assert not runs.view(id).unseen


def test_a_part_lifted_in_a_pause_goes_in_live_again(runs: LiveRuns, clock: Time) -> None:
    id = begun(runs)
    clock.passes(600.0)
    runs.read(id, [reading(0.4, 2.0)])
    runs.wish(id, "pause")
    clock.passes(30.0)
    assert runs.view(id).unpowered == pytest.approx(30.0, abs=0.1)
    runs.wish(id, "lifted")
    clock.passes(600.0)
    runs.wish(id, "resume")
    assert (runs.view(id).stage, runs.view(id).powered) == ("paused", True)
    runs.wish(id, "immersed")
    assert runs.view(id).stage == "plating"
    assert runs.view(id).unpowered == pytest.approx(30.0, abs=0.1)
    clock.passes(600.0)
    runs.read(id, [reading(0.4, 2.0)])
    assert runs.view(id).charge == pytest.approx(2400.0, rel=1e-3), "the pause counts as nothing"


def test_a_long_wait_in_the_acid_is_warned_of(runs: LiveRuns, clock: Time) -> None:
    id = begun(runs)
    runs.wish(id, "pause")
    clock.passes(180.0)
    assert "3 min" in runs.view(id).warning


def test_it_is_in_the_store_as_it_goes(runs: LiveRuns, store: KeptStore, clock: Time) -> None:
    first, second = begun(runs), begun(runs)
    clock.passes(60.0)
    runs.read(first, [reading(0.4, 2.0)])
    assert {one.name for one in store.runs.all()} == {"knob", "knob 2"}
    kept = store.runs.find(runs.view(first).kept)
    assert store.run_events(kept.id) == runs.seen(first).events()
    assert runs.view(first).kept != runs.view(second).kept


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        (("1,9", "2"), (1.9, 2.0, None, None)),
        (("1900 mV", "2.05 A", "24", "12"), (1.9, 2.05, 297.15, 0.012)),
        (("1.9 V", "2", "75 °F", "1 in"), (1.9, 2.0, 297.04, 0.0254)),
    ],
)
def test_bare_numbers_are_volts_and_amps(typed: tuple[str, ...], found: tuple[Any, ...]) -> None:
    read = understood(_typed(*typed), UnitSystem.METRIC)
    seen = (read.voltage, read.current, read.temperature, read.level_drop)
    assert seen == tuple(None if one is None else pytest.approx(one, rel=1e-4) for one in found)


def _typed(volts: str, amps: str, bath: str = "", level: str = "") -> TypedReading:
    return TypedReading(volts=volts, amps=amps, bath=bath, level=level)


def test_bare_bath_numbers_are_in_the_persons_units() -> None:
    read = understood(_typed("1", "1", "75", "1"), UnitSystem.US)
    assert read.temperature == pytest.approx(297.04, abs=0.01)
    assert read.level_drop == pytest.approx(0.0254)


@pytest.mark.parametrize("typed", [("", "2"), ("x", "2"), ("1", "2 V"), ("1", "2", "warm")])
def test_what_is_no_reading_is_refused(typed: tuple[str, ...]) -> None:
    with pytest.raises(BadInput):
        understood(_typed(*typed), UnitSystem.METRIC)


def test_no_supply_shows_that(runs: LiveRuns, clock: Time) -> None:
    id = begun(runs)
    with pytest.raises(BadInput, match="bench supply"):
        runs.read(id, [reading(0.4, 2.0), reading(400.0, 2.0)])
    assert not any(isinstance(one, Read) for one in runs.seen(id).events())


def test_a_supply_reads_its_own_meters(runs: LiveRuns) -> None:
    with pytest.raises(BadInput, match="its own meters"):
        runs.read(runs.begin(order(), LOGGED), [reading(0.4, 2.0)])
