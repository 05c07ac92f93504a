"""The start of a coated part in the JSON reply: front, collars, settings and set-points."""

from typing import Any

import numpy as np

from tankside.base.units import in_unit
from tankside.field.seed.front import Collar
from tankside.plan.start import SeedStart

_MOST_POINTS = 200
"""Set-points for a supply."""


def start_json(start: SeedStart) -> dict[str, Any]:
    """Everything that a person and a supply need until copper covers the part."""
    covering = start.covering
    at_end = np.interp(start.ramp_end, covering.times, covering.charge)
    return {
        "covering_thickness_um": in_unit(covering.covering_thickness, "um"),
        "front": [{"time_s": time, "covered_area_fraction": share} for time, share in start.front],
        "covered_area_fraction_at_end": covering.covered_share(float(covering.times[-1])),
        "ramp_end_s": start.ramp_end,
        "ramp_charge_Ah": in_unit(float(at_end), "Ah"),
        "largest_coat_heat_W": float(covering.heat.max()),
        "collars": [_collar(collar) for collar in start.collars],
        "ramp": [
            {
                "start_s": entry.start,
                "duration_s": entry.duration,
                "current_A": entry.current,
                "voltage_ceiling_V": entry.voltage_ceiling,
            }
            for entry in start.table
        ],
        "decay_length_m": start.decay_length,
        "panel_size_m": start.panel_size,
        "ramp_largest_load": start.check.largest_load,
        "ramp_covered_99_percent_s": start.check.covered_99,
        "set_points": _set_points(start),
        "islands": list(covering.islands),
    }


def _collar(collar: Collar) -> dict[str, Any]:
    rise = collar.temperature_rise
    return {
        "name": collar.name,
        "risk": collar.risk,
        "largest_fraction_of_limit": collar.largest_fraction,
        "burning_s": collar.burning_time,
        "largest_current_A": collar.largest_current,
        "largest_heat_W_m2": collar.largest_heat,
        "temperature_rise_K": {"low": rise.low, "best": rise.best, "high": rise.high},
    }


def _set_points(start: SeedStart) -> list[dict[str, float]]:
    """Times and currents of the ramp itself, with the cell's voltage, for a supply that is set by
    a program."""
    covering = start.covering
    last = min(int(np.searchsorted(covering.times, start.ramp_end)) + 1, _MOST_POINTS)
    rows = zip(covering.times, covering.current, covering.voltage, strict=True)
    return [
        {"time_s": float(time), "current_A": float(current), "cell_voltage_V": float(voltage)}
        for (time, current, voltage), _ in zip(rows, range(last), strict=False)
    ]
