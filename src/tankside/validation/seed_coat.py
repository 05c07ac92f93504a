"""Coats whose potential is known: strip, disc and sphere held by a wire; the front on a strip.

The coat alone, that is without the solution's resistance, has closed forms. With linear kinetics of
resistance r and a sheet resistance R, lengths count against sqrt(r / R):
    strip held at one end         i = i(0) cosh(nu (1 - x)) / cosh nu,        nu = L sqrt(R / r)
    disc held at its rim          i = i(1) I0(nu rho) / I0(nu)
    disc held at its centre       I0 and K0, flat at the rim
and with Tafel's law a strip has i = i(L) sec²(theta (1 - x)), theta tan theta = alpha R i_mean L² /
(2 RT/F). The sphere held at a pole and the front have none: their one-dimensional equations are
solved by scipy's solve_bvp and solve_ivp beside ours. "In a cell" means with the solution's field.
"""

from dataclasses import dataclass, replace
from functools import cache
from math import acos, inf, pi, sqrt
from typing import Any

import numpy as np
from scipy.integrate import solve_bvp, solve_ivp
from scipy.linalg import solve_banded
from scipy.special import i0, i1, k0, k1

from tankside.base.arrays import Bools, Floats
from tankside.base.constants import thermal_voltage
from tankside.field.dense import dense_operators
from tankside.field.deposit import THICKNESS_PER_CHARGE, Moment, Segment
from tankside.field.growth import grow
from tankside.field.kinetics import ButlerVolmer, LinearPolarisation
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, ElectrodeLaw, FieldProblem
from tankside.field.seed.alone import settled_alone
from tankside.field.seed.coat import DepositConduction, even_coat
from tankside.field.seed.contacts import ShellContact
from tankside.field.seed.shell import seed_shell
from tankside.field.solve import solve
from tankside.validation.cases import quantity
from tankside.validation.closed_shapes import box, disc, patch, turned

COATED, ANODE, WALL = 1, 2, 0
LENGTH, WIDTH, GAP = 0.05, 0.01, 0.01
"""Of the strip, and to its anode [m]."""
RADIUS = 0.03
"""Of disc and sphere [m]."""
COPPER = DepositConduction(resistivity=1.8e-8, film_length=1e-7)
RESISTANCE = 1e-3
"""Of linear kinetics [ohm m²]."""
SLIVER = 1e-5
"""Of the strip before x = 0, under its contact, over the length [-]."""
FAR_AWAY = 1000.0
"""Centre of a contact that covers all panels before a straight line [m]."""


@dataclass(frozen=True, kw_only=True)
class Held:
    """A coated surface at rest: panels beyond the contact, their current density and areas."""

    problem: FieldProblem
    beyond: Bools
    current_density: Floats
    bar: float

    @property
    def mean(self) -> float:
        """Current density beyond the contact [A m⁻²]."""
        areas = self.problem.panels.areas[self.beyond]
        return float(np.average(self.current_density[self.beyond], weights=areas))

    def mean_where(self, chosen: Bools) -> float:
        """Current density on the chosen panels [A m⁻²]."""
        return float(
            np.average(self.current_density[chosen], weights=self.problem.panels.areas[chosen])
        )

    @property
    def at_contact(self) -> float:
        """Current density at the contact's potential [A m⁻²]."""
        law = self.problem.electrodes[0].law
        return float(law.current_density(np.array([self.bar]))[0])


def coated(
    corners: Floats, law: ElectrodeLaw, sheet_resistance: float, contacts: tuple[ShellContact, ...]
) -> FieldProblem:
    """A coat on a surface; one panel far away stands for the anode."""
    aside = np.array([[[1.0, 1, 1], [2, 1, 1], [1, 2, 1]]]) * 50.0
    panels = Panels(
        corners=np.concatenate([corners, aside]),
        group=np.concatenate([np.full(len(corners), COATED), [ANODE]]),
    )
    coat = even_coat(panels.group == COATED, sheet_resistance)
    return FieldProblem(
        panels=panels,
        conductivity=1.0,
        electrodes=(
            Electrode(group=COATED, anode=False, law=law),
            Electrode(group=ANODE, anode=True, law=law),
        ),
        total_current=1.0,
        metal=seed_shell(panels, coat, contacts, COPPER),
    )


def held(problem: FieldProblem, **supply: Any) -> Held:
    """The coat alone at a bar's potential or a total current."""
    found = settled_alone(problem, tolerance=1e-10, **supply)
    metal: Any = problem.metal
    under = np.concatenate([metal.network.panels[among] for among in metal.network.under])
    beyond = problem.panels.group == COATED
    beyond[under] = False
    return Held(
        problem=problem,
        beyond=beyond,
        current_density=found.current_density,
        bar=found.bar,
    )


# Strips -------------------------------------------------------------------------------------------


def _lines(cells: int, power: float) -> Floats:
    """Lines along a strip of length 1, after a sliver that the contact covers, closer near it."""
    return np.concatenate([[-SLIVER], np.linspace(0.0, 1.0, cells + 1) ** power])


def strip(cells: int, power: float, skew: float) -> Floats:
    """A strip in z = 0 from x = 0 on; `skew` [-] shears its triangles."""
    lines = LENGTH * _lines(cells, power)
    count = len(lines) - 1
    across = max(3, cells // 10)

    def position(u: Floats, v: Floats) -> tuple[Floats, Floats, Floats]:
        share = u * count
        x = np.interp(share, np.arange(count + 1), lines)
        inside = np.sin(pi * np.clip(x / LENGTH, 0, 1))
        return x + skew * LENGTH * inside * (v - 0.5), WIDTH * v, 0 * u

    return patch(position, count, across)


def end_contact(sliver: float = SLIVER * LENGTH) -> ShellContact:
    """Covers what lies before x = 0."""
    return ShellContact(
        name="the clamp",
        position=np.array([-FAR_AWAY - sliver / 2, WIDTH / 2, 0.0]),
        radius=FAR_AWAY + sliver / 2,
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


# Discs --------------------------------------------------------------------------------------------


@quantity("coated disc held at its rim: current at the rim")
def disc_rim(nu: float, rings: int) -> float:
    """Over the mean [-]."""
    found = _rim(nu, rings)
    return found.at_contact / found.mean


@quantity("coated disc held at its rim: current at the centre")
def disc_middle(nu: float, rings: int) -> float:
    """Of the six panels about the centre, over the mean [-]."""
    found = _rim(nu, rings)
    away = np.linalg.norm(found.problem.panels.centroids, axis=1)
    return found.mean_where(away <= np.partition(away, 5)[5]) / found.mean


@cache
def _rim(nu: float, rings: int) -> Held:
    """The outermost ring is covered; what counts is the disc within it."""
    surface = disc(RADIUS, rings, 1.0)
    middles = surface.mean(axis=1)
    inner = RADIUS * (1 - 1 / rings)
    outer_ring = np.flatnonzero(np.linalg.norm(surface, axis=2).max(axis=1) > inner * 1.02)
    contacts = tuple(
        ShellContact(name=f"clip {k}", position=middles[k], radius=1e-6) for k in outer_ring
    )
    law = LinearPolarisation(resistance=RESISTANCE)
    problem = coated(surface, law, nu**2 * RESISTANCE / inner**2, contacts)
    shell: Any = problem.metal
    at_bar = np.zeros(shell.network.count, dtype=np.bool_)
    at_bar[shell.network.terminals] = True
    metal = replace(shell, sheet=replace(shell.sheet, held=at_bar))
    return held(replace(problem, metal=metal), bar=-0.1)


@quantity("coated disc held at its centre: current over the exact one")
def disc_centre(nu: float, rings: int, wire_share: float) -> float:
    """All that is collected beyond a wire of a share of the disc's radius [-]."""
    surface = disc(RADIUS, rings, 1.0)
    contact = ShellContact(name="the wire", position=np.zeros(3), radius=wire_share * RADIUS)
    law = LinearPolarisation(resistance=RESISTANCE)
    sheet_resistance = nu**2 * RESISTANCE / RADIUS**2
    found = held(coated(surface, law, sheet_resistance, (contact,)), bar=-0.1)
    areas = found.problem.panels.areas
    under = float(areas[(found.problem.panels.group == COATED) & ~found.beyond].sum())
    a, b = nu * sqrt(under / pi) / RADIUS, nu
    ratio = (i1(b) * k1(a) - k1(b) * i1(a)) / (i1(b) * k0(a) + k1(b) * i0(a))
    exact = 2 * pi * a * ratio * 0.1 / sheet_resistance
    return float(found.mean * areas[found.beyond].sum() / exact)


# A sphere held at its pole ------------------------------------------------------------------------


@quantity("coated sphere held at its pole: current over the exact one")
def sphere_current(nu: float, frequency: int, cap: float) -> float:
    """All that is collected beyond a cap of a share of the radius [-]."""
    found, theta, exact = _sphere(nu, frequency, cap)
    areas = found.problem.panels.areas
    slope = float(exact.sol(theta)[1])
    collected = -2 * pi * np.sin(theta) * slope * 0.1 * RADIUS**2 / (nu**2 * RESISTANCE)
    return float(found.mean * areas[found.beyond].sum() / collected)


@quantity("coated sphere held at its pole: current at the other pole over the exact one")
def sphere_far(nu: float, frequency: int, cap: float) -> float:
    """Of the twentieth of the sphere around the other pole [-]."""
    found, _, exact = _sphere(nu, frequency, cap)
    polar = np.arccos(np.clip(-found.problem.panels.centroids[:, 2] / RADIUS, -1, 1))
    far = found.beyond & (polar > acos(-0.9))
    ours = found.mean_where(far)
    theirs = 0.1 / RESISTANCE * exact.sol(np.minimum(polar[far], pi - 1e-6))[0]
    return ours / float(np.average(theirs, weights=found.problem.panels.areas[far]))


@cache
def _sphere(nu: float, frequency: int, cap: float) -> tuple[Held, float, Any]:
    """The coat, the angle of the covered cap, and V over the bar's by (V' sin)' = nu² V sin."""
    surface = _ringed_sphere(frequency, cap)
    pole = np.array([0.0, 0.0, -RADIUS])
    contact = ShellContact(
        name="the cup", position=pole, radius=2 * RADIUS * float(np.sin(cap / 2))
    )
    law = LinearPolarisation(resistance=RESISTANCE)
    found = held(coated(surface, law, nu**2 * RESISTANCE / RADIUS**2, (contact,)), bar=-0.1)
    theta = cap

    def equations(x: Floats, y: Floats) -> Floats:
        return np.array([y[1], nu**2 * y[0] - y[1] / np.tan(x)])

    def ends(first: Floats, last: Floats) -> Floats:
        return np.array([first[0] - 1.0, last[1] - nu**2 * last[0] * 5e-7])

    mesh = np.linspace(theta, pi - 1e-6, 400)
    guess = np.array([np.exp(-nu * (mesh - theta)), -nu * np.exp(-nu * (mesh - theta))])
    exact = solve_bvp(equations, ends, mesh, guess, tol=1e-8, max_nodes=100_000)
    return found, theta, exact


def _ringed_sphere(frequency: int, cap: float) -> Floats:
    """A sphere in rings about its lower pole, one of them the cap's rim; normals outward."""
    beyond = cap + (pi - cap) * np.linspace(0, 1, 2 * frequency + 1) ** 1.5
    polar = np.concatenate([np.linspace(0, cap, 3)[:-1], beyond])
    count = len(polar) - 1

    def position(u: Floats, v: Floats) -> tuple[Floats, Floats, Floats]:
        angle = np.interp(u * count, np.arange(count + 1), polar)
        across = RADIUS * np.sin(angle)
        return across * np.cos(2 * pi * v), across * np.sin(2 * pi * v), -RADIUS * np.cos(angle)

    return turned(patch(position, count, 3 * frequency))


# In a cell ----------------------------------------------------------------------------------------


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
