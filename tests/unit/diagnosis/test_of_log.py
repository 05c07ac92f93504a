"""Numbers from a run's log: each trouble shows in its own number, and a healthy run in none."""

from dataclasses import replace

import numpy as np
import pytest

from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.intervals import Interval
from tankside.diagnosis.diagnosis import Spread, diagnosed
from tankside.diagnosis.evidence import Case, Told
from tankside.diagnosis.known_numbers import of_run
from tankside.diagnosis.loading import atlas
from tankside.diagnosis.of_log import Logged, bath_temperature, run_numbers
from tankside.runs.events import Event, Immersed, Lifted, PoweredOff, PoweredOn, Read, Set
from tankside.runs.series import Series

START = 1.0e9
HOURS = 4.0
ATLAS = atlas()


def healthy(**changes: object) -> Logged:
    """Four hours at 3 A and 2 V, entered live, logged each five seconds."""
    time = START + np.arange(0.0, HOURS * 3600.0, 5.0)
    events: tuple[Event, ...] = (
        PoweredOn(at=START - 5.0),
        Set(at=START - 4.0, current=3.0, voltage_limit=6.0),
        Immersed(at=START - 1.0),
        Lifted(at=START + HOURS * 3600.0),
        PoweredOff(at=START + HOURS * 3600.0 + 5.0),
    )
    series = Series.of(time, np.full(len(time), 2.0), np.full(len(time), 3.0))
    return replace(
        Logged(events=events, series=series, planned_current=3.0, bare_coat=True), **changes
    )


def altered(voltage: np.ndarray | None = None, current: np.ndarray | None = None) -> Logged:
    series = healthy().series
    return healthy(
        series=Series.of(
            series.time,
            series.voltage if voltage is None else voltage,
            series.current if current is None else current,
        )
    )


def test_a_healthy_run_shows_nothing() -> None:
    numbers = run_numbers(healthy())
    assert numbers.current_ratio == Interval.about(1.0, 0.02)
    assert numbers.unpowered_before_start == Interval.exact(0.0)
    assert numbers.unpowered_in_run == Interval.exact(0.0)
    assert numbers.voltage_limited_share == Interval.exact(0.0)
    assert numbers.current_jump_rate == Interval.exact(0.0)
    assert numbers.voltage_fall_ratio is not None
    assert numbers.voltage_fall_ratio.best == pytest.approx(1.0)
    assert numbers.mass_ratio is None
    assert numbers.run_thickness is None
    assert numbers.level_drop is None


def test_a_power_cut_is_told_from_a_dead_entry() -> None:
    kept = healthy().events
    cut = (
        PoweredOff(at=START + 3600.0),
        PoweredOn(at=START + 5400.0),
    )
    numbers = run_numbers(healthy(events=(*kept[:3], *cut, *kept[3:])))
    assert numbers.unpowered_in_run == Interval.exact(1800.0)
    assert numbers.unpowered_before_start == Interval.exact(0.0)
    dead = (Immersed(at=START - 300.0), PoweredOn(at=START), *kept[3:])
    numbers = run_numbers(healthy(events=dead))
    assert numbers.unpowered_before_start == Interval.exact(300.0)
    assert numbers.unpowered_in_run == Interval.exact(0.0)
    assert run_numbers(healthy(events=())).unpowered_in_run is None


def test_volts_are_compared_only_at_equal_current() -> None:
    count = len(healthy().series)
    rising = np.linspace(2.0, 4.0, count)
    ratio = run_numbers(altered(voltage=rising)).voltage_rise_ratio
    assert ratio is not None
    assert ratio.best == pytest.approx(3.96 / 2.54, rel=0.03)
    halved = np.where(np.arange(count) > count - 300, 1.5, 3.0)
    assert run_numbers(altered(voltage=rising, current=halved)).voltage_rise_ratio is None


def test_the_voltage_limit_and_the_jumps_are_counted() -> None:
    count = len(healthy().series)
    limited = np.where(np.arange(count) < count // 4, 6.0, 2.0)
    share = run_numbers(altered(voltage=limited)).voltage_limited_share
    assert share is not None
    assert share.best == pytest.approx(0.25, abs=0.01)
    loose = np.full(count, 3.0)
    loose[200:1200:100] = 0.5
    rate = run_numbers(altered(current=loose)).current_jump_rate
    assert rate is not None
    assert rate.best == pytest.approx(20 / (HOURS * 3600.0), rel=0.01)


def test_a_slow_start_on_bare_coat_is_seen() -> None:
    count = len(healthy().series)
    ramp = np.clip(np.arange(count) / 400.0, 0.05, 1.0) * 3.0
    share = run_numbers(altered(current=ramp)).start_current_share
    assert share is not None
    assert share.best < 0.1
    covered = replace(altered(current=ramp), bare_coat=False)
    assert run_numbers(covered).start_current_share is None


def test_mass_thickness_level_and_temperature() -> None:
    charge = 3.0 * (HOURS * 3600.0 - 5.0)
    weighed = healthy(
        mass_gain=0.9 * charge * COPPER_PER_CHARGE_KG_PER_C,
        area=0.02,
        events=(
            *healthy().events[:3],
            Read(at=START + 9.0, voltage=2.0, current=3.0, level_drop=0.02),
        ),
    )
    numbers = run_numbers(weighed)
    assert numbers.mass_ratio is not None
    assert numbers.mass_ratio.best == pytest.approx(0.9, rel=1e-6)
    assert numbers.run_thickness is not None
    # 1.186 g of copper per ampere-hour at 8.96 g/cm3
    assert numbers.run_thickness.best == pytest.approx(12.0 * 1.1855e-3 / 8960.0 / 0.02, rel=1e-3)
    assert numbers.level_drop == Interval.exact(0.02)
    series = healthy().series
    assert bath_temperature(series) is None
    warm = Series.of(series.time, series.voltage, series.current, np.full(len(series), 300.0))
    assert bath_temperature(warm) == Interval.exact(300.0)


def test_a_short_log_keeps_what_it_cannot_know_to_itself() -> None:
    none = np.array([])
    empty = Logged(events=(), series=Series.of(none, none, none))
    numbers = run_numbers(empty)
    assert all(getattr(numbers, name) is None for name in numbers.__dataclass_fields__)
    short = healthy(series=healthy().series.between(START, START + 600.0))
    assert run_numbers(short).voltage_fall_ratio is None


def test_a_logged_power_cut_reaches_the_diagnosis() -> None:
    kept = healthy().events
    cut = (PoweredOff(at=START + 3600.0), PoweredOn(at=START + 5400.0))
    logged = healthy(events=(*kept[:3], *cut, *kept[3:]))
    case = Case(told=(Told(finding="layers-separate"),), measured=of_run(run_numbers(logged)))
    found = diagnosed(case, ATLAS, spread=Spread(draws=3))
    assert found.suspects[0].cause == "interrupted"
    quiet = Case(told=case.told, measured=of_run(run_numbers(healthy())))
    assert diagnosed(quiet, ATLAS, spread=Spread(draws=3)).suspects[0].cause != "interrupted"
