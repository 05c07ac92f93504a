"""A run from hanging to the end on a simulated supply: recipe, pauses, faults, restarts."""

from math import nan
from pathlib import Path

import numpy as np
import pytest

from tankside.app.carry_out_a_run import LiveRun, Moment, carried_out
from tankside.app.run_ports import HardLimits
from tankside.base.errors import BadInput, HardwareFault
from tankside.hardware.declaration import declarations
from tankside.hardware.scpi_supply import ScpiSupply
from tankside.hardware.simulated.cell import CellLoad, SimulatedCell
from tankside.hardware.simulated.instrument import SimulatedSupply
from tankside.runs import events as e
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe, Setting
from tankside.runs.states import Stage, replayed
from tankside.storage.run_folder import RunFolder

LOAD = CellLoad(seed_resistance=1.0, covering_charge=200.0)
RECIPE = Recipe(
    settings=(
        Setting(current=0.5, voltage_limit=5.0, charge=300.0),
        Setting(current=1.0, voltage_limit=5.0, duration=300.0),
        Setting(current=2.0, voltage_limit=5.0, charge=7200.0),
    )
)


class Bench:
    """A clock that only waiting moves, a simulated supply on it, and a folder."""

    def __init__(self, folder: Path) -> None:
        self.time, self.set_back = 1.75e9, 0.0
        self.cell = SimulatedCell(load=LOAD)
        self.instrument = SimulatedSupply(cell=self.cell, now=lambda: self.time)
        self.folder = folder
        self.keeper = RunFolder.begun(folder, {"title": "lantern"})

    def now(self) -> float:
        return self.time - self.set_back

    def wait(self, seconds: float) -> None:
        self.time += seconds

    def write(self, text: str) -> None:
        self.instrument.answered(text)

    def ask(self, text: str) -> str:
        return self.instrument.answered(text) or ""

    def close(self) -> None:
        pass

    def run(self) -> LiveRun:
        limits = HardLimits(current=3.0, voltage=6.0)
        supply = ScpiSupply(self, limits, declarations(), pause=lambda _: None)
        return LiveRun(RECIPE, expected(), supply, self, self.keeper)

    def plating(self, seconds: int = 0) -> LiveRun:
        run = self.run()
        run.begin()
        run.immersed()
        for _ in range(seconds):
            run.second()
        return run

    def kinds(self) -> list[type[e.Event]]:
        return [type(one) for one in self.keeper.events()]


def expected() -> Expected:
    charge = np.array([0.0, 50.0, 100.0, 200.0, 400.0, 800.0, 1600.0])
    current = np.linspace(0.1, 2.5, 25)
    voltage = np.array([[LOAD.voltage(i, q) for i in current] for q in charge])
    return Expected(charge=charge, current=current, voltage=voltage, spread=0.1)


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path / "run")


def test_from_hanging_to_the_end(bench: Bench) -> None:
    run = bench.plating()
    shares: list[float] = []

    def told(moment: Moment) -> bool:
        shares.append(moment.progress.share)
        return True

    state = carried_out(run, told)
    assert state.stage is Stage.ENDED
    assert not bench.instrument.output
    settings = [one for one in bench.keeper.events() if isinstance(one, e.Set)]
    assert [one.number for one in settings] == [0, 1, 2]
    assert [one.current for one in settings] == [0.5, 1.0, 2.0]
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    assert run.amount.charge == pytest.approx(RECIPE.expected_charge, rel=2e-3)
    assert run.amount.plated == pytest.approx(RECIPE.expected_duration, rel=2e-3)
    assert bench.cell.charge == pytest.approx(run.amount.charge, rel=2e-3)
    assert not any(isinstance(one, e.AlarmRaised) for one in bench.keeper.events())


def test_power_is_on_before_the_part_goes_in(bench: Bench) -> None:
    run = bench.run()
    run.begin()
    assert bench.instrument.output
    assert bench.instrument.current == 0.5
    run.second()
    assert run.state.stage is Stage.ENTRY
    run.immersed()
    run.second()
    assert bench.kinds()[:5] == [e.Begun, e.PoweredOn, e.Immersed, e.RampStarted, e.Set]


def test_a_lost_contact_stops_the_run_and_it_goes_on(bench: Bench) -> None:
    run = bench.plating(400)
    charge = run.amount.charge
    bench.cell.switch("lost contact", on=True)
    moments = [run.second() for _ in range(8)]
    assert run.state.stage is Stage.PAUSED
    assert not bench.instrument.output
    assert [alarm.name for moment in moments for alarm in moment.alarms] == ["contact lost"]
    bench.cell.switch("lost contact", on=False)
    bench.time += 120.0
    assert "has hung in the acid without current for 2 min" in run.second().warning
    run.resume()
    run.second()
    run.second()
    assert replayed(bench.keeper.events()).stage is Stage.RAMP
    assert bench.instrument.output
    assert run.amount.charge == pytest.approx(charge, abs=5.0)


def test_a_cut_off_run_is_found_again_with_its_gap(bench: Bench) -> None:
    run = bench.plating(700)
    before = run.amount
    bench.instrument.power_cut()
    bench.keeper = RunFolder.opened(bench.folder)
    bench.time += 1000.0
    again = bench.run()
    assert again.state.stage is Stage.PAUSED
    assert again.amount.charge == pytest.approx(before.charge, abs=1e-2)
    assert again.amount.plated == pytest.approx(before.plated, abs=1e-2)
    gap = next(one for one in bench.keeper.events() if isinstance(one, e.Gap))
    assert gap.at - gap.since == pytest.approx(1000.0, abs=3.0)
    assert not bench.instrument.output
    again.resume()
    state = carried_out(again, lambda _: True)
    assert state.stage is Stage.ENDED
    assert bench.cell.charge == pytest.approx(RECIPE.expected_charge, rel=3e-3)


def test_a_clock_set_back_between_two_starts_does_no_harm(bench: Bench) -> None:
    before = bench.plating(50).amount
    bench.set_back += 3600.0
    bench.keeper = RunFolder.opened(bench.folder)
    again = bench.run()
    again.resume()
    for _ in range(21):
        again.second()
    assert again.state.stage is Stage.RAMP
    assert again.amount.since(before).plated == pytest.approx(20.0, abs=0.1)
    assert (np.diff(bench.keeper.series().time) > 0).all()


def test_a_liar_stops_the_run_with_the_output_off(bench: Bench) -> None:
    run = bench.plating(590)
    bench.instrument.lies.add("liar")
    with pytest.raises(HardwareFault, match="reads back"):
        carried_out(run, lambda _: True)
    assert run.state.stage is Stage.PAUSED
    assert not bench.instrument.output
    last = bench.keeper.events()[-1]
    assert isinstance(last, e.PoweredOff)
    assert "reads back" in last.reason


def test_the_person_stops_it(bench: Bench) -> None:
    run = bench.plating()
    state = carried_out(run, lambda _: False)
    assert state.stage is Stage.PAUSED
    assert not bench.instrument.output


def test_given_up(bench: Bench) -> None:
    run = bench.plating(10)
    run.abort("burnt at the collar")
    assert run.state.stage is Stage.ABORTED
    assert not bench.instrument.output
    with pytest.raises(BadInput, match="cannot take 'powered on'"):
        run.resume()
    assert not bench.instrument.output


def test_at_the_voltage_limit_the_run_takes_longer_and_lays_as_much(bench: Bench) -> None:
    bench.cell.load = CellLoad(resistance=2.6, seed_resistance=0.0)
    run = bench.plating()
    state = carried_out(run, lambda _: True)
    assert state.stage is Stage.ENDED
    assert bench.cell.charge == pytest.approx(300 + 300 + 7200, rel=3e-3)
    assert run.amount.plated > 1.05 * RECIPE.expected_duration
    assert any(
        isinstance(one, e.AlarmRaised) and one.alarm == "at the voltage limit"
        for one in bench.keeper.events()
    )


def test_temperatures_may_be_missing(bench: Bench) -> None:
    bench.keeper.add_sample(1.75e9, 1.0, 2.0, nan)
    bench.keeper.add_sample(1.75e9 + 1, 1.0, 2.0, 298.0)
    kept = bench.keeper.series().temperature
    assert np.isnan(kept[0])
    assert kept[1] == 298.0


def test_a_bath_that_cools_is_told_once_and_kept(bench: Bench) -> None:
    run = bench.plating(30)
    temperature = [298.15]
    run.thermometer, run.planned_temperature = (lambda: temperature[0]), 298.15
    names = [alarm.name for _ in range(10) for alarm in run.second().alarms]
    temperature[0] = 292.15
    names += [alarm.name for _ in range(10) for alarm in run.second().alarms]
    assert names == ["bath too cold"]
    assert run.state.stage is Stage.RAMP
    kept = bench.keeper.series().temperature
    assert kept[-1] == 292.15
    assert np.isnan(kept[0])
