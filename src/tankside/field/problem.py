"""The question put to the field solver, and its answer, as values.

Conventions (docs/conventions.md): current density is positive where copper is deposited; the
potential of the solution phi is relative to the anodes' metal (0 V); overpotential eta is the
metal's potential minus phi, relative to copper at rest in the same bath, so negative on a cathode.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.field.panels import Panels


class ElectrodeLaw(Protocol):
    """How current density follows overpotential at an electrode: one law a file in `kinetics/`."""

    def current_density(self, overpotential: Floats) -> Floats:
        """Total, positive in deposition [A m⁻²], at overpotential [V]; strictly decreasing."""
        ...

    def slope(self, overpotential: Floats) -> Floats:
        """d(current density)/d(overpotential) [A m⁻² V⁻¹], below zero."""
        ...

    def current_and_slope(self, overpotential: Floats) -> tuple[Floats, Floats]:
        """Both of the above, which share their exponentials."""
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


class MetalShell(Protocol):
    """How the metal's potential falls between the cathode bar and each panel: linear in the current
    density that the panels collect. A seed coat, a thin wire and a contact's resistance are such.

    All vectors are per panel of the problem (n,); values off the cathodes are ignored.
    """

    def drop(self, current_density: Floats) -> Floats:
        """Metal's potential above the bar's [V], for the current density collected [A m⁻²]."""
        ...

    def reacting(self, response: Floats) -> Callable[[Floats], Floats]:
        """For panels that collect `response` [A m⁻² V⁻¹] less per volt of drop: the function from a
        current density [A m⁻²] to the drop d [V] with d = drop(current_density - response d)."""
        ...

    def grown(self, thickness: Floats) -> "MetalShell":
        """The shell under a deposit of `thickness` [m]; itself where that changes nothing."""
        ...


@dataclass(frozen=True, slots=True)
class IdealMetal:
    """Metal so thick that its potential is the bar's everywhere."""

    def drop(self, current_density: Floats) -> Floats:
        """Zero [V]."""
        return np.zeros_like(current_density)

    def reacting(self, response: Floats) -> Callable[[Floats], Floats]:
        """Zero for every current."""
        return self.drop

    def grown(self, thickness: Floats) -> "IdealMetal":
        """Itself."""
        return self


@dataclass(frozen=True, kw_only=True)
class FieldProblem:
    """Panels, the bath's conductivity [S m⁻¹], the electrodes (groups without one insulate), and
    the supply: it holds `total_current` [A], positive, unless that takes more than `voltage_limit`
    [V] between the bars; then it holds that voltage. An infinite total_current asks for the voltage
    alone. `metal` is what conducts between the cathode bar and the cathodes' panels.

    insulated      True on panels of electrodes that carry no current (n,), such as bare places of
                   a coat; None where there are none
    local_ceiling  the current density that no cathode panel is to pass (n,) [A m⁻²], infinite where
                   free: the supply is turned down to it; None where nothing asks for that
    """

    panels: Panels
    conductivity: float
    electrodes: tuple[Electrode, ...]
    total_current: float
    voltage_limit: float | None = None
    metal: MetalShell = field(default_factory=IdealMetal)
    insulated: Bools | None = None
    local_ceiling: Floats | None = None

    def panels_of(self, *, anode: bool) -> Bools:
        """True on the panels of the anodes, or of the cathodes (n,)."""
        groups = [electrode.group for electrode in self.electrodes if electrode.anode is anode]
        members = np.isin(self.panels.group, groups)
        return members if self.insulated is None else members & ~self.insulated

    @property
    def ceilings(self) -> Floats:
        """The local ceilings, infinite where there are none (n,) [A m⁻²]."""
        if self.local_ceiling is None:
            return np.full(len(self.panels), np.inf)
        return self.local_ceiling


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
    residual                of the boundary equation, rms, relative to the cell's voltage [-]
    newton_iterations, linear_iterations
    closure                 max |1/2 + K 1| of the operators [-]
    charge_balance          |cathodes + anodes| over the supply's current [-]
    supply_current          what the supply delivers [A]: less than asked at its voltage limit
    voltage_limited         True where the supply's voltage limit rules
    ceiling_panel           the panel whose local ceiling rules, None where none does
    leak                    what the boundary equation had to add to the anodes' current for the
                            balance to hold [-]: zero in exact equations, so it judges the panels
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
    supply_current: float = 0.0
    voltage_limited: bool = False
    ceiling_panel: int | None = None
    leak: float = 0.0
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

    @property
    def cell_voltage(self) -> float:
        """Between the bars [V], positive."""
        return -self.cathode_potential

    @property
    def overpotential(self) -> Floats:
        """Metal's potential minus the solution's, against copper at rest [V]; nan on insulators."""
        return self.metal_potential - self.potential
