"""The question put to the field solver, and its answer, as values.

Conventions (docs/conventions.md): current density is positive where copper is deposited; the
potential of the solution phi is relative to the anodes' metal (0 V); overpotential eta is the
metal's potential minus phi, relative to copper at rest in the same bath, so negative on a cathode.
"""

from dataclasses import dataclass
from typing import Protocol

from tankside.base.arrays import Floats, frozen_floats
from tankside.field.panels import Panels


class ElectrodeLaw(Protocol):
    """How current density follows overpotential at an electrode: one law a file in `kinetics/`."""

    def current_density(self, overpotential: Floats) -> Floats:
        """Total, positive in deposition [A m⁻²], at overpotential [V]; strictly decreasing."""
        ...

    def slope(self, overpotential: Floats) -> Floats:
        """d(current density)/d(overpotential) [A m⁻² V⁻¹], below zero."""
        ...

    def copper_current_density(self, overpotential: Floats) -> Floats:
        """The share of the current that deposits or dissolves copper [A m⁻²]."""
        ...

    @property
    def limit(self) -> float:
        """Mass-transfer limit of copper deposition [A m⁻²]; infinity where there is none."""
        ...


@dataclass(frozen=True, kw_only=True)
class Electrode:
    """One metal body: its panels are those of `group`; `anode` tells which pole of the supply it
    hangs on."""

    group: int
    anode: bool
    law: ElectrodeLaw


@dataclass(frozen=True, kw_only=True)
class FieldProblem:
    """Panels, the bath's conductivity [S m⁻¹], the electrodes (groups without one insulate), and
    the total current that the supply holds [A], positive."""

    panels: Panels
    conductivity: float
    electrodes: tuple[Electrode, ...]
    total_current: float


@dataclass(frozen=True, kw_only=True)
class FieldSolution:
    """The answer, per panel in the problem's order, with what it takes to trust it.

    current_density         total, positive in deposition [A m⁻²], 0 on insulators (n,)
    copper_current_density  what deposits or dissolves copper [A m⁻²] (n,)
    potential               of the solution at the panel [V], anodes' metal at 0 (n,)
    metal_potential         of the metal at the panel [V], nan on insulators (n,)
    fraction_of_limit       current density over the limit of copper [-]; 0 where there is no limit
    cathode_potential       of the cathode bar [V], negative
    group_current           total current by group number [A], positive in deposition
    residual                of the boundary equation, relative to the potential's scale [-]
    newton_iterations, linear_iterations
    closure                 max |1/2 + K 1| of the operators [-]
    charge_balance          |cathodes + anodes| over the supply's current [-]
    warnings                sentences: where the answer is not to be relied on
    """

    problem: FieldProblem
    current_density: Floats
    copper_current_density: Floats
    potential: Floats
    metal_potential: Floats
    fraction_of_limit: Floats
    cathode_potential: float
    group_current: dict[int, float]
    residual: float
    newton_iterations: int
    linear_iterations: int
    closure: float
    charge_balance: float
    warnings: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for name in (
            "current_density",
            "copper_current_density",
            "potential",
            "metal_potential",
            "fraction_of_limit",
        ):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))
