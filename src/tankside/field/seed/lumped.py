"""A coat in a cell whose solution is known from one field: cheap, for comparing hundreds of starts.

The one field is that of solid metal at the full current: i_full at each place, and W, by how much
the solution there lies below that at the anodes. While a coat starts at a share s of the full
current, each place sees that field scaled, and for what it takes besides, the resistance of unit
area in front of a disc,

    eta = u + drop(i) + s W + R (i - s i_full),   i = law(eta),   R = (pi / 4) rho a.

u is the bar's potential against the solution at the anodes and a the radius of the discs, one a
contact, that carry the current now: contacts pi a² = (sum i A)² / sum i² A. A disc's resistance is
rho / 4a (Newman, J. Electrochem. Soc. 113 (1966) 501; from memory). Sheet, kinetics, ceilings and
the supply's limits are those of the whole cell, and once everything is covered the field is that of
solid metal exactly. What wires and other metal take meanwhile is left out. How far it errs is
measured in docs/theory/rigs.md.
"""

from dataclasses import dataclass, replace

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.base.errors import BadInput
from tankside.field.panels import Panels
from tankside.field.problem import ElectrodeLaw, FieldProblem, FieldSolution
from tankside.field.seed.coat import Coat
from tankside.field.seed.contacts import ShellContact
from tankside.field.seed.shell import SeedShell, seed_shell


@dataclass(frozen=True, kw_only=True)
class LumpedCell:
    """The coats of a cell, the panels of which they are (m,), and what the one field tells of them.

    problem       of the coats alone; its total_current is what they take of the full current [A]
    shell         bare
    law           of all coats
    full_density  (m,) [A m⁻²];  below (m,) W [V];  ceiling (m,) [A m⁻²]
    anodes        potential of the solution at the anodes, their metal at 0 [V]
    """

    problem: FieldProblem
    shell: SeedShell
    law: ElectrodeLaw
    full_density: Floats
    below: Floats
    ceiling: Floats
    anodes: float

    def __post_init__(self) -> None:
        for name in ("full_density", "below", "ceiling"):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))

    @property
    def live(self) -> Bools:
        """True where the coat conducts and is fed (m,)."""
        return ~self.shell.insulated

    def held_at(self, contacts: tuple[ShellContact, ...]) -> "LumpedCell":
        """The same cell with the coats held elsewhere; BadInput where that feeds nothing."""
        own = self.shell
        shell = seed_shell(self.problem.panels, own.coat, contacts, own.conduction)
        return replace(self, shell=shell, problem=_of_coats(self.problem, shell, self.full_density))

    def solution(self, shell: SeedShell, state: "LumpedState") -> FieldSolution:
        """A state in the form of a field on the coats' panels; the equations' numbers are left at
        zero, as no boundary equation was solved."""
        current = state.current_density
        copper = self.law.copper_current_density(state.overpotential)
        return FieldSolution(
            problem=replace(self.problem, metal=shell),
            current_density=current,
            copper_current_density=np.where(self.live, copper, 0.0),
            potential=state.bar + state.drop - state.overpotential,
            metal_potential=state.bar + state.drop,
            fraction_of_limit=current / self.law.limit,
            cathode_potential=state.bar + self.anodes,
            group_current={},
            residual=0.0,
            newton_iterations=0,
            linear_iterations=0,
            closure=0.0,
            charge_balance=0.0,
            supply_current=float(self.problem.panels.areas @ current),
        )


@dataclass(frozen=True, kw_only=True)
class LumpedState:
    """overpotential [V], drop [V], current_density [A m⁻²] of the coats' panels (m,); bar against
    the solution at the anodes [V]; share of the full current [-]."""

    overpotential: Floats
    drop: Floats
    current_density: Floats
    bar: float
    share: float


def lumped(coated: FieldProblem, full: FieldSolution) -> LumpedCell:
    """The coats of a problem with a seed shell, its ceilings and its supply's limits, in the field
    of the same cell in solid metal; BadInput where the problem has no coat."""
    shell = coated.metal
    if not isinstance(shell, SeedShell):
        raise BadInput("only a coat starts; the problem's cathodes are solid metal")
    chosen = np.flatnonzero(shell.coat.coated)
    panels = Panels(
        corners=coated.panels.corners[chosen],
        group=coated.panels.group[chosen],
        mirror_level=coated.panels.mirror_level,
    )
    own = seed_shell(panels, _some_of(shell.coat, chosen), shell.contacts, shell.conduction)
    electrodes = tuple(e for e in coated.electrodes if np.isin(e.group, panels.group))
    anode = full.problem.panels_of(anode=True)
    fed = (full.current_density * full.problem.panels.areas)[anode]
    anodes = float(fed @ full.potential[anode] / fed.sum())
    density = full.current_density[chosen]
    problem = replace(coated, panels=panels, electrodes=electrodes, local_ceiling=None)
    return LumpedCell(
        problem=_of_coats(problem, own, density),
        shell=own,
        law=electrodes[0].law,
        full_density=density,
        below=anodes - full.potential[chosen],
        ceiling=coated.ceilings[chosen],
        anodes=anodes,
    )


def _of_coats(problem: FieldProblem, shell: SeedShell, density: Floats) -> FieldProblem:
    live = ~shell.insulated
    total = float(problem.panels.areas[live] @ density[live])
    return replace(problem, metal=shell, insulated=shell.insulated, total_current=total)


def _some_of(coat: Coat, chosen: np.ndarray) -> Coat:
    across = coat.across_over_along
    return Coat(
        sheet_resistance=coat.sheet_resistance[chosen],
        strokes=None if coat.strokes is None else coat.strokes[chosen],
        across_over_along=across[chosen] if isinstance(across, np.ndarray) else across,
    )
