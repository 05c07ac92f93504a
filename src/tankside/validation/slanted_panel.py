"""The test panel as the diagnosis reads it: its formula for both cells, and its stored field."""

from functools import cache

import numpy as np

from tankside.base.intervals import Interval
from tankside.diagnosis.panel import SlantedCell, cell_named
from tankside.diagnosis.panel.shape import relative_current_density
from tankside.validation.cases import quantity


@quantity("test panel: published formula")
def formula(cell: str, distance_m: float, current_A: float) -> float:
    """The formula of a cell [A m⁻²]."""
    return cell_named(cell).published(distance_m, current_A)


@quantity("test panel: formula's mean over current by area")
def formula_over_charge(cell: str) -> float:
    """The formula integrated over the whole panel, as if it held there, over I by the area [-]."""
    held = cell_named(cell)
    x = np.linspace(0.0, held.length, 200_001)[1:]
    density = held.constant - held.slope * np.log10(x / 0.0254)
    return float(density.mean() * held.area)


@quantity("test panel: field over formula")
def field_over_formula(cell: str, wagner: float, from_m: float, to_m: float) -> float:
    """Stored field over the formula, means over a stretch [-]."""
    held = cell_named(cell)
    return _field_mean(held, wagner, from_m, to_m) / held.published_mean(from_m, to_m, 1.0)


@quantity("test panel: relative current")
def relative(cell: str, wagner: float, from_m: float, to_m: float) -> float:
    """Stored field over a stretch, over the panel's mean [-]."""
    held = cell_named(cell)
    return _field_mean(held, wagner, from_m, to_m) * held.area


@cache
def _field_mean(cell: SlantedCell, wagner: float, start: float, end: float) -> float:
    """By linear polarisation and Tafel's law, their geometric mean [A m⁻² for each A]."""
    shares = np.linspace(start, end, 200) / cell.length
    number = Interval.exact(wagner)
    found = [relative_current_density(cell, float(one), number).best for one in shares]
    return float(np.mean(found)) / cell.area
