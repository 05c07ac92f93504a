"""The parts' area counted by thickness, for histograms on paper and in the terminal."""

import numpy as np

from tankside.base.arrays import Floats
from tankside.cell.bodies import Role
from tankside.plan.plan import Plan
from tankside.sheets.colours import ThicknessScale


def area_by_thickness(plan: Plan, scale: ThicknessScale, about: int) -> tuple[Floats, Floats]:
    """Edges (n + 1,) [m] over the scale, and the share of the parts' area in each bin (n,).

    There are about that many bins, a whole number between any two ticks. What lies beyond an end
    counts in the end's bin.
    """
    intervals = len(scale.ticks) - 1
    bins = intervals * max(1, round(about / intervals))
    parts = [result for result in plan.results if result.body.role is Role.PART]
    thickness = np.concatenate([result.thickness for result in parts])
    areas = np.concatenate([result.body.surface.areas for result in parts])
    edges = np.linspace(scale.low, scale.high, bins + 1)
    counted, _ = np.histogram(np.clip(thickness, scale.low, scale.high), edges, weights=areas)
    return edges, np.asarray(counted / areas.sum())
