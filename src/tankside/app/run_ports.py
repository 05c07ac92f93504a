"""What carrying out a run needs from outside: a supply, a clock, and places that keep what happens.

Adapters fit in here. A supply is set, read back, measured, and switched off; nothing else of it
reaches the use cases.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Protocol

from tankside.base.errors import BadInput


@dataclass(frozen=True, slots=True, kw_only=True)
class HardLimits:
    """What the supply must never be set beyond: current [A], voltage [V]."""

    current: float
    voltage: float

    def __post_init__(self) -> None:
        for name in ("current", "voltage"):
            value = getattr(self, name)
            if not (isfinite(value) and value > 0.0):
                raise BadInput(f"a supply's {name} limit must be above zero, not {value!r}")


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
    """The time of the run, which a simulation may hurry. It runs evenly: setting the machine's clock
    changes nothing until the program is started anew."""

    def now(self) -> float:
        """Seconds since 1970, universal time."""
        ...

    def wait(self, seconds: float) -> None:
        """Returns after `seconds` of this clock."""
        ...


class SampleLog(Protocol):
    """Keeps samples as they come."""

    def add(self, time: float, voltage: float, current: float, temperature: float) -> None:
        """One sample; on disk when this returns, or within two seconds."""
        ...

    def close(self) -> None:
        """Everything is on disk."""
        ...


class JournalFile(Protocol):
    """Keeps a run's events as they come."""

    def add(self, lines: Sequence[bytes]) -> None:
        """Lines at the end; on disk when this returns."""
        ...
