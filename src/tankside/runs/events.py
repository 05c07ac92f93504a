"""What can happen in a run, each as a frozen value with its moment.

Events are only ever added. What a run's state is follows from them (states.py); nothing else is
kept of it. Times are seconds since 1970 in universal time, so that a change of the clock's zone
changes nothing.
"""

from dataclasses import dataclass
from math import isfinite

from tankside.base.errors import BadInput


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Anything that happened. `at` is when [s]; `by` who or what says so."""

    at: float
    by: str = "person"

    def __post_init__(self) -> None:
        if not (isfinite(self.at) and self.at > 0.0):
            raise BadInput("an event needs its moment in seconds, not {at!r}", at=self.at)


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun(Event):
    """The rig hangs ready over the tank."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PoweredOn(Event):
    """The supply's output is on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PoweredOff(Event):
    """The supply's output is off, whatever the reason."""

    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Immersed(Event):
    """The part went into the bath."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifted(Event):
    """The part came out of the bath."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RampStarted(Event):
    """The first setting of the recipe is in force."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Set(Event):
    """The supply was set: current [A], voltage limit [V]; `number` of the recipe's setting that
    begins with it, from 0, or None where a person set it otherwise."""

    current: float
    voltage_limit: float
    number: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlatingStarted(Event):
    """The ramp is over and the long build runs."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paused(Event):
    """The run stands still, by a person or by an alarm."""

    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Resumed(Event):
    """The run goes on where it was paused."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Read(Event):
    """A person read the meters: voltage [V], current [A]; temperature [K] and level below the mark
    [m] where they looked."""

    voltage: float
    current: float
    temperature: float | None = None
    level_drop: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap(Event):
    """From `since` [s] until this moment nothing was recorded, as when the power was cut."""

    since: float
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmRaised(Event):
    """Something looks wrong: which alarm, and its sentence."""

    alarm: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmAnswered(Event):
    """A person has seen an alarm and says what they did."""

    alarm: str
    answer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted(Event):
    """A remark."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ended(Event):
    """The run is complete."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Aborted(Event):
    """The run was given up."""

    reason: str


EVENTS: dict[str, type[Event]] = {
    "begun": Begun,
    "powered on": PoweredOn,
    "powered off": PoweredOff,
    "immersed": Immersed,
    "lifted": Lifted,
    "ramp started": RampStarted,
    "set": Set,
    "plating started": PlatingStarted,
    "paused": Paused,
    "resumed": Resumed,
    "read": Read,
    "gap": Gap,
    "alarm raised": AlarmRaised,
    "alarm answered": AlarmAnswered,
    "noted": Noted,
    "ended": Ended,
    "aborted": Aborted,
}
"""Every kind of event by the name it is written under."""

NAMES: dict[type[Event], str] = {kind: name for name, kind in EVENTS.items()}
