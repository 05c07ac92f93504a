"""Alarms on simulated runs: fewer than one false in 100 hours, every fault within 60 seconds."""

import numpy as np
import pytest

from tankside.hardware.simulated.cell import CellLoad, SimulatedCell
from tankside.runs.alarms import Sample, Watch, observed
from tankside.runs.expected import Expected

LIMIT = 5.0
CURRENT = np.linspace(0.1, 2.5, 25)
FOUND = {
    "lost contact": "contact lost",
    "short to anode": "short",
    "passive anode": "resistance rising",
    "stalled front": "front stalled",
}


def cell(seed: int) -> SimulatedCell:
    """A cell that differs from the plan as cells do, drifts a little, and is read with noise."""
    random = np.random.default_rng(seed)
    load = CellLoad(
        resistance=float(0.12 * random.lognormal(0.0, 0.15)),
        tafel=0.05,
        exchange_current=float(0.1 * random.lognormal(0.0, 0.5)),
        seed_resistance=float(1.0 * random.lognormal(0.0, 0.2)),
        covering_charge=float(200.0 * random.lognormal(0.0, 0.1)),
    )
    return SimulatedCell(
        load=load,
        noise=float(random.uniform(0.001, 0.006)),
        drift_per_hour=float(random.uniform(-0.004, 0.004)),
        seed=seed,
    )


def plan() -> Expected:
    load = CellLoad(seed_resistance=1.0, covering_charge=200.0)
    charge = np.concatenate([[0.0], np.geomspace(5.0, 3200.0, 40)])  # as many as growth has steps
    voltage = np.array([[load.voltage(i, q) for i in CURRENT] for q in charge])
    return Expected(charge=charge, current=CURRENT, voltage=voltage, spread=0.2)


def alarms_of(
    one: SimulatedCell, seconds: int, fault: str = "", at: int = 0
) -> list[tuple[int, str]]:
    """(second, name) of every alarm; ramp for ten minutes at 0.5 A, then 2 A."""
    expected, watch, found = plan(), Watch(), []
    for second in range(seconds):
        if fault and second == at:
            one.switch(fault, on=True)
        ramp = second < 900
        wanted = 0.5 if ramp else 2.0
        voltage, current = one.driven(wanted, LIMIT)
        sample = Sample(
            time=float(second),
            voltage=one.metered(voltage),
            current=one.metered(current),
            set_current=wanted,
            voltage_limit=LIMIT,
            charge=one.charge,
            ramp=ramp,
        )
        watch, new = observed(watch, sample, expected)
        found += [(second, alarm.name) for alarm in new]
        one.lived(1.0, current)
    return found


def test_fewer_than_one_false_alarm_in_a_hundred_hours() -> None:
    hours, false = 0.0, []
    for seed in range(10):
        seconds = 12 * 3600
        false += [(seed, *alarm) for alarm in alarms_of(cell(seed), seconds)]
        hours += seconds / 3600
    assert hours >= 100.0
    assert not false, false


@pytest.mark.parametrize("fault", sorted(FOUND))
def test_every_fault_is_found_within_a_minute(fault: str) -> None:
    for seed in range(25):
        at = 120 if fault == "stalled front" else 930 + 37 * seed
        one = cell(1000 + seed)
        found = alarms_of(one, at + 61, fault, at)
        assert found, f"seed {seed}"
        second, name = found[0]
        assert name == FOUND[fault], f"seed {seed}"
        assert at <= second <= at + 60, f"seed {seed}"
