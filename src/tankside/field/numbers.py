"""The few numbers in which a field is told: area statistics, Wagner number, voltage split.

Every mean, percentile and fraction is weighted by area, so that none depends on how a surface was
cut into panels.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.base.errors import BadInput
from tankside.field.loadline import overpotential_at
from tankside.field.problem import ElectrodeLaw, FieldSolution


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaStatistics:
    """mean, smallest, largest, and the values that 5 % and 95 % of the area lie below."""

    mean: float
    smallest: float
    percent_5: float
    percent_95: float
    largest: float


@dataclass(frozen=True, slots=True, kw_only=True)
class VoltageSplit:
    """What the voltage between the bars is spent on [V]; the four add up to it exactly.

    Each is the power spent there over the supply's current:
    anode     sum of I eta over the anodes' panels
    solution  kappa |grad phi|² over the whole solution, as the boundary's sum of I phi
    cathode   sum of -I eta over the cathodes' panels
    metal     sum of I times the drop in the cathodes' metal
    """

    anode: float
    solution: float
    cathode: float
    metal: float

    @property
    def total(self) -> float:
        """Between the bars [V]."""
        return self.anode + self.solution + self.cathode + self.metal


def area_statistics(values: Floats, areas: Floats) -> AreaStatistics:
    """Statistics of `values` on panels of the given areas [m²], in the unit of `values`."""
    if len(values) != len(areas) or not len(values):
        raise BadInput(
            "statistics need as many values as areas, not {values} and {areas}",
            values=len(values),
            areas=len(areas),
        )
    low, high = area_percentiles(values, areas, (5.0, 95.0))
    return AreaStatistics(
        mean=float(np.average(values, weights=areas)),
        smallest=float(values.min()),
        percent_5=low,
        percent_95=high,
        largest=float(values.max()),
    )


def area_percentiles(
    values: Floats, areas: Floats, percents: tuple[float, ...]
) -> tuple[float, ...]:
    """The value below which each percentage of the area lies: linear between panels, each of which
    stands at the middle of its own area; the smallest and largest value at the ends."""
    order = np.argsort(values, kind="stable")
    reached = np.cumsum(areas[order])
    middle = (reached - areas[order] / 2) / reached[-1]
    return tuple(float(np.interp(p / 100.0, middle, values[order])) for p in percents)


def area_fraction(chosen: Bools, areas: Floats) -> float:
    """Share of the area where `chosen` is true [-]."""
    return float(areas[chosen].sum() / areas.sum())


def polarisation_resistance(law: ElectrodeLaw, current_density: float) -> float:
    """|d(eta)/di| of a law at a current density [A m⁻²], in ohm m²."""
    slope = float(law.slope(np.array([overpotential_at(law, current_density)]))[0])
    return -1.0 / slope if slope < 0 else float("inf")


def wagner_number(*, conductivity: float, polarisation: float, length: float) -> float:
    """kappa |d(eta)/di| / L [-]: how far the kinetics evens out what resistance makes
    uneven. Above about 5 nearly uniform, below 0.2 nearly primary.

    conductivity [S m⁻¹], polarisation |d(eta)/di| [ohm m²], length [m]. Source: Wagner 1951.
    """
    return conductivity * polarisation / length


def wagner_number_of(solution: FieldSolution) -> float:
    """Wagner number of a solved cell: polarisation of each cathode's law at its own mean current
    density, weighted by area; the length is the square root of the cathodes' area."""
    problem = solution.problem
    area = polarisation = 0.0
    for electrode in problem.electrodes:
        if not electrode.anode:
            own = float(problem.panels.areas[problem.panels.group == electrode.group].sum())
            mean = solution.group_current[electrode.group] / own
            area += own
            polarisation += own * polarisation_resistance(electrode.law, mean)
    return wagner_number(
        conductivity=problem.conductivity, polarisation=polarisation / area, length=area**0.5
    )


def voltage_split(solution: FieldSolution) -> VoltageSplit:
    """How the voltage between the bars divides, by power."""
    problem = solution.problem
    cathode, anode = problem.panels_of(anode=False), problem.panels_of(anode=True)
    current = problem.panels.areas * solution.current_density

    def weighted(values: Floats, where: Bools) -> float:
        return float((current * values)[where].sum() / current[where].sum())

    eta = solution.overpotential
    return VoltageSplit(
        anode=weighted(eta, anode),
        solution=weighted(solution.potential, anode) - weighted(solution.potential, cathode),
        cathode=-weighted(eta, cathode),
        metal=weighted(solution.metal_potential - solution.cathode_potential, cathode),
    )
