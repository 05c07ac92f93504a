"""What a panel says to the diagnosis, and what it says of the additive.

The panel was plated in a sample of the bath on a smooth plate, so what it shows is the bath's doing
and not that of the part, its coat or the rig. Its limits are numbers that data/readings.csv weighs;
a panel that is bright nowhere answers the check that asks for one.
"""

from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.bath.dosing.additive import Panel
from tankside.diagnosis.evidence import Measured, Said, Told
from tankside.diagnosis.panel.reading import PanelReading
from tankside.diagnosis.panel.trend import Trend
from tankside.diagnosis.panel.zones import Look

BRIGHT_DOWN_TO = 160.0
"""A panel of a bright bath in order is bright down to this current density [A m⁻²] (common
practice, no source); data/readings.csv has the same."""

ORIGIN = said("the test panel")

_TOO_MUCH = frozenset({Look.PITTED, Look.BANDED, Look.CRACKED})
"""Looks with which no additive is added before their cause is known."""

_FAULTS = {
    Look.PITTED: "pits",
    Look.STREAKED: "streaks",
    Look.OFF_COLOUR: "off-colour",
    Look.CRACKED: "cracks-alone",
}
"""Faults that a look of a panel is, too."""


def told_by(reading: PanelReading) -> tuple[Told, ...]:
    """Answers that the panel gives: to the check for a bright zone, and faults that it shows."""
    looks = {zone.look for zone in reading.test.zones}
    dull = Told(finding="panel-dull", said=Said.NO if reading.has_bright else Said.YES)
    return (dull, *(Told(finding=name) for look, name in _FAULTS.items() if look in looks))


def measured_by(reading: PanelReading, trend: Trend | None = None) -> tuple[Measured, ...]:
    """Numbers that the panel gives, and what it gives against earlier ones."""
    found: dict[str, Interval | None] = {
        "panel_burnt_above": None
        if reading.burnt_above is None
        else reading.burnt_above.current_density,
        "panel_bright_above": None
        if reading.bright_above is None
        else reading.bright_above.current_density,
    }
    if trend is not None:
        found["panel_burnt_ratio"] = trend.burnt_ratio
        found["panel_bright_ratio"] = trend.bright_ratio
    return tuple(
        Measured(quantity=name, value=value, origin=ORIGIN)
        for name, value in found.items()
        if value is not None
    )


def additive_by(reading: PanelReading) -> Panel:
    """What the panel says of the additive: the word that decides a dose.

    Pits, bands and cracks come before dullness: with any of them nothing is added. Dull is a panel
    that is bright nowhere, or whose bright range ends above `BRIGHT_DOWN_TO`.
    """
    if any(zone.look in _TOO_MUCH for zone in reading.test.zones):
        return Panel.OVERDOSED
    lower = reading.bright_above
    if not reading.has_bright:
        return Panel.DULL
    if lower is not None and lower.current_density.best > BRIGHT_DOWN_TO:
        return Panel.DULL
    return Panel.BRIGHT
