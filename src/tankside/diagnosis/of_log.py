"""What the log of a run says of its troubles: numbers from its events and its samples.

Only what was recorded speaks: a gap says nothing, and a ratio that needs an hour of samples stays
unknown in a shorter run. Voltages are compared only at equal current, since a cell that is given
less current needs less.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.base.constants import (
    COPPER_DENSITY_KG_PER_M3,
    COPPER_PER_CHARGE_KG_PER_C,
)
from tankside.base.intervals import Interval
from tankside.diagnosis.known_numbers import RunNumbers
from tankside.runs.events import Event, Immersed, Lifted, PoweredOff, PoweredOn, Read, Set
from tankside.runs.series import Series, totals

AT_LIMIT = 0.985
"""A voltage this near its limit is at it [-], as the run's alarms take it."""

EQUAL = 0.05
"""Currents this near count as equal [-]: our guess."""

JUMP = 0.2
"""A change of the current between two samples by this share of its usual value is a jump [-], where
nobody set it otherwise: our guess."""

MINUTE_S, HOUR_S = 60.0, 3600.0

METER = 0.02
"""Spread of ratios of read volts and amps, nine times in ten [-]: meters of bench supplies (common
practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """A run as recorded: its events in order, its samples, and what the person adds.

    planned_current  of the long build [A], or None
    bare_coat        the run began on a seed coat without copper
    mass_gain        of all that was weighed, wires included [kg], or None
    area             of all that plated [m²], or None
    """

    events: tuple[Event, ...]
    series: Series
    planned_current: float | None = None
    bare_coat: bool = False
    mass_gain: float | None = None
    area: float | None = None


def run_numbers(logged: Logged) -> RunNumbers:
    """Everything that the log tells; what it cannot tell stays None."""
    waits = _unpowered(logged.events)
    series, charge = logged.series, totals(logged.series).charge
    usual = float(np.median(series.current)) if len(series) else 0.0
    enough = len(series) > 1 and usual > 0.0
    mass = logged.mass_gain
    return RunNumbers(
        current_ratio=_ratio(usual if enough else None, logged.planned_current),
        unpowered_before_start=None if waits is None else Interval.exact(waits[0]),
        unpowered_in_run=None if waits is None else Interval.exact(waits[1]),
        voltage_limited_share=_at_limit(logged) if enough else None,
        voltage_fall_ratio=_volts(series, *_FIRST_MINUTE, *_AFTER_AN_HOUR) if enough else None,
        voltage_rise_ratio=_volts(series, *_LAST_MINUTES, *_AFTER_AN_HOUR) if enough else None,
        start_current_share=_ratio(_mean(series, *_FIRST_MINUTE, "current"), usual)
        if enough and logged.bare_coat
        else None,
        run_thickness=_thickness(charge, logged.area) if enough else None,
        mass_ratio=_ratio(mass, charge * COPPER_PER_CHARGE_KG_PER_C) if enough else None,
        current_jump_rate=Interval.exact(_jumps(logged, usual)) if enough else None,
        level_drop=_level_drop(logged.events),
    )


def bath_temperature(series: Series) -> Interval | None:
    """The bath's temperature over the run [K], from its coldest to its warmest twentieth."""
    known = series.temperature[np.isfinite(series.temperature)]
    if not len(known):
        return None
    low, best, high = (float(end) for end in np.percentile(known, (5.0, 50.0, 95.0)))
    return Interval(low, best, high)


_FIRST_MINUTE = (0.0, MINUTE_S)
_AFTER_AN_HOUR = (HOUR_S, HOUR_S + 10 * MINUTE_S)
_LAST_MINUTES = (-10 * MINUTE_S, 0.0)
"""Spans from the first sample [s]; from the last one where they begin below zero."""


def _unpowered(events: Iterable[Event]) -> tuple[float, float] | None:
    """Time in the bath without current before the supply was first on and after that [s]; None
    where nobody recorded the part's going in."""
    immersed, powered, began, since = False, False, False, 0.0
    before = after = 0.0
    noted = False
    for event in events:
        if immersed and not powered:
            before, after = (
                (before, after + event.at - since) if began else (before + event.at - since, after)
            )
        since = event.at
        noted = noted or isinstance(event, Immersed)
        immersed = isinstance(event, Immersed) or (immersed and not isinstance(event, Lifted))
        powered = isinstance(event, PoweredOn) or (powered and not isinstance(event, PoweredOff))
        began = began or powered
    return (before, after) if noted else None


def _span(series: Series, start: float, end: float) -> Bools:
    origin = series.time[0] if start >= 0.0 else series.time[-1]
    inside: Bools = (series.time >= origin + start) & (series.time <= origin + end)
    return inside


def _mean(series: Series, start: float, end: float, name: str) -> float | None:
    values: Floats = getattr(series, name)[_span(series, start, end)]
    return float(values.mean()) if len(values) else None


def _volts(
    series: Series, start: float, end: float, then_start: float, then_end: float
) -> Interval | None:
    """Volts of one span over those of another; None unless both hold samples at equal current and
    the run is long enough for them not to be the same."""
    if series.time[-1] - series.time[0] < 2 * HOUR_S:
        return None
    amps = [_mean(series, *span, "current") for span in ((start, end), (then_start, then_end))]
    volts = [_mean(series, *span, "voltage") for span in ((start, end), (then_start, then_end))]
    if amps[0] is None or amps[1] is None or abs(amps[0] - amps[1]) > EQUAL * abs(amps[1]):
        return None
    return _ratio(volts[0], volts[1])


def _ratio(value: float | None, over: float | None) -> Interval | None:
    if value is None or over is None or over <= 0.0 or value < 0.0:
        return None
    return Interval.about(value / over, METER)


def _at_limit(logged: Logged) -> Interval | None:
    """Share of the samples at the voltage limit in force; None where no limit was recorded."""
    settings = [event for event in logged.events if isinstance(event, Set)]
    if not settings:
        return None
    begun = np.array([event.at for event in settings])
    limits = np.array([event.voltage_limit for event in settings])
    place = np.searchsorted(begun, logged.series.time, side="right") - 1
    known = place >= 0
    if not known.any():
        return None
    limited = logged.series.voltage[known] >= AT_LIMIT * limits[place[known]]
    return Interval.exact(float(limited.mean()))


def _jumps(logged: Logged, usual: float) -> float:
    """Jumps of the current for each second sampled [s⁻¹], those of a new setting left out."""
    series = logged.series
    moved = np.abs(np.diff(series.current)) > JUMP * usual
    set_at = np.array(
        [event.at for event in logged.events if isinstance(event, Set | PoweredOn | PoweredOff)]
    )
    for moment in set_at:
        moved &= ~((series.time[:-1] <= moment + MINUTE_S) & (series.time[1:] >= moment - MINUTE_S))
    sampled = totals(series).sampled
    return float(moved.sum()) / sampled if sampled > 0.0 else 0.0


def _level_drop(events: Iterable[Event]) -> Interval | None:
    drops = [event.level_drop for event in events if isinstance(event, Read)]
    known = [drop for drop in drops if drop is not None]
    return Interval.exact(max(0.0, max(known))) if known else None


def _thickness(charge: float, area: float | None) -> Interval | None:
    if area is None or area <= 0.0:
        return None
    return _ratio(charge * COPPER_PER_CHARGE_KG_PER_C / COPPER_DENSITY_KG_PER_M3, area)
