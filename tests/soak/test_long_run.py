"""Seventy-two hours at a sample a second, hurried: all samples kept, on little disk and memory."""

import resource
import sys
from pathlib import Path

import numpy as np
import pytest

from tankside.app.carry_out_a_run import LiveRun
from tankside.app.run_ports import HardLimits
from tankside.hardware.declaration import declarations
from tankside.hardware.scpi_supply import ScpiSupply
from tankside.hardware.simulated.cell import CellLoad, SimulatedCell
from tankside.hardware.simulated.instrument import SimulatedSupply
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe, Setting
from tankside.runs.series import thinned
from tankside.runs.states import Stage
from tankside.storage import run_folder
from tankside.storage.run_folder import RunFolder

SECONDS = 72 * 3600
LOAD = CellLoad(seed_resistance=0.0)


class Bench:
    """A clock that waiting moves, and a supply on it."""

    def __init__(self) -> None:
        self.time = 1.75e9
        self.instrument = SimulatedSupply(cell=SimulatedCell(load=LOAD), now=self.now)

    def now(self) -> float:
        return self.time

    def wait(self, seconds: float) -> None:
        self.time += seconds

    def write(self, text: str) -> None:
        self.instrument.answered(text)

    def ask(self, text: str) -> str:
        return self.instrument.answered(text) or ""

    def close(self) -> None:
        pass


def test_three_days(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run_folder, "FLUSHED_WITHIN_S", 5.0)
    bench, keeper = Bench(), RunFolder.begun(tmp_path / "r", {"title": "x"})
    current = np.linspace(0.05, 3.0, 40)
    expected = Expected.steady(current, np.array([LOAD.voltage(i, 0.0) for i in current]), 0.2)
    recipe = Recipe(settings=(Setting(current=1.0, voltage_limit=5.0, duration=SECONDS - 30.0),))
    limits = HardLimits(current=3.0, voltage=6.0)
    supply = ScpiSupply(bench, limits, declarations(), pause=lambda _: None)
    run = LiveRun(recipe, expected, supply, bench, keeper)
    run.begin()
    run.immersed()
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss if sys.platform == "linux" else 0
    while not run.state.over:
        run.second()
    assert run.state.stage is Stage.ENDED
    assert run.amount.charge == pytest.approx(SECONDS - 30.0, rel=2e-3)
    if sys.platform == "linux":
        grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
        assert grown < 60_000  # kilobytes
    keeper.close()
    assert (tmp_path / "r" / "samples.csv").stat().st_size < 10e6
    series = RunFolder.opened(tmp_path / "r").series()
    assert len(series) == pytest.approx(SECONDS, abs=60)
    assert len(thinned(series, 2000)) <= 2002
    assert len(keeper.events()) < 20
