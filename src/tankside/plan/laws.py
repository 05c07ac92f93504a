"""Joins bath and cell into a field problem: which rate law rules on which body.

`field` knows no baths and `bath` knows no fields; here the bath's numbers become the laws' numbers.
Panels are numbered body by body in the cell's order, and a body's group is its place in that order.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.constants import thermal_voltage
from tankside.base.intervals import Interval
from tankside.bath.electrolyte import Electrolyte
from tankside.cell.bodies import Body, Cell
from tankside.field.kinetics import (
    ButlerVolmer,
    CopperCathode,
    CopperDeposition,
    CopperDissolution,
    Hydrogen,
)
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, FieldProblem


@dataclass(frozen=True, slots=True, kw_only=True)
class BathNumbers:
    """One choice of numbers within an electrolyte's intervals, for one solve. SI."""

    conductivity: float
    limiting_current_density: float
    exchange_current_density: float
    cathodic_transfer: float
    anodic_transfer: float
    hydrogen_exchange: float
    hydrogen_transfer: float
    hydrogen_equilibrium: float
    anode_limit: float
    thermal_voltage: float
    efficiency: float = 1.0


def best_numbers(electrolyte: Electrolyte) -> BathNumbers:
    """The best guess of every number."""
    return BathNumbers(
        conductivity=electrolyte.conductivity.best,
        limiting_current_density=electrolyte.limiting_current_density.best,
        exchange_current_density=electrolyte.exchange_current_density.best,
        cathodic_transfer=electrolyte.cathodic_transfer.best,
        anodic_transfer=electrolyte.anodic_transfer.best,
        hydrogen_exchange=electrolyte.hydrogen_exchange.best,
        hydrogen_transfer=electrolyte.hydrogen_transfer.best,
        hydrogen_equilibrium=electrolyte.hydrogen_equilibrium.best,
        anode_limit=electrolyte.anode_limit.best,
        thermal_voltage=thermal_voltage(electrolyte.temperature),
        efficiency=electrolyte.efficiency.best,
    )


def varied_numbers(electrolyte: Electrolyte) -> Iterator[tuple[str, Interval]]:
    """The uncertain numbers that a plan's answer follows: field name of BathNumbers, interval."""
    yield "conductivity", electrolyte.conductivity
    yield "limiting_current_density", electrolyte.limiting_current_density
    yield "exchange_current_density", electrolyte.exchange_current_density
    yield "cathodic_transfer", electrolyte.cathodic_transfer


def moved_numbers(best: BathNumbers, x: Floats) -> BathNumbers:
    """The numbers under a shop's factors, given as logarithms in the order of
    shop_tests.FACTORS."""
    factors = np.exp(x)
    return replace(
        best,
        conductivity=best.conductivity * factors[0],
        limiting_current_density=best.limiting_current_density * factors[1],
        exchange_current_density=best.exchange_current_density * factors[2],
        cathodic_transfer=best.cathodic_transfer * factors[3],
    )


def cathode_law(numbers: BathNumbers) -> CopperCathode:
    """Copper up to its limit, and hydrogen beside it."""
    return CopperCathode(
        copper=CopperDeposition(
            exchange_current_density=numbers.exchange_current_density,
            cathodic_transfer=numbers.cathodic_transfer,
            anodic_transfer=numbers.anodic_transfer,
            limiting_current_density=numbers.limiting_current_density,
            thermal_voltage=numbers.thermal_voltage,
        ),
        hydrogen=Hydrogen(
            exchange_current_density=numbers.hydrogen_exchange,
            transfer=numbers.hydrogen_transfer,
            equilibrium=numbers.hydrogen_equilibrium,
            thermal_voltage=numbers.thermal_voltage,
        ),
        efficiency=numbers.efficiency,
    )


def anode_law(numbers: BathNumbers) -> CopperDissolution:
    """Copper dissolving by the same charge transfer, flagged where it may go passive."""
    return CopperDissolution(
        transfer=ButlerVolmer(
            exchange_current_density=numbers.exchange_current_density,
            cathodic_transfer=numbers.cathodic_transfer,
            anodic_transfer=numbers.anodic_transfer,
            thermal_voltage=numbers.thermal_voltage,
        ),
        passivation_limit=numbers.anode_limit,
    )


def panels_of(cell: Cell) -> Panels:
    """All bodies' triangles as panels, grouped by body, under the liquid's surface."""
    return Panels(
        corners=np.concatenate([body.surface.corners for body in cell.bodies]),
        group=np.repeat(
            np.arange(len(cell.bodies)), [len(body.surface.triangles) for body in cell.bodies]
        ),
        mirror_level=cell.liquid_level,
    )


def problem_of(cell: Cell, panels: Panels, numbers: BathNumbers, current: float) -> FieldProblem:
    """The field problem of `cell` with its `panels` at a total current [A]."""
    cathode, anode = cathode_law(numbers), anode_law(numbers)
    electrodes = tuple(
        Electrode(
            group=number,
            anode=not body.role.is_cathode,
            law=cathode if body.role.is_cathode else anode,
        )
        for number, body in enumerate(cell.bodies)
        if conducts(body)
    )
    return FieldProblem(
        panels=panels,
        conductivity=numbers.conductivity,
        electrodes=electrodes,
        total_current=current,
    )


def conducts(body: Body) -> bool:
    """True where current can cross the body's surface."""
    return not body.role.insulates


def at_current(problem: FieldProblem, current: float) -> FieldProblem:
    """The same problem at another total current [A]."""
    return replace(problem, total_current=current)
