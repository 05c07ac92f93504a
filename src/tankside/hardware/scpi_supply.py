"""A supply that follows a declaration: set, then read back; hard limits; errors never passed over.

Nothing is clipped: a value beyond the hard limits, or finer than the supply can hold, is refused
before a word is sent. A supply that reads back another value is a liar, and its output goes off.
"""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from tankside.app.run_ports import HardLimits, Reading
from tankside.base.errors import BadInput, HardwareFault
from tankside.hardware.declaration import Declaration, Level, declaration_for
from tankside.hardware.link import Link
from tankside.hardware.scpi import fixed_point, number, queued_error, truth

OVERSHOOT = 0.05
"""How far a measured value may lie above the hard limit before it is a fault [-]: meters err."""

_STALE_ERRORS = 32
"""Entries of the error queue read at most."""


class ScpiSupply:
    """A bench supply on a link. Output off from the first moment; see app.run_ports.Supply."""

    def __init__(
        self,
        link: Link,
        limits: HardLimits,
        known: tuple[Declaration, ...],
        pause: Callable[[float], None] = time.sleep,
    ) -> None:
        self._link, self.limits, self._pause = link, limits, pause
        self._identity = link.ask("*IDN?")
        self.declaration = declaration_for(self._identity, known)
        self._closed = False
        self._check_reach()
        for command in self.declaration.start:
            link.write(command)
        self.off()

    def identity(self) -> str:
        """Its answer to *IDN?."""
        return self._identity

    def set(self, current: float, voltage_limit: float) -> None:
        """The voltage first, so that no old, higher one meets the new current."""
        self._refuse_beyond(current, self.limits.current, self.declaration.current, "A")
        self._refuse_beyond(voltage_limit, self.limits.voltage, self.declaration.voltage, "V")
        with self._off_on_fault():
            self._level(voltage_limit, self.declaration.voltage, "V")
            self._level(current, self.declaration.current, "A")
            self._check_errors(f"setting {current:g} A and {voltage_limit:g} V")

    def on(self) -> None:
        """Refused by the supply or not on when asked: HardwareFault."""
        with self._off_on_fault():
            self._switch("ON", wanted=True)

    def off(self) -> None:
        """Tried again once: a glitch must not leave it on."""
        try:
            self._switch("OFF", wanted=False)
        except HardwareFault:
            self._switch("OFF", wanted=False)

    def measured(self) -> Reading:
        """HardwareFault, with the output off, where more flows than the hard limits allow."""
        ask, most = self.declaration, 1.0 + OVERSHOOT
        with self._off_on_fault():
            voltage = number(self._link.ask(ask.measured_voltage), ask.measured_voltage)
            current = number(self._link.ask(ask.measured_current), ask.measured_current)
            if current > most * self.limits.current:
                raise HardwareFault(
                    "{current:.3g} A flow, above the hard limit of {limit:g} A",
                    current=current,
                    limit=self.limits.current,
                )
            if voltage > most * self.limits.voltage:
                raise HardwareFault(
                    "{voltage:.3g} V are on, above the hard limit of {limit:g} V",
                    voltage=voltage,
                    limit=self.limits.voltage,
                )
        return Reading(voltage=voltage, current=current)

    def close(self) -> None:
        """Output off, and the link given up."""
        if self._closed:
            return
        self._closed = True
        try:
            self.off()
        finally:
            self._link.close()

    def _check_reach(self) -> None:
        for name, limit, level in (
            ("current", self.limits.current, self.declaration.current),
            ("voltage", self.limits.voltage, self.declaration.voltage),
        ):
            if limit > level.most:
                raise BadInput(
                    "the {name} limit of {limit:g} is beyond the {most:g} that {declaration} can "
                    "give",
                    name=name,
                    limit=limit,
                    most=level.most,
                    declaration=self.declaration.words,
                )

    def _refuse_beyond(self, value: float, limit: float, level: Level, unit: str) -> None:
        if not 0.0 <= value <= limit:
            raise BadInput(
                "{value:g} {unit} is beyond the supply's hard limit of {limit:g} {unit}",
                value=value,
                unit=unit,
                limit=limit,
            )

    def _level(self, value: float, level: Level, unit: str) -> None:
        text = fixed_point(value, level.resolution)
        self._link.write(level.set.format(value=text))
        self._pause(self.declaration.settle)
        held = number(self._link.ask(level.ask), level.ask)
        if abs(held - value) > level.resolution * 1.01:
            raise HardwareFault(
                "set to {text} {unit}, the supply reads back {held:g} {unit}",
                text=text,
                unit=unit,
                held=held,
            )

    def _switch(self, word: str, *, wanted: bool) -> None:
        ask = self.declaration.output_ask
        self._link.write(self.declaration.output.format(value=word))
        self._pause(self.declaration.settle)
        if truth(self._link.ask(ask), ask) is not wanted:
            raise HardwareFault(
                "the supply was told {word}, and its output is not {state}",
                word=word,
                state=word.lower(),
            )

    def _check_errors(self, doing: str) -> None:
        ask = self.declaration.errors
        if not ask:
            return
        told = [queued_error(self._link.ask(ask), ask)]
        while told[-1].code != 0 and len(told) < _STALE_ERRORS:
            told.append(queued_error(self._link.ask(ask), ask))
        if told[0].code != 0:
            raise HardwareFault(
                "when {doing} the supply reports {code}, {words}",
                doing=doing,
                code=told[0].code,
                words=told[0].words,
            )

    @contextmanager
    def _off_on_fault(self) -> Iterator[None]:
        """Whatever fails inside, the output is switched off before the fault goes on its way."""
        try:
            yield
        except HardwareFault as fault:
            try:
                self.off()
                outcome = "its output was switched off"
            except HardwareFault:
                outcome = "whether its output is off is not known: switch it off by hand, now"
            raise HardwareFault(
                "{reason}; {outcome}", reason=fault.message, outcome=outcome
            ) from fault
