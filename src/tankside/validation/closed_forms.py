"""Cells whose field is known in closed form, solved by the field room.

Spheres and cylinders about each other, plates, a disc in an insulating plane; and a part in a tank,
for what no closed form gives but a law does (symmetry, scaling, limits). The forms are in
docs/theory/field.md. Every quantity takes a few thousand panels.
"""

from dataclasses import dataclass
from functools import cache
from math import atan, log, pi, sqrt

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.constants import thermal_voltage
from tankside.field.deposit import Segment
from tankside.field.growth import grow
from tankside.field.hierarchical import build_operators
from tankside.field.kinetics import (
    ButlerVolmer,
    CopperCathode,
    CopperDeposition,
    CopperDissolution,
    Hydrogen,
    LinearPolarisation,
    fixed_potential,
)
from tankside.field.newton import Accuracy
from tankside.field.operators import Operators
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, ElectrodeLaw, FieldProblem, FieldSolution
from tankside.field.solve import solve
from tankside.validation import closed_shapes
from tankside.validation.cases import quantity
from tankside.validation.closed_shapes import turned

WALL, CATHODE, ANODE = 0, 1, 2
KAPPA = 50.0
"""Conductivity of the solution in these cells [S m⁻¹]."""
DENSITY = 200.0
"""Mean current density on their cathodes [A m⁻²]."""
NEXT_TO_NONE = 1e-9
"""Resistance of unit area of an electrode that is not meant to polarise [ohm m²]."""
TIGHT = Accuracy(residual=1e-7, charge_balance=1e-9)


@dataclass(frozen=True, kw_only=True)
class Cell:
    """A cell solved: the panels' operators are kept for further solves."""

    operators: Operators
    solution: FieldSolution

    @property
    def cathode(self) -> Floats:
        """Current density on the cathodes' panels over their mean [-]."""
        members = self.solution.problem.panels_of(anode=False)
        areas = self.solution.problem.panels.areas[members]
        current = self.solution.current_density[members]
        return current / np.average(current, weights=areas)

    @property
    def areas(self) -> Floats:
        """Areas of the cathodes' panels [m²]."""
        members = self.solution.problem.panels_of(anode=False)
        return self.solution.problem.panels.areas[members]


def panelled(pieces: dict[int, list[Floats]], mirror_level: float | None = None) -> Panels:
    """Panels of pieces of surface by group."""
    corners = [piece for group in pieces.values() for piece in group]
    groups = [np.full(len(piece), number) for number, group in pieces.items() for piece in group]
    return Panels(
        corners=np.concatenate(corners), group=np.concatenate(groups), mirror_level=mirror_level
    )


def solved(
    operators: Operators,
    cathode: ElectrodeLaw,
    anode: ElectrodeLaw,
    *,
    current_density: float = DENSITY,
    conductivity: float = KAPPA,
) -> Cell:
    """The cell at a mean current density on its cathodes."""
    panels = operators.panels
    electrodes = tuple(
        Electrode(group=group, anode=group == ANODE, law=anode if group == ANODE else cathode)
        for group in np.unique(panels.group).tolist()
        if group != WALL
    )
    members = panels.group == CATHODE
    problem = FieldProblem(
        panels=panels,
        conductivity=conductivity,
        electrodes=electrodes,
        total_current=current_density * float(panels.areas[members].sum()),
    )
    return Cell(operators=operators, solution=solve(problem, operators, accuracy=TIGHT))


def linear(resistance: float) -> LinearPolarisation:
    """Linear polarisation, or next to none for 0 [ohm m²]."""
    return LinearPolarisation(resistance=max(resistance, NEXT_TO_NONE))


def rms(values: Floats, areas: Floats) -> float:
    """Root of the mean square, by area."""
    return float(np.sqrt(np.average(values**2, weights=areas)))


# Spheres and cylinders about each other -----------------------------------------------------------

_INNER, _OUTER, _HEIGHT = 0.03, 0.10, 0.04


@cache
def _spheres(frequency: int) -> Operators:
    return build_operators(
        panelled(
            {
                CATHODE: [closed_shapes.sphere(_INNER, frequency)],
                ANODE: [turned(closed_shapes.sphere(_OUTER, frequency))],
            }
        )
    )


@cache
def _spheres_solved(frequency: int, wagner: float) -> Cell:
    resistance = wagner * _INNER / KAPPA
    return solved(_spheres(frequency), linear(resistance), linear(0.0))


@quantity("spheres: voltage over exact")
def spheres_voltage(frequency: int, wagner: float) -> float:
    """Cell voltage over I (1/a - 1/b) / (4 pi kappa) plus the cathode's polarisation [-]."""
    cell = _spheres_solved(frequency, wagner)
    current = DENSITY * 4 * pi * _INNER**2
    resistance = (1 / _INNER - 1 / _OUTER) / (4 * pi * KAPPA)
    exact = current * resistance + DENSITY * wagner * _INNER / KAPPA
    return cell.solution.cell_voltage / exact


@quantity("spheres: rms deviation from uniform")
def spheres_rms(frequency: int, wagner: float) -> float:
    """Area-weighted rms of i / i_mean - 1 on the inner sphere [-]."""
    cell = _spheres_solved(frequency, wagner)
    return rms(cell.cathode - 1, cell.areas)


@quantity("spheres: largest deviation from uniform")
def spheres_largest(frequency: int, wagner: float) -> float:
    """Largest |i / i_mean - 1| on the inner sphere [-]."""
    return float(np.abs(_spheres_solved(frequency, wagner).cathode - 1).max())


@cache
def _cylinders(around: int) -> Operators:
    faces = closed_shapes.annulus(_INNER, _OUTER, _HEIGHT, (around, around // 4, around // 4))
    return build_operators(
        panelled(
            {
                CATHODE: [faces["inner"]],
                ANODE: [faces["outer"]],
                WALL: [faces["floor"], faces["ceiling"]],
            }
        )
    )


@cache
def _cylinders_solved(around: int, wagner: float) -> Cell:
    return solved(_cylinders(around), linear(wagner * _INNER / KAPPA), linear(0.0))


@quantity("cylinders: voltage over exact")
def cylinders_voltage(around: int, wagner: float) -> float:
    """Cell voltage over I ln(b/a) / (2 pi kappa H) plus the cathode's polarisation [-]."""
    cell = _cylinders_solved(around, wagner)
    exact = DENSITY * _INNER / KAPPA * (log(_OUTER / _INNER) + wagner)
    return cell.solution.cell_voltage / exact


@quantity("cylinders: rms deviation from uniform")
def cylinders_rms(around: int, wagner: float) -> float:
    """Area-weighted rms of i / i_mean - 1 on the inner cylinder [-]."""
    cell = _cylinders_solved(around, wagner)
    return rms(cell.cathode - 1, cell.areas)


# Plates that fill the ends of a box ---------------------------------------------------------------

_GAP, _WIDTH = 0.08, 0.04


@cache
def _plates(cells: int) -> Operators:
    across = np.linspace(0, _WIDTH, cells + 1)
    faces = closed_shapes.box(np.linspace(0, _GAP, 2 * cells + 1), across, across)
    walls = [faces[name] for name in ("y-", "y+", "z-", "z+")]
    return build_operators(panelled({CATHODE: [faces["x+"]], ANODE: [faces["x-"]], WALL: walls}))


def copper_laws(
    temperature: float, exchange: float, limit: float
) -> tuple[CopperCathode, CopperDissolution]:
    """A cathode's and an anode's law, with alpha_c = 0.5, alpha_a = 1.5 and hydrogen of 1e-3 A m⁻²
    from -0.34 V."""
    volt = thermal_voltage(temperature)
    copper = CopperDeposition(
        exchange_current_density=exchange,
        cathodic_transfer=0.5,
        anodic_transfer=1.5,
        limiting_current_density=limit,
        thermal_voltage=volt,
    )
    hydrogen = Hydrogen(
        exchange_current_density=1e-3, transfer=0.5, equilibrium=-0.34, thermal_voltage=volt
    )
    transfer = ButlerVolmer(
        exchange_current_density=exchange,
        cathodic_transfer=0.5,
        anodic_transfer=1.5,
        thermal_voltage=volt,
    )
    return CopperCathode(copper=copper, hydrogen=hydrogen), CopperDissolution(transfer=transfer)


@cache
def _plates_of_copper(cells: int, current_density: float) -> Cell:
    cathode, anode = copper_laws(298.15, 20.0, 500.0)
    return solved(_plates(cells), cathode, anode, current_density=current_density)


@quantity("plates: voltage with Butler-Volmer")
def plates_voltage(cells: int, current_density: float) -> float:
    """Cell voltage of a copper cell of plates [V]."""
    return _plates_of_copper(cells, current_density).solution.cell_voltage


@quantity("plates: copper's share of the current")
def plates_copper(cells: int, current_density: float) -> float:
    """Copper's current on the cathode over all of it [-]."""
    solution = _plates_of_copper(cells, current_density).solution
    members = solution.problem.panels_of(anode=False)
    areas = solution.problem.panels.areas[members]
    return float((areas * solution.copper_current_density[members]).sum() / solution.supply_current)


@quantity("plates: largest deviation from uniform")
def plates_largest(cells: int, wagner: float) -> float:
    """Largest |i / i_mean - 1| between plates with linear kinetics [-]."""
    cell = solved(_plates(cells), linear(wagner * _GAP / KAPPA), linear(0.0))
    return float(np.abs(cell.cathode - 1).max())


@quantity("plates: charge balance")
def plates_charge(cells: int, current_density: float) -> float:
    """|cathode + anode| over the supply's current [-]."""
    return _plates_of_copper(cells, current_density).solution.charge_balance


@quantity("plates: thickness grown")
def plates_thickness(cells: int, current_density: float, hours: float) -> float:
    """Mean copper thickness on the cathode after a time at a current density [m]."""
    cell = _plates_of_copper(cells, current_density)
    problem = cell.solution.problem
    recipe = [Segment(duration=3600 * hours, current=problem.total_current)]
    growth = grow(problem, recipe, cell.operators)
    members = problem.panels_of(anode=False)
    return float(np.average(growth.thickness[members], weights=problem.panels.areas[members]))


@quantity("plates: mass balance of growth")
def plates_mass(cells: int, current_density: float, hours: float) -> float:
    """|dissolved - deposited - left in solution| over dissolved copper [-]."""
    cell = _plates_of_copper(cells, current_density)
    problem = cell.solution.problem
    recipe = [
        Segment(duration=1800 * hours, current=problem.total_current),
        Segment(duration=1800 * hours, current=problem.total_current / 2),
    ]
    return grow(problem, recipe, cell.operators, accuracy=TIGHT).mass_balance


# A disc in an insulating plane --------------------------------------------------------------------
# The plane is the mirror at z = 0. The counter-electrode is half an oblate spheroid confocal with
# the disc: such spheroids are the equipotentials of the disc in endless solution, so the current on
# the disc is the same as there and the solution outside has the resistance (pi/2 - atan xi)/(2 pi
# kappa a), with xi its depth over the disc's radius.

_DISC, _XI = 0.02, 2.0


@cache
def _disc(rings: int) -> Cell:
    across, depth = _DISC * sqrt(1 + _XI**2), _DISC * _XI
    panels = panelled(
        {
            CATHODE: [closed_shapes.disc(_DISC, rings, 1.5)],
            ANODE: [turned(closed_shapes.half_spheroid(across, depth, max(rings * 3 // 4, 6)))],
        },
        mirror_level=0.0,
    )
    law = fixed_potential(conductivity=KAPPA, length=_DISC)
    return solved(build_operators(panels), law, law)


@quantity("disc: resistance to infinity, times 4 kappa a")
def disc_resistance(rings: int) -> float:
    """Resistance of the cell and of the solution outside it, times 4 kappa a [-]."""
    solution = _disc(rings).solution
    outside = (pi / 2 - atan(_XI)) / (2 * pi * KAPPA * _DISC)
    inside = solution.cell_voltage / solution.supply_current
    return (inside + outside) * 4 * KAPPA * _DISC


@quantity("disc: current within a radius, over Newman's")
def disc_current_within(rings: int, ring: int) -> float:
    """Share of the current inside ring number `ring`, over 1 - sqrt(1 - (r/a)²) [-]."""
    cell = _disc(rings)
    radius = 1 - (1 - ring / rings) ** 1.5
    count = 6 * ring**2
    share = float((cell.cathode * cell.areas)[:count].sum() / cell.areas.sum())
    return share / (1 - sqrt(1 - radius**2))


@quantity("disc: local current at the centre over the mean")
def disc_centre(rings: int) -> float:
    """i / i_mean at the disc's centre, the mean of its six panels [-]."""
    return float(_disc(rings).cathode[:6].mean())
