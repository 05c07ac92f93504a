"""The start of a coated part in words: rows for a table of settings, and sentences."""

from math import isfinite

from tankside.base.intervals import Interval
from tankside.plan.start import SeedStart
from tankside.sheets.wording import measured, percent, plain, spoken

Row = tuple[str, str, str, str]


def start_rows(start: SeedStart) -> list[Row]:
    """From when, to which current, up to which voltage, and a remark."""
    last = len(start.table) - 1
    return [
        (
            f"{minutes(entry.start)}",
            "set the current to",
            f"{entry.current:.3g} A",
            f"voltage limit {entry.voltage_ceiling:.2f} V"
            + (", and stay" if number == last else ""),
        )
        for number, entry in enumerate(start.table)
    ]


def start_told(start: SeedStart) -> list[str]:
    """When copper covers which share, and what the contacts bear."""
    times = [
        f"{percent(share)} after {minutes(time)} min"
        if isfinite(time)
        else f"{percent(share)} never"
        for time, share in start.front
    ]
    thick = measured(start.covering.covering_thickness, "um", 1)
    told = [
        f"Followed exactly, the ramp covers ({thick} of copper) {', '.join(times)}; the full "
        f"current is on after {minutes(start.ramp_end)} min. The settings take longer."
    ]
    for collar in start.collars:
        told.append(
            f"Round {spoken(collar.name)} thin copper bears at most "
            f"{percent(collar.largest_fraction)} of its limiting current: {_JUDGED[collar.risk]}; "
            f"the coat there warms by {_warming(collar.temperature_rise)}."
        )
    told.append(
        "If a voltage limit is reached, a wire has lost its hold or the coat is poorer than said: "
        f"do not raise it. The last setting is on after {minutes(start.table[-1].start)} min."
    )
    return told


def _warming(rise: Interval) -> str:
    """Kelvin, with its range where it is worth a thought."""
    if rise.high < 1.0:
        return "less than 1 K"
    return f"{plain(rise.low, 1)} to {plain(rise.high, 2)} K"


_JUDGED = {"safe": "no burning", "risk": "near burning", "burns": "it burns"}


def minutes(seconds: float) -> str:
    """Minutes and seconds, as a kitchen timer shows them."""
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"
