"""A coated strip in a cell, with the solution's field: the current at rest, and the front of copper
that creeps along it, against the method of lines by scipy's solve_ivp."""

from dataclasses import replace
from functools import cache
from math import inf

import numpy as np
from scipy.integrate import solve_ivp
from scipy.linalg import solve_banded

from tankside.base.arrays import Floats
from tankside.base.constants import thermal_voltage
from tankside.field.dense import dense_operators
from tankside.field.deposit import THICKNESS_PER_CHARGE, Moment, Segment
from tankside.field.growth import grow
from tankside.field.kinetics import ButlerVolmer, LinearPolarisation
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, ElectrodeLaw, FieldProblem
from tankside.field.seed.coat import even_coat
from tankside.field.seed.shell import seed_shell
from tankside.field.solve import solve
from tankside.validation.cases import quantity
from tankside.validation.closed_shapes import box
from tankside.validation.coated_surfaces import (
    ANODE,
    COATED,
    COPPER,
    GAP,
    LENGTH,
    RESISTANCE,
    WALL,
    WIDTH,
    end_contact,
)


def plate_cell(lines: Floats, law: ElectrodeLaw, sheet_resistance: float) -> FieldProblem:
    """A coated face opposite an anode in a box, in a solution of hardly any resistance; what lies
    before x = 0 is the contact."""
    x = LENGTH * lines
    faces = box(x, np.linspace(0, WIDTH, 4), np.linspace(0, GAP, 4))
    groups = {"z-": COATED, "z+": ANODE}
    panels = Panels(
        corners=np.concatenate(list(faces.values())),
        group=np.concatenate([np.full(len(f), groups.get(n, WALL)) for n, f in faces.items()]),
    )
    contact = end_contact(-float(x[0]))
    coat = even_coat(panels.group == COATED, sheet_resistance)
    return FieldProblem(
        panels=panels,
        conductivity=1e4,
        electrodes=(
            Electrode(group=COATED, anode=False, law=law),
            Electrode(group=ANODE, anode=True, law=LinearPolarisation(resistance=1e-9)),
        ),
        total_current=inf,
        voltage_limit=0.3,
        metal=seed_shell(panels, coat, (contact,), COPPER),
    )


@quantity("coated strip in a cell: current at the far end over the exact one")
def cell_end(nu: float, cells: int) -> float:
    """Of the last tenth, over that of the cosh law at the bar's potential [-]."""
    lines = np.concatenate([[-0.02], np.linspace(0, 1, cells + 1)])
    law = LinearPolarisation(resistance=RESISTANCE)
    problem = plate_cell(lines, law, nu**2 * RESISTANCE / LENGTH**2)
    found = solve(problem, dense_operators(problem.panels))
    places = problem.panels.centroids[:, 0] / LENGTH
    far = (problem.panels.group == COATED) & (places > 0.9)
    areas = problem.panels.areas[far]
    exact = 0.3 / RESISTANCE * np.sinh(0.1 * nu) / (0.1 * nu * np.cosh(nu))
    return float(np.average(found.current_density[far], weights=areas) / exact)


@quantity("coated strip in a cell: arrival of the front over the method of lines")
def front(sheet_resistance: float, cells: int, place: float) -> float:
    """Time at which copper is 0.2 µm thick at a place, as a share of the length [-]."""
    arrivals = front_arrivals(sheet_resistance, cells)
    middles, ours, theirs = arrivals
    return float(np.interp(place, middles, ours) / np.interp(place, middles, theirs))


FRONT_LAW = ButlerVolmer(
    exchange_current_density=20.0,
    cathodic_transfer=0.5,
    anodic_transfer=1.5,
    thermal_voltage=thermal_voltage(298.15),
)
COVERING = 2e-7
"""Thickness that counts as the front [m]."""
FRONT_SECONDS = 400.0
FRONT_VOLTS = 0.15


@cache
def front_arrivals(sheet_resistance: float, cells: int) -> tuple[Floats, Floats, Floats]:
    """Places as shares of the length, and when the front is there: ours, and by solve_ivp [s]."""
    lines = np.concatenate([[-0.02], np.linspace(0, 1, cells + 1)])
    problem = replace(plate_cell(lines, FRONT_LAW, sheet_resistance), voltage_limit=FRONT_VOLTS)
    panels = problem.panels
    arrival = np.full(len(panels), inf)

    def watched(moment: Moment) -> None:
        before, after = moment.thickness_before, moment.thickness
        here = (before < COVERING) & (after >= COVERING)
        share = (COVERING - before[here]) / (after[here] - before[here])
        arrival[here] = moment.start + share * (moment.end - moment.start)

    recipe = [Segment(duration=FRONT_SECONDS, current=inf)]
    grow(problem, recipe, dense_operators(panels), watch=watched)
    column = np.digitize(panels.centroids[:, 0] / LENGTH, lines[1:])
    coated_panels = (panels.group == COATED) & (column > 0)
    ours = np.array(
        [float(arrival[coated_panels & (column == k)].mean()) for k in range(1, cells + 1)]
    )
    places, theirs = _front_by_lines(sheet_resistance, 600)
    middles = (lines[1:-1] + lines[2:]) / 2
    return middles, ours, np.interp(middles, places, theirs)


def _front_by_lines(sheet_resistance: float, count: int) -> tuple[Floats, Floats]:
    """Arrival by volumes along the strip and solve_ivp in time, the potentials by Newton's
    method on a band matrix."""
    width = LENGTH / count
    places = (np.arange(count) + 0.5) / count
    start = np.zeros(count)

    def rates(_: float, thickness: Floats) -> Floats:
        conductance = 1 / sheet_resistance + COPPER.sheet_conductance(thickness)
        between = np.empty(count)
        between[0] = 2 * conductance[0]
        between[1:] = 2 / (1 / conductance[1:] + 1 / conductance[:-1])
        drop = _settled_drop(between / width**2, start)
        start[:] = drop
        return THICKNESS_PER_CHARGE * FRONT_LAW.current_density(drop - FRONT_VOLTS)

    times = np.geomspace(0.5, FRONT_SECONDS, 1500)
    grown = solve_ivp(
        rates, (0, FRONT_SECONDS), np.zeros(count), method="RK45", t_eval=times, rtol=1e-5,
        atol=1e-11,
    )  # fmt: skip
    arrivals = [float(np.interp(COVERING, row, times, right=inf)) for row in grown.y]
    return places, np.array(arrivals)


def _settled_drop(between: Floats, guess: Floats) -> Floats:
    """Potentials above the clamp's with (sigma V')' = i(V - U), the clamp before the first [V]."""
    drop = guess.copy()
    right = np.append(between[1:], 0.0)
    for _ in range(100):
        current = FRONT_LAW.current_density(drop - FRONT_VOLTS)
        slope = FRONT_LAW.slope(drop - FRONT_VOLTS)
        missed = between * (drop - np.append(0.0, drop[:-1])) - current
        missed -= right * (np.append(drop[1:], 0.0) - drop)
        band = np.zeros((3, len(drop)))
        band[0, 1:], band[2, :-1] = -right[:-1], -between[1:]
        band[1] = between + right - slope
        change = solve_banded((1, 1), band, missed)
        drop = drop - np.clip(change, -0.05, 0.05)
        if np.abs(change).max() < 1e-10:
            break
    return drop
