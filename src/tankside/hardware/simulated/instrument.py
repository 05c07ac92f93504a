"""A simulated bench supply that understands SCPI, without a socket: text in, text out.

Standard subsystems SOURce, MEASure, OUTPut and SYSTem:ERRor, the common commands *IDN?, *CLS, *RST
and *OPC?, compound messages with the path rule, an error queue of twenty entries. It lives by a
clock that may run faster than the wall's. TEST: commands of our own switch faults in.
"""

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field

from tankside.base.errors import UnknownName
from tankside.hardware.scpi import fits
from tankside.hardware.simulated.cell import SimulatedCell

IDENTITY = "Tankside,simulated supply,0,1"
LIES = ("liar", "garbage", "silent", "stuck on")

_QUEUE = 20
_OVERFLOW = (-350, "Queue overflow")
_UNDEFINED = (-113, "Undefined header")
_OUT_OF_RANGE = (-222, "Data out of range")
_NOT_NUMERIC = (-104, "Data type error")
_MISSING = (-109, "Missing parameter")


class Silence(Exception):
    """The instrument does not answer."""


@dataclass
class SimulatedSupply:
    """The instrument: settings, output, errors. `now` tells its time [s]."""

    cell: SimulatedCell
    now: Callable[[], float]
    most_current: float = 10.0
    most_voltage: float = 30.0
    current: float = 0.0
    voltage: float = 0.0
    output: bool = False
    lies: set[str] = field(default_factory=set)
    errors: deque[tuple[int, str]] = field(default_factory=deque)

    def __post_init__(self) -> None:
        self._last = self.now()

    def answered(self, message: str) -> str | None:
        """The answer to one program message, None where it asks nothing; Silence where it is
        struck dumb."""
        self._live()
        if "silent" in self.lies and not message.startswith("TEST:"):
            raise Silence
        answers, path = [], ""
        for unit in message.split(";"):
            header, path = self._placed(unit.strip(), path)
            answer = self._unit(*header)
            if answer is not None:
                answers.append(answer)
        if answers and "garbage" in self.lies:
            return "\x07#?" + answers[0][::-1] + "x"
        return ";".join(answers) if answers else None

    def flows(self) -> tuple[float, float]:
        """Voltage [V] and current [A] between its terminals."""
        return self.cell.driven(self.current, self.voltage) if self.output else (0.0, 0.0)

    def power_cut(self) -> None:
        """As after a power cut: output off, settings forgotten."""
        self._live()
        self.current, self.voltage, self.output = 0.0, 0.0, False

    def _live(self) -> None:
        now = self.now()
        _, current = self.flows()
        self.cell.lived(now - self._last, current)
        self._last = now

    def _placed(self, unit: str, path: str) -> tuple[tuple[str, str], str]:
        """Header (from the root) and parameter of a message unit, and the path for the next."""
        header, _, parameter = unit.partition(" ")
        if not header.startswith("*"):
            header = header.removeprefix(":") if header.startswith(":") else path + header
            path = header.rpartition(":")[0] + ":" if ":" in header else ""
        return (header, parameter.strip()), path

    def _unit(self, header: str, parameter: str) -> str | None:
        asking = header.endswith("?")
        name = header.removesuffix("?")
        if header.startswith("*"):
            return self._common(header.upper())
        if fits("TEST:FAULt", name) or fits("TEST:LIE", name):
            return self._test(name, parameter)
        for pattern, ask, level in self._levels():
            if fits(pattern, name):
                return f"{ask():.4f}" if asking else self._set(level, parameter)
        if fits("OUTPut[:STATe]", name):
            return str(int(self.output)) if asking else self._switch(parameter)
        if fits("MEASure[:SCALar]:VOLTage[:DC]", name) and asking:
            return f"{self.cell.metered(self.flows()[0]):.5E}"
        if fits("MEASure[:SCALar]:CURRent[:DC]", name) and asking:
            return f"{self.cell.metered(self.flows()[1]):.5E}"
        if fits("SYSTem:ERRor[:NEXT]", name) and asking:
            code, words = self.errors.popleft() if self.errors else (0, "No error")
            return f'{code},"{words}"'
        return self._wrong(_UNDEFINED)

    def _levels(self) -> tuple[tuple[str, Callable[[], float], str], ...]:
        return (
            ("[SOURce]:CURRent[:LEVel][:IMMediate][:AMPLitude]", lambda: self._told("current"),
             "current"),
            ("[SOURce]:VOLTage[:LEVel][:IMMediate][:AMPLitude]", lambda: self._told("voltage"),
             "voltage"),
        )  # fmt: skip

    def _told(self, level: str) -> float:
        value = float(getattr(self, level))
        return value + 0.5 if "liar" in self.lies else value

    def _common(self, header: str) -> str | None:
        if header == "*IDN?":
            return IDENTITY
        if header == "*OPC?":
            return "1"
        if header == "*CLS":
            self.errors.clear()
            return None
        if header == "*RST":
            self.current, self.voltage, self.output = 0.0, 0.0, False
            return None
        return self._wrong(_UNDEFINED)

    def _set(self, level: str, parameter: str) -> str | None:
        if not parameter:
            return self._wrong(_MISSING)
        try:
            value = float(parameter)
        except ValueError:
            return self._wrong(_NOT_NUMERIC)
        if not 0.0 <= value <= getattr(self, f"most_{level}"):
            return self._wrong(_OUT_OF_RANGE)
        setattr(self, level, value)
        return None

    def _switch(self, parameter: str) -> str | None:
        if parameter.upper() not in ("ON", "OFF", "1", "0"):
            return self._wrong(_NOT_NUMERIC)
        wanted = parameter.upper() in ("ON", "1")
        self.output = wanted or ("stuck on" in self.lies and self.output)
        return None

    def _test(self, name: str, parameter: str) -> str | None:
        """TEST:FAULt and TEST:LIE, with the name in quotes and ON or OFF."""
        what, _, switch = parameter.rpartition(",")
        what, on = what.strip().strip('"'), switch.strip().upper() == "ON"
        if fits("TEST:FAULt", name):
            if what == "power cut":
                self.power_cut()
            else:
                self.cell.switch(what, on=on)
        elif what not in LIES:
            raise UnknownName("lie", what, LIES)
        elif on:
            self.lies.add(what)
        else:
            self.lies.discard(what)
        return None

    def _wrong(self, error: tuple[int, str]) -> str | None:
        if len(self.errors) >= _QUEUE:
            self.errors[-1] = _OVERFLOW
        else:
            self.errors.append(error)
        return None
