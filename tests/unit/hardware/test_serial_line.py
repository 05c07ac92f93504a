"""A supply on a serial line: the same driver over a pseudo-terminal, which to it is a real one."""

import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from tankside.app.run_ports import HardLimits
from tankside.base.errors import HardwareFault
from tankside.hardware.declaration import declarations
from tankside.hardware.link import VisaLink
from tankside.hardware.scpi_supply import ScpiSupply
from tankside.hardware.simulated.cell import CellLoad, SimulatedCell
from tankside.hardware.simulated.instrument import SimulatedSupply

pytestmark = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="pseudo-terminals as VISA names them are Linux's"
)


class Instrument(threading.Thread):
    """The simulated supply at the far end of a serial line, until the line is pulled."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        import tty

        self._far, self._near = os.openpty()
        tty.setraw(self._far)
        tty.setraw(self._near)
        self.resource = f"ASRL{os.ttyname(self._near)}::INSTR"
        self.cell = SimulatedCell(load=CellLoad(seed_resistance=0.0), noise=0.0)
        self.supply = SimulatedSupply(cell=self.cell, now=lambda: 0.0)
        self.deaf = False

    def run(self) -> None:
        held = b""
        while True:
            try:
                held += os.read(self._far, 256)
            except OSError:  # the line is pulled
                return
            *lines, held = held.split(b"\n")
            for line in lines:
                answer = None if self.deaf else self.supply.answered(line.decode().strip())
                if answer is not None:
                    os.write(self._far, answer.encode() + b"\n")

    def pull(self) -> None:
        """The cable comes out."""
        for end in (self._far, self._near):
            if end >= 0:
                os.close(end)
        self._far = self._near = -1


@contextmanager
def line() -> Iterator[tuple[ScpiSupply, Instrument]]:
    """A supply by its serial name, and the instrument behind it."""
    instrument = Instrument()
    instrument.start()
    supply = ScpiSupply(
        VisaLink(instrument.resource, timeout=0.5),
        HardLimits(current=3.0, voltage=6.0),
        declarations(),
        pause=lambda _: None,
    )
    try:
        yield supply, instrument
    finally:
        instrument.pull()


def test_it_is_set_read_back_and_measured() -> None:
    with line() as (supply, instrument):
        assert supply.identity()
        supply.set(1.5, 4.0)
        supply.on()
        reading = supply.measured()
        assert reading.current == pytest.approx(1.5)
        assert reading.voltage == pytest.approx(instrument.cell.load.voltage(1.5, 0.0), rel=1e-3)
        supply.off()
        assert supply.measured().current == 0.0
        supply.close()


def test_a_supply_that_falls_silent_is_a_fault_in_words() -> None:
    with line() as (supply, instrument):
        supply.set(1.0, 4.0)
        instrument.deaf = True
        with pytest.raises(HardwareFault, match="did not answer"):
            supply.measured()


def test_a_line_with_nobody_on_it_is_no_supply() -> None:
    with pytest.raises(HardwareFault, match="no supply answers at ASRL/dev/pts/nowhere"):
        VisaLink("ASRL/dev/pts/nowhere::INSTR", timeout=0.5)
