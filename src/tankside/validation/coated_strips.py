"""Coated strips held at one end, whose current is known: with linear kinetics
i = i(0) cosh(nu (1 - x)) / cosh nu, nu = L sqrt(R / r), and with Tafel's law
i = i(L) sec²(theta (1 - x)), theta tan theta = alpha R i_mean L² / (2 RT/F)."""

from functools import cache

import numpy as np

from tankside.base.constants import thermal_voltage
from tankside.field.kinetics import ButlerVolmer, LinearPolarisation
from tankside.validation.cases import quantity
from tankside.validation.coated_surfaces import (
    LENGTH,
    RESISTANCE,
    WIDTH,
    Held,
    coated,
    end_contact,
    held,
    strip,
)


@cache
def _linear_strip(nu: float, cells: int, skew: float) -> Held:
    law = LinearPolarisation(resistance=RESISTANCE)
    surface = strip(cells, 1.0 if nu < 3 else 1.5, skew)
    problem = coated(surface, law, nu**2 * RESISTANCE / LENGTH**2, (end_contact(),))
    return held(problem, bar=-0.1)


@quantity("coated strip: current at the contact")
def strip_contact(nu: float, cells: int, skew: float) -> float:
    """Over the mean [-]."""
    found = _linear_strip(nu, cells, skew)
    return found.at_contact / found.mean


@quantity("coated strip: current at the far end")
def strip_end(nu: float, cells: int, skew: float) -> float:
    """Of the last hundredth, over the mean [-]."""
    found = _linear_strip(nu, cells, skew)
    far = found.problem.panels.centroids[:, 0] > 0.99 * LENGTH
    return found.mean_where(far & found.beyond) / found.mean


@quantity("coated strip: rms deviation from the exact current")
def strip_rms(nu: float, cells: int, skew: float) -> float:
    """Over the mean, by area [-]."""
    found = _linear_strip(nu, cells, skew)
    places = found.problem.panels.centroids[found.beyond, 0] / LENGTH
    exact = 0.1 / RESISTANCE * np.cosh(nu * (1 - places)) / np.cosh(nu)
    missed = found.current_density[found.beyond] - exact
    areas = found.problem.panels.areas[found.beyond]
    return float(np.sqrt(np.average(missed**2, weights=areas))) / found.mean


@cache
def _tafel_strip(sheet_resistance: float, cells: int) -> Held:
    law = ButlerVolmer(
        exchange_current_density=1e-9,
        cathodic_transfer=0.5,
        anodic_transfer=0.5,
        thermal_voltage=thermal_voltage(298.15),
    )
    problem = coated(strip(cells, 3.0, 0.0), law, sheet_resistance, (end_contact(),))
    return held(problem, total_current=50.0 * LENGTH * WIDTH)


@quantity("coated strip, Tafel: current at the contact")
def tafel_contact(sheet_resistance: float, cells: int) -> float:
    """Over the mean of 50 A/m² [-]."""
    return _tafel_strip(sheet_resistance, cells).at_contact / 50.0


@quantity("coated strip, Tafel: current at the far end")
def tafel_end(sheet_resistance: float, cells: int) -> float:
    """Of the last hundredth, over the mean of 50 A/m² [-]."""
    found = _tafel_strip(sheet_resistance, cells)
    far = found.problem.panels.centroids[:, 0] > 0.99 * LENGTH
    return found.mean_where(far & found.beyond) / 50.0
