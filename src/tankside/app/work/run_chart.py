"""The samples of a run for a chart and a table, thinned so that no spike is lost, beside what the
plan expects of them and of what is still to come."""

from bisect import bisect_left
from math import inf
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from tankside.app.run_ports import RunKeeper
    from tankside.runs.expected import Expected
    from tankside.runs.recipe import Recipe
    from tankside.runs.series import Series

CHART_POINTS = 400
TO_COME_POINTS = 60


def since_the_ramp(keeper: "RunKeeper") -> "Series":
    """The samples from the first setting on: what came before was outside the bath."""
    from tankside.runs.events import RampStarted

    ramp = next((one.at for one in keeper.events() if isinstance(one, RampStarted)), inf)
    return keeper.series().between(ramp, inf)


def drawn(series: "Series", expected: "Expected", longest_gap: float) -> dict[str, Any]:
    """Columns with their units in the keys; times [h] since the first sample. Spans longer than
    `longest_gap` [s] carry no charge."""
    import numpy as np

    from tankside.runs.series import charge_so_far, thinned

    few = thinned(series, CHART_POINTS)
    passed = charge_so_far(series, longest_gap)
    charge = np.interp(few.time, series.time, passed) if len(few) else few.time
    voltages = [
        expected.voltage_at(float(current), float(so_far))
        for current, so_far in zip(few.current, charge, strict=True)
    ]
    start = float(few.time[0]) if len(few) else 0.0
    return {
        "time_h": ((few.time - start) / 3600).round(6).tolist(),
        "voltage_V": few.voltage.tolist(),
        "current_A": few.current.tolist(),
        "expected_voltage_V": [round(value, 5) for value in voltages],
        "charge_Ah": [round(float(value) / 3600, 5) for value in charge],
    }


def to_come(recipe: "Recipe", expected: "Expected", charge: float) -> dict[str, list[float]]:
    """What the plan expects from `charge` [C] on, the currents held: hours from now, volts, amps
    and ampere-hours."""
    columns: dict[str, list[float]] = {
        "time_h": [],
        "expected_voltage_V": [],
        "current_A": [],
        "charge_Ah": [],
    }
    begins, passed, time = 0.0, charge, 0.0
    for setting in recipe.settings:
        whole = setting.current * setting.expected_duration
        ends = begins + whole
        if ends > passed:
            points = max(2, round(TO_COME_POINTS * whole / recipe.expected_charge))
            first = passed
            for k in range(points + 1):
                at = first + (ends - first) * k / points
                columns["time_h"].append((time + (at - first) / setting.current) / 3600)
                columns["expected_voltage_V"].append(expected.voltage_at(setting.current, at))
                columns["current_A"].append(setting.current)
                columns["charge_Ah"].append(at / 3600)
            time += (ends - first) / setting.current
            passed = ends
        begins = ends
    return {key: [round(value, 6) for value in values] for key, values in columns.items()}


def table_of(chart: "Mapping[str, Sequence[float]]", most: int = 10) -> list[dict[str, float]]:
    """At most about so many samples, evenly over the time, the last one always: hours, voltage
    measured and expected, current, and ampere-hours."""
    times = chart["time_h"]
    if not times:
        return []
    wanted = [times[-1] * k / (most - 1) for k in range(most)]
    places = sorted({_nearest(times, at) for at in wanted})
    return [{key: float(column[k]) for key, column in chart.items()} for k in places]


def _nearest(times: "Sequence[float]", at: float) -> int:
    after = min(bisect_left(times, at), len(times) - 1)
    before = max(0, after - 1)
    return before if at - times[before] < times[after] - at else after
