"""Runs held against handbook formulas: cathode efficiency, charge, time to a thickness."""

import numpy as np

from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.runs.audit import efficiency_by_coulometer
from tankside.runs.series import Series, totals
from tankside.validation.cases import quantity


@quantity("cathode efficiency by the copper coulometer")
def efficiency(test_g: float, coulometer_g: float, valence: int, molar_mass_g_mol: float) -> float:
    """[%] from masses gained in series."""
    share = efficiency_by_coulometer(
        1e-3 * test_g, 1e-3 * coulometer_g, valence, 1e-3 * molar_mass_g_mol
    )
    return 100.0 * share


@quantity("copper by a counted charge")
def copper(ampere_hours: float) -> float:
    """Copper laid down at full efficiency [g]."""
    return 1e3 * COPPER_PER_CHARGE_KG_PER_C * 3600.0 * ampere_hours


@quantity("charge of a sampled current")
def charge(amplitude_A: float, period_s: float, step_s: float) -> float:
    """Of amplitude * sin²(pi t / period) over one period, sampled at even steps [C]."""
    time = np.arange(0.0, period_s + 0.5 * step_s, step_s)
    current = amplitude_A * np.sin(np.pi * time / period_s) ** 2
    return totals(Series.of(time, np.ones(len(time)), current)).charge
