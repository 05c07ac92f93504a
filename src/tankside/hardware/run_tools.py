"""What a run needs from this machine: its folder, a guarded supply, and the time."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tankside.app.run_ports import Clock, HardLimits, RunKeeper, Supply, Trial
from tankside.hardware.clock import SteadyClock
from tankside.hardware.declaration import declarations
from tankside.hardware.guardian import GuardedSupply, Post

SIMULATED = "simulated"


class LocalRunTools:
    """See app.run_ports.RunTools."""

    def __init__(
        self,
        *,
        begun: Callable[[Path, dict[str, Any]], RunKeeper],
        opened: Callable[[Path], RunKeeper],
        own_declarations: str = "",
    ) -> None:
        """`begun` and `opened` make and find a run's place."""
        self._begun, self._opened = begun, opened
        self._known = declarations(own_declarations)

    def begun(self, folder: Path, order: dict[str, Any]) -> RunKeeper:
        """A new run's place."""
        return self._begun(folder, order)

    def opened(self, folder: Path) -> RunKeeper:
        """A run's place, found again."""
        return self._opened(folder)

    @contextmanager
    def supply(self, name: str, limits: HardLimits, trial: Trial) -> Iterator[Supply]:
        """A guarded supply; the simulated one is served on loopback for as long as it is used."""
        if name != SIMULATED:
            with self._guarded(name, limits) as held:
                yield held
            return
        from tankside.hardware.simulated.cell import PlannedLoad, SimulatedCell
        from tankside.hardware.simulated.server import SimulatedServer

        cell = SimulatedCell(load=PlannedLoad(expected=trial.expected))
        with SimulatedServer(cell, hurry=trial.hurry) as server:
            if trial.fault:
                server.fault(trial.fault, trial.fault_after)
            with self._guarded(server.resource, limits) as held:
                yield held

    def clock(self, hurry: float) -> Clock:
        """This machine's time."""
        return SteadyClock(hurry)

    def thermometer(self, file: Path) -> Callable[[], float | None]:
        """A thermometer's file."""
        from tankside.hardware.sensor_file import SensorFile

        return SensorFile(file)

    def found(self) -> tuple[str, ...]:
        """VISA's names of what hangs on this machine."""
        from tankside.hardware.link import found

        return found()

    @contextmanager
    def _guarded(self, resource: str, limits: HardLimits) -> Iterator[Supply]:
        supply = GuardedSupply(Post(resource=resource, limits=limits, known=self._known))
        try:
            yield supply
        finally:
            supply.close()
