"""The start of a coated part in words: rows for a table of settings, and sentences."""

from math import isfinite

from tankside.base.intervals import Interval
from tankside.plan.start import SeedStart
from tankside.sheets.wording import listed, marked, measured, percent, plain, span, spoken, worded

Row = tuple[str, str, str, str]


def start_rows(start: SeedStart) -> list[Row]:
    """From when, to which current, up to which voltage, and a remark."""
    last = len(start.table) - 1
    return [
        (
            f"{minutes(entry.start)}",
            worded("set the current to"),
            marked(f"{entry.current:.3g} A"),
            _limit(entry.voltage_ceiling, stay=number == last),
        )
        for number, entry in enumerate(start.table)
    ]


def start_told(start: SeedStart) -> list[str]:
    """When copper covers which share, and what the contacts bear."""
    times = [
        worded("{share} after {time} min", share=percent(share), time=minutes(time))
        if isfinite(time)
        else worded("{share} never", share=percent(share))
        for time, share in start.front
    ]
    thick = measured(start.covering.covering_thickness, "um", 1)
    told = [
        worded(
            "Followed exactly, the ramp covers ({thick} of copper) {times}; the full current is on "
            "after {end} min. The settings take longer.",
            thick=thick,
            times=listed(times),
            end=minutes(start.ramp_end),
        )
    ]
    for collar in start.collars:
        told.append(
            worded(
                "Round {place} thin copper bears at most {share} of its limiting current: "
                "{judgement}; the coat there warms by {rise}.",
                place=spoken(collar.name),
                share=percent(collar.largest_fraction),
                judgement=_judged(collar.risk),
                rise=_warming(collar.temperature_rise),
            )
        )
    told.append(
        worded(
            "If a voltage limit is reached, a wire has lost its hold or the coat is poorer than "
            "said: do not raise it. The last setting is on after {time} min.",
            time=minutes(start.table[-1].start),
        )
    )
    return told


def _warming(rise: Interval) -> str:
    """Kelvin, with its range where it is worth a thought."""
    if rise.high < 1.0:
        return worded("less than 1 K")
    return f"{span(plain(rise.low, 1), plain(rise.high, 2))} K"


def _judged(risk: str) -> str:
    known = {
        "safe": worded("no burning"),
        "risk": worded("near burning"),
        "burns": worded("it burns"),
    }
    return known[risk]


def _limit(volts: float, *, stay: bool) -> str:
    told = marked(f"{volts:.2f}")
    if stay:
        return worded("voltage limit {volts} V, and stay", volts=told)
    return worded("voltage limit {volts} V", volts=told)


def minutes(seconds: float) -> str:
    """Minutes and seconds, as a kitchen timer shows them."""
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"
