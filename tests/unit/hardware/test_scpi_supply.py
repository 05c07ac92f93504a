"""A supply by declaration: what it refuses, what it reads back, what it does with a liar."""

import pytest

from tankside.app.run_ports import HardLimits
from tankside.base.errors import BadInput, HardwareFault
from tankside.hardware.declaration import declaration_for, declarations
from tankside.hardware.scpi_supply import ScpiSupply
from tankside.hardware.simulated.cell import CellLoad, SimulatedCell
from tankside.hardware.simulated.instrument import SimulatedSupply

LIMITS = HardLimits(current=3.0, voltage=6.0)


class Wire:
    """A link without a network; `moment` is the instrument's clock."""

    def __init__(self) -> None:
        self.moment = 0.0
        self.cell = SimulatedCell(load=CellLoad(seed_resistance=0.0), noise=0.0)
        self.instrument = SimulatedSupply(cell=self.cell, now=lambda: self.moment)
        self.sent: list[str] = []

    def write(self, text: str) -> None:
        self.sent.append(text)
        self.instrument.answered(text)

    def ask(self, text: str) -> str:
        return self.instrument.answered(text) or ""

    def close(self) -> None:
        self.sent.append("closed")


def pair(limits: HardLimits = LIMITS) -> tuple[ScpiSupply, Wire]:
    wire = Wire()
    return ScpiSupply(wire, limits, declarations(), pause=lambda _: None), wire


def test_sets_reads_back_and_measures() -> None:
    supply, wire = pair()
    supply.set(1.5, 4.0)
    supply.on()
    reading = supply.measured()
    assert reading.current == pytest.approx(1.5)
    assert reading.voltage == pytest.approx(wire.cell.load.voltage(1.5, 0.0), rel=1e-4)
    assert wire.sent.index("SOURce:VOLTage 4.000") < wire.sent.index("SOURce:CURRent 1.500")
    wire.moment = 100.0
    supply.measured()
    assert wire.cell.charge == pytest.approx(150.0)


def test_at_its_voltage_limit_it_gives_less_current() -> None:
    supply, wire = pair()
    supply.set(3.0, 0.3)
    supply.on()
    reading = supply.measured()
    assert reading.voltage == pytest.approx(0.3)
    assert wire.cell.load.voltage(reading.current, 0.0) == pytest.approx(0.3, rel=1e-3)


@pytest.mark.parametrize(("current", "voltage"), [(3.01, 4.0), (1.0, 6.1), (-0.1, 4.0)])
def test_beyond_the_hard_limits_not_a_word_is_sent(current: float, voltage: float) -> None:
    supply, wire = pair()
    before = list(wire.sent)
    with pytest.raises(BadInput, match="beyond the supply's hard limit"):
        supply.set(current, voltage)
    assert wire.sent == before


def test_hard_limits_beyond_the_supply_are_refused() -> None:
    own = OWN.replace("most = 5", "most = 2")
    wire = Wire()
    with pytest.raises(BadInput, match="beyond the 2 that a small one can give"):
        ScpiSupply(wire, LIMITS, declarations(own), pause=lambda _: None)


@pytest.mark.parametrize(
    ("lie", "told"), [("liar", "reads back"), ("garbage", "no number"), ("stuck on", "told OFF")]
)
def test_a_liar_is_a_fault(lie: str, told: str) -> None:
    supply, wire = pair()
    supply.set(1.0, 4.0)
    supply.on()
    wire.instrument.lies.add(lie)
    doing = supply.off if lie == "stuck on" else lambda: supply.set(2.0, 4.0)
    with pytest.raises(HardwareFault, match=told):
        doing()
    assert wire.instrument.output == (lie == "stuck on")


def test_a_reported_error_switches_off() -> None:
    supply, wire = pair(HardLimits(current=20.0, voltage=6.0))
    supply.on()
    with pytest.raises(HardwareFault, match="reads back 0 A; its output was switched off"):
        supply.set(15.0, 4.0)  # the instrument itself ends at 10 A
    assert not wire.instrument.output


def test_too_much_current_switches_off() -> None:
    supply, wire = pair()
    supply.set(3.0, 4.0)
    supply.on()
    wire.instrument.current = 5.0  # somebody turned the knob
    with pytest.raises(HardwareFault, match="5 A flow, above the hard limit of 3 A"):
        supply.measured()
    assert not wire.instrument.output


def test_it_is_off_from_the_first_moment_and_after_closing() -> None:
    wire = Wire()
    wire.instrument.output = True
    supply = ScpiSupply(wire, LIMITS, declarations(), pause=lambda _: None)
    assert not wire.instrument.output
    supply.set(1.0, 4.0)
    supply.on()
    supply.close()
    supply.close()
    assert not wire.instrument.output
    assert wire.sent.count("closed") == 1


OWN = """
[small]
words = "a small one"
identity = "simulated"
current = { set = "CURR {value}", ask = "CURR?", resolution = 0.01, most = 5 }
voltage = { set = "VOLT {value}", ask = "VOLT?", resolution = 0.01, most = 15 }
measured_current = "MEAS:CURR?"
measured_voltage = "MEAS:VOLT?"
output = "OUTP {value}"
output_ask = "OUTP?"
"""


def test_a_persons_own_declaration_comes_first() -> None:
    known = declarations(OWN)
    assert declaration_for("Tankside,simulated supply,0,1", known).name == "small"
    assert declaration_for("Another,one,0,1", known).name == "generic"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("identity", "identify"), "identity is missing"),
        (('{value}", ask = "CURR?', 'x", ask = "CURR?'), "no place for {value}"),
        (("most = 5", "mast = 5"), "mast"),
        (("output_ask", "output_asks"), "a key is missing or not known"),
        (('"simulated"', '"("'), "unterminated"),
        (("resolution = 0.01, most = 5", "resolution = 0, most = 5"), "above zero"),
        (("[small]", "[small"), "not TOML"),
    ],
)
def test_a_bad_declaration_is_refused_with_its_place(change: tuple[str, str], told: str) -> None:
    assert change[0] in OWN
    with pytest.raises(BadInput) as caught:
        declarations(OWN.replace(*change), where="own.toml")
    assert told in str(caught.value)
    assert "own.toml" in str(caught.value)
