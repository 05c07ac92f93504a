"""Runs that the pages steer, on the simulated supply: every sample kept, output off at the end."""

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tankside.app.order_a_run import Order, as_json
from tankside.app.run_ports import HardLimits
from tankside.app.work.live_runs import LiveRuns
from tankside.app.work.run_ways import FAULTS, SIMULATED
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.hardware.guardian import GuardedSupply
from tankside.hardware.simulated.cell import FAULTS as simulated_faults
from tankside.main import _LocalTools
from tankside.runs.audit import FACTORS, Believed
from tankside.runs.events import Gap, PoweredOff
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe, Setting
from tankside.storage.store.memory import MemoryRows
from tankside.storage.store.store import KeptStore


def order(charge: float = 7200.0) -> dict[str, Any]:
    """2 A at about 0.4 V until `charge` [C] has passed."""
    return as_json(
        Order(
            title="knob",
            recipe=Recipe(settings=(Setting(current=2.0, voltage_limit=3.0, charge=charge),)),
            expected=Expected.steady(np.array([1.0, 2.0]), np.array([0.2, 0.4]), 0.3),
            believed=Believed(**dict.fromkeys(FACTORS, Interval(0.9, 1.0, 1.1))),
            limits=HardLimits(current=5.0, voltage=8.0),
            planned_mass=2e-3,
            planned_thickness=1e-4,
            cautions=("Wear goggles.",),
        )
    )


@pytest.fixture
def desks(tmp_path: Path) -> Iterator[Callable[[], LiveRuns]]:
    made: list[LiveRuns] = []

    def desk() -> LiveRuns:
        made.append(LiveRuns(tmp_path, _LocalTools()))
        return made[-1]

    yield desk
    for one in made:
        one.close()


def until(told: Callable[[], bool], seconds: float = 60.0) -> None:
    end = time.monotonic() + seconds
    while not told():
        assert time.monotonic() < end, "it did not come"
        time.sleep(0.05)


def running(runs: LiveRuns, **how: Any) -> str:
    id = runs.begin(order(**how), SIMULATED, 600.0)
    assert runs.view(id).stage == "planned"
    runs.wish(id, "begin")
    until(lambda: (runs.view(id).stage, runs.view(id).powered) == ("entry", True))
    runs.wish(id, "immersed")
    return id


def test_a_run_goes_through_and_ends_with_the_output_off(desks: Callable[[], LiveRuns]) -> None:
    runs = desks()
    id = running(runs)
    until(lambda: runs.view(id).voltage is not None)
    assert runs.view(id).current == pytest.approx(2.0, rel=0.02)
    until(lambda: runs.view(id).stage == "ended")
    view = runs.view(id)
    assert not view.powered
    assert view.charge == pytest.approx(7200.0, rel=0.02)
    assert (view.share, view.to_go) == (1.0, 0.0)
    chart = runs.chart(id)
    assert {len(column) for column in chart.values()} == {len(chart["time_h"])}
    assert chart["charge_Ah"][-1] == pytest.approx(2.0, rel=0.02)
    assert chart["expected_voltage_V"][-1] == pytest.approx(0.4, rel=0.05)


def test_what_has_ended_is_in_the_store(tmp_path: Path) -> None:
    store = KeptStore(MemoryRows())
    runs = LiveRuns(tmp_path, _LocalTools(), store)
    id = running(runs)
    runs.wish(id, "pause")
    runs.wish(id, "resume")
    until(lambda: runs.view(id).kept != "")
    seen = runs.seen(id)
    kept = store.runs.find(runs.view(id).kept)
    assert kept.name == "knob"
    assert store.run_events(kept.id) == seen.events()
    assert store.series(kept.id).time.tolist() == seen.series().time.tolist()
    runs.close()


def test_pause_and_go_on(desks: Callable[[], LiveRuns]) -> None:
    runs = desks()
    id = running(runs, charge=720000.0)
    runs.wish(id, "pause")
    paused = runs.view(id)
    assert (paused.stage, paused.powered) == ("paused", False)
    with pytest.raises(BadInput, match="cannot take"):
        runs.wish(id, "begin")
    runs.wish(id, "resume")
    assert runs.view(id).powered
    runs.wish(id, "abort")
    assert (runs.view(id).stage, runs.view(id).powered) == ("aborted", False)


def test_one_supply_serves_one_run(desks: Callable[[], LiveRuns]) -> None:
    runs = desks()
    first = running(runs, charge=720000.0)
    second = runs.begin(order(), SIMULATED, 600.0)
    with pytest.raises(BadInput, match=f"the run of {order()['title']} has the supply"):
        runs.wish(second, "begin")
    runs.wish(first, "abort")
    runs.wish(second, "begin")  # at once: the first one's last lines are waited for
    runs.wish(second, "abort")


def test_a_server_that_ends_pauses_and_the_next_goes_on(
    desks: Callable[[], LiveRuns], tmp_path: Path
) -> None:
    before = desks()
    id = running(before, charge=720000.0)
    until(lambda: before.view(id).charge > 0)
    before.close()
    after = desks()
    view = after.view(id)
    assert (view.stage, view.powered, view.connected) == ("paused", False, False)
    events = _LocalTools().runs().opened(tmp_path / id).events()
    assert isinstance(events[-1], PoweredOff)
    assert not any(isinstance(event, Gap) for event in events)
    after.wish(id, "resume")
    assert after.view(id).stage == "ramp" or after.view(id).stage == "plating"
    after.wish(id, "abort")


def test_a_supply_that_is_not_there_is_told(desks: Callable[[], LiveRuns]) -> None:
    runs = desks()
    id = runs.begin(order(), "TCPIP::127.0.0.1::9::SOCKET")
    with pytest.raises(BadInput):
        runs.wish(id, "begin")
    until(lambda: runs.view(id).told != "")
    assert runs.view(id).stage == "planned"


@pytest.mark.parametrize("id", ["run-000000000000", "..", "../work", ""])
def test_unknown_runs(desks: Callable[[], LiveRuns], id: str) -> None:
    with pytest.raises(UnknownName):
        desks().view(id)


def test_unknown_wishes_and_hurries(desks: Callable[[], LiveRuns]) -> None:
    runs = desks()
    with pytest.raises(BadInput, match="faster than life"):
        runs.begin(order(), "USB0::1::2::3::INSTR", 60.0)
    id = runs.begin(order(), SIMULATED)
    with pytest.raises(UnknownName):
        runs.wish(id, "explode")
    assert [view.id for view in runs.all()] == [id]


@pytest.mark.parametrize("word", ["immersed", "resume"])
def test_nothing_reaches_the_supply_before_its_stage(
    desks: Callable[[], LiveRuns], monkeypatch: pytest.MonkeyPatch, word: str
) -> None:
    switched: list[str] = []
    on = GuardedSupply.on
    monkeypatch.setattr(GuardedSupply, "on", lambda self: (switched.append("on"), on(self))[1])
    runs = desks()
    id = runs.begin(order(), SIMULATED, 600.0)
    with pytest.raises(BadInput, match="planned"):
        runs.wish(id, word)
    assert switched == []
    runs.wish(id, "begin")
    assert switched == ["on"]
    runs.wish(id, "abort")


def test_a_fault_raises_its_alarm_and_switches_off(desks: Callable[[], LiveRuns]) -> None:
    runs = desks()
    id = runs.begin(order(charge=72000.0), SIMULATED, 600.0, "lost contact")
    runs.wish(id, "begin")
    runs.wish(id, "immersed")
    until(lambda: runs.view(id).stage == "paused")
    view = runs.view(id)
    assert not view.powered
    assert view.alarms
    assert all(seen and act for _, seen, act in view.alarms)
    runs.wish(id, "abort")


def test_a_fault_is_for_simulated_runs(desks: Callable[[], LiveRuns]) -> None:
    for supply, fault in ((SIMULATED, "bad luck"), ("USB0::1::2::3::INSTR", "lost contact")):
        with pytest.raises(BadInput, match="lost contact"):
            desks().begin(order(), supply, 1.0, fault)


def test_the_faults_are_those_of_the_simulated_cell() -> None:
    assert FAULTS == simulated_faults
