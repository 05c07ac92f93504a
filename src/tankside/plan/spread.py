"""What the inputs' intervals make of the answer: thickness and voltage, nine times in ten."""

from tankside.base.constants import COPPER_DENSITY_KG_PER_M3
from tankside.base.intervals import Interval
from tankside.base.progress import Progress
from tankside.bath.deposit import deposit_density
from tankside.bath.electrolyte import Electrolyte
from tankside.cell.bodies import Role
from tankside.field.newton import PreconditionerMemory
from tankside.field.operators import Operators
from tankside.field.problem import FieldProblem
from tankside.field.sensitivity import Uncertainty, uncertainty
from tankside.field.variations import (
    Variation,
    of_area,
    of_boundary_layer,
    of_conductivity,
    of_copper,
)
from tankside.plan.outcome import Outcome

THREE_DIGITS = 1e-3
"""Residual of the sensitivities [-]; an interval needs no more."""

TRUE_AREA = Interval(0.98, 1.0, 1.06)
"""True wet area over the mesh's [-]: layer lines and brush marks add a few percent (our guess)."""


def plan_uncertainty(
    outcome: Outcome,
    electrolyte: Electrolyte,
    operators: Operators,
    memory: PreconditionerMemory,
    progress: Progress,
) -> Uncertainty:
    """Intervals of thickness over its best guess and of the cell voltage [V], over the parts."""
    return uncertainty(
        outcome.solution,
        operators,
        variations_of(electrolyte),
        where=outcome.on(Role.PART),
        memory=memory,
        tolerance=THREE_DIGITS,
        progress=progress,
    )


def variations_of(electrolyte: Electrolyte) -> tuple[Variation, ...]:
    """Every uncertain number that moves a plan's thickness or voltage."""
    diffusivity, concentration = electrolyte.diffusivity, electrolyte.copper_concentration
    supply = Interval(
        diffusivity.low * concentration.low,
        diffusivity.best * concentration.best,
        diffusivity.high * concentration.high,
    )
    return (
        of_conductivity(electrolyte.conductivity),
        of_boundary_layer(electrolyte.boundary_layer),
        of_copper(
            "limiting_current_density", supply, name="diffusivity and concentration of copper"
        ),
        of_copper(
            "exchange_current_density",
            electrolyte.exchange_current_density,
            name="the exchange current density",
        ),
        of_copper(
            "cathodic_transfer",
            electrolyte.cathodic_transfer,
            name="the cathodic transfer coefficient",
        ),
        of_area(TRUE_AREA),
        _of_density(),
        *_of_efficiency(electrolyte.efficiency),
    )


def _of_efficiency(interval: Interval) -> tuple[Variation, ...]:
    """The share of copper's current that stays, where a shop has learned it."""
    if interval.low == interval.high:
        return ()
    name = "copper's share of the current"
    return (Variation(name=name, interval=interval, varied=_unchanged, thickness_exponent=1.0),)


def _of_density() -> Variation:
    """The deposit's density, which moves no field but every thickness."""
    found = deposit_density()
    return Variation(
        name="the deposit's density",
        interval=Interval(
            min(found.low, COPPER_DENSITY_KG_PER_M3),
            COPPER_DENSITY_KG_PER_M3,
            max(found.high, COPPER_DENSITY_KG_PER_M3),
        ),
        varied=_unchanged,
        thickness_exponent=-1.0,
    )


def _unchanged(problem: FieldProblem, change: float) -> FieldProblem:
    """The field does not know it."""
    return problem
