"""The simulated instrument keeps the standard's rules, and its cell behaves as cells do."""

import pytest

from tankside.hardware.scpi import queued_error
from tankside.hardware.simulated.cell import FAULTS, CellLoad, SimulatedCell
from tankside.hardware.simulated.instrument import SimulatedSupply


class Moment:
    def __init__(self) -> None:
        self.time = 0.0

    def __call__(self) -> float:
        return self.time


def instrument() -> tuple[SimulatedSupply, Moment]:
    moment = Moment()
    return SimulatedSupply(cell=SimulatedCell(noise=0.0), now=moment), moment


def test_compound_messages_follow_the_path_rule() -> None:
    supply, _ = instrument()
    assert supply.answered("SOUR:VOLT 4;CURR 1;:OUTP ON") is None
    assert supply.answered("SOUR:VOLT?;CURR?;:OUTP?;*IDN?") == (
        "4.0000;1.0000;1;Tankside,simulated supply,0,1"
    )
    assert supply.answered("MEAS:VOLT?;MEAS:CURR?") is not None
    code = queued_error(supply.answered("SYST:ERR?") or "", "SYST:ERR?").code
    assert code == -113  # MEAS:MEAS:CURR is no header


@pytest.mark.parametrize(
    ("message", "code"),
    [
        ("FLY 3", -113),
        ("CURR 11", -222),
        ("CURR -1", -222),
        ("CURR", -109),
        ("CURR abc", -104),
        ("OUTP maybe", -104),
    ],
)
def test_errors_queue_by_the_standards_numbers(message: str, code: int) -> None:
    supply, _ = instrument()
    assert supply.answered(message) is None
    assert queued_error(supply.answered("SYST:ERR?") or "", "").code == code
    assert queued_error(supply.answered("SYST:ERR?") or "", "").code == 0


def test_the_error_queue_overflows_at_its_end() -> None:
    supply, _ = instrument()
    for _ in range(25):
        supply.answered("FLY")
    codes = [queued_error(supply.answered("SYST:ERR?") or "", "").code for _ in range(21)]
    assert codes == [-113] * 19 + [-350, 0]


def test_the_seed_coats_resistance_fades_with_charge() -> None:
    supply, moment = instrument()
    supply.answered("VOLT 30;CURR 1;OUTP ON")
    first = supply.flows()[0]
    moment.time = 3600.0
    supply.answered("MEAS:VOLT?")
    load = CellLoad()
    assert first == pytest.approx(load.voltage(1.0, 0.0))
    assert supply.flows()[0] == pytest.approx(load.voltage(1.0, 3600.0))
    assert supply.flows()[0] < 0.2 * first


def test_a_power_cut_forgets_everything() -> None:
    supply, _ = instrument()
    supply.answered("VOLT 3;CURR 1;OUTP ON")
    supply.answered('TEST:FAUL "power cut",ON')
    assert supply.answered("OUTP?;:CURR?") == "0;0.0000"


@pytest.mark.parametrize("fault", FAULTS)
def test_each_fault_shows_at_the_terminals(fault: str) -> None:
    supply, moment = instrument()
    supply.answered("VOLT 6;CURR 1;OUTP ON")
    moment.time = 30.0
    supply.answered("*OPC?")
    healthy = supply.flows()
    supply.answered(f'TEST:FAUL "{fault}",ON')
    moment.time = 3000.0
    supply.answered("*OPC?")
    voltage, current = supply.flows()
    if fault == "lost contact":
        assert voltage == 6.0
        assert current == pytest.approx(0.0, abs=1e-3)
    elif fault == "short to anode":
        assert voltage == pytest.approx(0.02)
    elif fault == "passive anode":
        assert (voltage, current < healthy[1]) == (6.0, True)
    else:
        assert voltage == pytest.approx(healthy[0])
        assert voltage > 2 * CellLoad().voltage(1.0, 3000.0)
    supply.answered(f'TEST:FAUL "{fault}",OFF')
    assert supply.flows()[0] <= healthy[0]
