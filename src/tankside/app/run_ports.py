"""What carrying out a run needs from outside: a supply, a clock, and places that keep what happens.

Adapters fit in here. A supply is set, read back, measured, and switched off; nothing else of it
reaches the use cases.
"""

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from math import isfinite, nan
from pathlib import Path
from typing import Any, Protocol

from tankside.app.ports import SheetRequest
from tankside.base.errors import BadInput
from tankside.runs.audit import Audit
from tankside.runs.costs import RunCost
from tankside.runs.events import Event
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe
from tankside.runs.series import Series, Totals


@dataclass(frozen=True, slots=True, kw_only=True)
class HardLimits:
    """What the supply must never be set beyond: current [A], voltage [V]."""

    current: float
    voltage: float

    def __post_init__(self) -> None:
        for name in ("current", "voltage"):
            value = getattr(self, name)
            if not (isfinite(value) and value > 0.0):
                raise BadInput(
                    "a supply's {name} limit must be above zero, not {value!r}",
                    name=name,
                    value=value,
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What the supply's own meters say: voltage [V], current [A]."""

    voltage: float
    current: float


class Supply(Protocol):
    """A bench supply. Every call raises HardwareFault where the supply does not do as told."""

    def identity(self) -> str:
        """Who it says it is."""
        ...

    def set(self, current: float, voltage_limit: float) -> None:
        """Current to hold [A] and voltage not to pass [V], set and read back; BadInput beyond the
        hard limits, never clipped."""
        ...

    def on(self) -> None:
        """Output on, asked back."""
        ...

    def off(self) -> None:
        """Output off, asked back."""
        ...

    def measured(self) -> Reading:
        """What flows now."""
        ...

    def close(self) -> None:
        """Output off, and the link given up. May be called twice."""
        ...


class Clock(Protocol):
    """The time of the run, which a simulation may hurry. It runs evenly: setting the machine's
    clock changes nothing until the program is started anew."""

    def now(self) -> float:
        """Seconds since 1970, universal time."""
        ...

    def wait(self, seconds: float) -> None:
        """Returns after `seconds` of this clock."""
        ...


class RunKeeper(Protocol):
    """Keeps a run's order, events and samples."""

    def order(self) -> dict[str, Any]:
        """The order as it was given."""
        ...

    def events(self) -> tuple[Event, ...]:
        """All events so far."""
        ...

    def add_events(self, events: Sequence[Event]) -> None:
        """Events at the end, safe when this returns."""
        ...

    def series(self) -> Series:
        """All samples so far."""
        ...

    def add_sample(
        self, time: float, voltage: float, current: float, temperature: float = nan
    ) -> None:
        """One sample, safe within two seconds."""
        ...

    def close(self) -> None:
        """Everything is on the disk."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """How a simulated supply behaves: as the plan expects, an hour in 1/hurry of one, with a fault
    switched in by name after so many seconds of its time."""

    expected: Expected
    hurry: float = 1.0
    fault: str = ""
    fault_after: float = 0.0


class RunTools(Protocol):
    """Everything from outside that a run needs."""

    def begun(self, folder: Path, order: dict[str, Any]) -> RunKeeper:
        """A new run's place; BadInput where there is one already."""
        ...

    def opened(self, folder: Path) -> RunKeeper:
        """A run's place, found again; torn ends are set aside."""
        ...

    def supply(self, name: str, limits: HardLimits, trial: Trial) -> AbstractContextManager[Supply]:
        """The supply by VISA's name, or "simulated" as `trial` says; closed, and so off, at the
        end."""
        ...

    def clock(self, hurry: float) -> Clock:
        """The time."""
        ...

    def thermometer(self, file: Path) -> Callable[[], float | None]:
        """The last temperature [K] that another program wrote to a file, or None."""
        ...

    def found(self) -> tuple[str, ...]:
        """VISA's names of what hangs on this machine."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRecord:
    """What a run's record tells; `series` are the samples or, by hand, the readings."""

    recipe: Recipe
    expected: Expected
    events: Sequence[Event]
    series: Series
    totals: Totals
    audit: Audit | None = None
    cost: RunCost | None = None


class RunSheets(Protocol):
    """Makes the printable record of a run, in memory."""

    def record(self, record: RunRecord, how: SheetRequest) -> bytes:
        """A PDF."""
        ...
