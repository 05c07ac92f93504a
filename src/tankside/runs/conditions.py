"""Whether the bath itself is as the plan took it: temperature and level, typed in or read.

A bath that cools conducts less and plates rougher; one that sinks bares the part or the anodes. The
windows are our judgement and stand here as named constants.
"""

from dataclasses import dataclass

from tankside.base.messages import Quantity, said
from tankside.runs.alarms import Alarm

TEMPERATURE_K = 4.0
"""A bath this far from the planned temperature is outside it: conductivity then differs by about a
twentieth and copper's diffusion by a tenth."""

LEVEL_M = 0.01
"""A level that has sunk this far is told: a centimetre bares hooks and upper edges."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What was seen: temperature [K] and how far the level has sunk below its mark [m], None where
    nobody looked; and what was planned [K], None where that is not known."""

    temperature: float | None = None
    level_drop: float | None = None
    planned_temperature: float | None = None


def outside(seen: Conditions) -> tuple[Alarm, ...]:
    """Alarms for what lies outside."""
    found = []
    wanted = seen.planned_temperature
    if seen.temperature is not None and wanted is not None:
        apart = seen.temperature - wanted
        if abs(apart) > TEMPERATURE_K:
            found.append(_temperature(seen.temperature, wanted))
    if seen.level_drop is not None and seen.level_drop > LEVEL_M:
        found.append(
            Alarm(
                name=said("level low"),
                seen=said(
                    "The bath stands {level_drop} below its mark.",
                    level_drop=Quantity(seen.level_drop, "mm"),
                ),
                do=said(
                    "Top up with distilled or deionised water to the mark, slowly and away from "
                    "the part; look whether the tank leaks."
                ),
                off=False,
            )
        )
    return tuple(found)


def _temperature(value: float, wanted: float) -> Alarm:
    warm = value > wanted
    do = (
        said("Turn the heater down, or let air to the tank; look whether the print softens.")
        if warm
        else said(
            "Warm the bath slowly, or plate on at a lower current: in proportion, a cold "
            "bath burns sooner."
        )
    )
    return Alarm(
        name=said("bath too warm") if warm else said("bath too cold"),
        seen=said(
            "The bath is at {value}, planned were {wanted}.",
            value=Quantity(value, "degC"),
            wanted=Quantity(wanted, "degC"),
        ),
        do=do,
        off=False,
    )
