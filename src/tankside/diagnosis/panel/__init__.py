"""The slanted test panel: currents along it, what its zones say, and reading them off a photo."""

from tankside.diagnosis.panel.along import (
    USUAL_WAGNER,
    Along,
    current_along,
    wagner_of,
    whole_panel,
)
from tankside.diagnosis.panel.cell import SlantedCell, cell_named, cells
from tankside.diagnosis.panel.evidence import additive_by, measured_by, told_by
from tankside.diagnosis.panel.reading import Boundary, PanelReading, PanelTest, read_panel
from tankside.diagnosis.panel.trend import Trend, compared
from tankside.diagnosis.panel.zones import Look, Zone, checked_zones, marked, zones_of

__all__ = [
    "USUAL_WAGNER",
    "Along",
    "Boundary",
    "Look",
    "PanelReading",
    "PanelTest",
    "SlantedCell",
    "Trend",
    "Zone",
    "additive_by",
    "cell_named",
    "cells",
    "checked_zones",
    "compared",
    "current_along",
    "marked",
    "measured_by",
    "read_panel",
    "told_by",
    "wagner_of",
    "whole_panel",
    "zones_of",
]
