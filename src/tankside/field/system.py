"""The discrete equations of the cell: what must vanish, and how it changes.

At every collocation point, with n into the solution and i positive in deposition,
    phi / 2 - K phi + S (i + g) / kappa = 0;
on electrodes phi = (metal's potential) - eta and i = law(eta), both along the load line; on
insulators i = 0 and phi is the unknown. Two numbers more are unknown: the potential of the cathode
bar, for which the sum of the cathodes' currents equals the supply's, and g, a current density
common to the anodes' panels, for which the currents i of all electrodes sum to zero. g is zero in
the exact equations; in the discrete ones it makes up for what collocation leaks.
"""

from dataclasses import dataclass, field, replace
from functools import cached_property
from math import isinf, sqrt

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints
from tankside.field.loadline import overpotential_at, overpotential_on_load_line
from tankside.field.operators import Operators
from tankside.field.problem import ElectrodeLaw, FieldProblem
from tankside.field.problem_checks import largest_current_density

_LOAD_SCALE_V = 0.05
"""Change of a load that about doubles a current [V]."""

_SHARE_OF_MOST = 0.999
"""Of the most that a law can carry: a ceiling beyond it is held there [-]."""

_LITTLE = 1e-7
"""A panel is farther beyond its ceiling than another by more than this [-]."""


@dataclass(frozen=True, kw_only=True)
class State:
    """The unknowns, and what follows from them on every panel (n,).

    load         s on electrodes, phi on insulators [V]
    bar          cathode bar's potential [V]
    closing      g [A m⁻²]
    overpotential [V] and current_density [A m⁻²], 0 on insulators
    potential    of the solution, and `metal` of the metal (0 on insulators) [V]
    potential_weight  d phi/d load at fixed metal [-];  flux_weight  d i/d load [A m⁻² V⁻¹]
    """

    load: Floats
    bar: float
    closing: float
    overpotential: Floats
    current_density: Floats
    potential: Floats
    metal: Floats
    potential_weight: Floats
    flux_weight: Floats


@dataclass(frozen=True, kw_only=True)
class BoundarySystem:
    """The equations of one problem on its operators.

    held_voltage     [V] replaces the condition on the cathodes' current where the supply holds it
    held_panel       a panel whose local ceiling replaces that condition
    load_resistance  R of the load lines (n,) [ohm m²]: that of a cube of solution on the panel
    columns          `by_closing` and `by_bar` where they are known from an earlier system
    """

    problem: FieldProblem
    operators: Operators
    load_resistance: Floats = field(repr=False)
    columns: tuple[Floats, Floats] | None = field(default=None, repr=False)
    held_voltage: float | None = None
    held_panel: int | None = None

    @classmethod
    def of(cls, problem: FieldProblem, operators: Operators) -> "BoundarySystem":
        """The system of a supply that holds its current."""
        return cls(
            problem=problem,
            operators=operators,
            load_resistance=np.sqrt(problem.panels.areas) / problem.conductivity,
        )

    @cached_property
    def areas(self) -> Floats:
        """(n,) [m²]."""
        return self.problem.panels.areas

    @cached_property
    def cathode(self) -> Bools:
        """True on the cathodes' panels (n,)."""
        return self.problem.panels_of(anode=False)

    @cached_property
    def anode(self) -> Bools:
        """True on the anodes' panels (n,)."""
        return self.problem.panels_of(anode=True)

    @cached_property
    def electrode(self) -> Bools:
        """True on all electrodes' panels (n,)."""
        return self.cathode | self.anode

    @cached_property
    def members(self) -> tuple[tuple[ElectrodeLaw, Ints], ...]:
        """Each electrode's law and panels."""
        return tuple(
            (
                electrode.law,
                np.flatnonzero(self.electrode & (self.problem.panels.group == electrode.group)),
            )
            for electrode in self.problem.electrodes
        )

    @cached_property
    def ohmic_scale(self) -> float:
        """A voltage that the solution's resistance sets [V], 0 where only a voltage is asked."""
        if isinf(self.problem.total_current):
            return 0.0
        length = sqrt(float(self.areas.sum()))
        return self.problem.total_current / (self.problem.conductivity * length)

    def evaluated(self, load: Floats, bar: float, closing: float, near: Floats) -> State:
        """What follows from the unknowns; `near` is a guess of the overpotential (n,) [V]."""
        overpotential, current = np.zeros_like(load), np.zeros_like(load)
        potential_weight, flux_weight = np.ones_like(load), np.zeros_like(load)
        for law, panels in self.members:
            resistance = self.load_resistance[panels]
            eta = overpotential_on_load_line(law, load[panels], resistance, near[panels])
            current[panels], slope = law.current_and_slope(eta)
            weight = 1.0 / (1.0 - resistance * slope)
            overpotential[panels] = eta
            potential_weight[panels], flux_weight[panels] = weight, -slope * weight
        metal = np.where(self.cathode, bar + self.problem.metal.drop(current), 0.0)
        return State(
            load=load, bar=bar, closing=closing, overpotential=overpotential,
            current_density=current, metal=metal,
            potential=np.where(self.electrode, metal - overpotential, load),
            potential_weight=potential_weight, flux_weight=flux_weight,
        )  # fmt: skip

    def residual(self, state: State) -> Floats:
        """Of the boundary equation on every panel (n,) [V]."""
        current = state.current_density + state.closing * self.anode
        return self.boundary(current / self.problem.conductivity, state.potential)

    def boundary(self, flux: Floats, potential: Floats) -> Floats:
        """potential / 2 - K potential + S flux (n,) [V]."""
        return potential / 2 + self.operators.applied(flux, potential)

    def missed(self, state: State) -> Floats:
        """What the conditions miss [A]: all electrodes' currents over zero; and the cathodes' over
        the supply's where it holds a current, or the held panel's load over that at its ceiling."""
        currents = self.areas * state.current_density
        total = float(currents.sum())
        if self.held_voltage is not None:
            return np.array([total])
        if self.held_panel is not None:
            over = float(state.load[self.held_panel]) - self._held_load
            return np.array([total, self._amperes_a_volt * over])
        cathodes = float(currents[self.cathode].sum())
        return np.array([total, cathodes - self.problem.total_current])

    def missed_change(self, state: State, load: Floats) -> Floats:
        """How that changes with the loads [A]."""
        currents = self.areas * state.flux_weight * load
        total = float(currents.sum())
        if self.held_voltage is not None:
            return np.array([total])
        if self.held_panel is not None:
            return np.array([total, self._amperes_a_volt * float(load[self.held_panel])])
        return np.array([total, float(currents[self.cathode].sum())])

    @cached_property
    def _held_load(self) -> float:
        """Of the held panel at its ceiling [V]: where its current is an exponential of its load,
        Newton's method is at home in the load."""
        panel = self.held_panel
        law = next(law for law, members in self.members if panel in members)
        density = min(self.ceiling(panel or 0), _SHARE_OF_MOST * largest_current_density(law))
        resistance = float(self.load_resistance[panel or 0])
        return resistance * density - overpotential_at(law, density)

    @cached_property
    def _amperes_a_volt(self) -> float:
        """What a volt of the held panel's load counts as [A V⁻¹]."""
        return self.cathode_area * self.ceiling(self.held_panel or 0) / _LOAD_SCALE_V

    def turned(self, state: State) -> "BoundarySystem":
        """The system that holds the panel which is farthest beyond its ceiling, where one is held;
        itself where that is the one."""
        if self.held_panel is None:
            return self
        load = np.where(self.cathode, state.current_density / self.problem.ceilings, 0.0)
        panel = int(load.argmax())
        if load[panel] <= (1.0 + _LITTLE) * load[self.held_panel]:
            return self
        return replace(self, held_panel=panel, columns=(self.by_closing, self.by_bar))

    def ceiling(self, panel: int) -> float:
        """The local ceiling of a panel [A m⁻²]."""
        return float(self.problem.ceilings[panel])

    @cached_property
    def bordering(self) -> tuple[Floats, ...]:
        """How the boundary equation changes with g, and with the bar's potential where unknown."""
        if self.held_voltage is not None:
            return (self.by_closing,)
        return self.by_closing, self.by_bar

    @cached_property
    def by_closing(self) -> Floats:
        """How the boundary equation changes with g (n,) [V m² A⁻¹]."""
        if self.columns is not None:
            return self.columns[0]
        anode = self.anode / self.problem.conductivity
        return self.boundary(anode, np.zeros(len(self.areas)))

    @cached_property
    def by_bar(self) -> Floats:
        """How the boundary equation changes with the cathodes' metal as a whole (n,) [-]."""
        if self.columns is not None:
            return self.columns[1]
        return self.boundary(np.zeros(len(self.areas)), self.cathode.astype(np.float64))

    def changed(self, state: State, load: Floats, extra: Floats) -> Floats:
        """Change of the boundary equation (n,) for changes of the loads and of the border's."""
        current = state.flux_weight * load
        potential = state.potential_weight * load + np.where(
            self.cathode, self.problem.metal.drop(current), 0.0
        )
        out = self.boundary(current / self.problem.conductivity, potential)
        for amount, column in zip(extra, self.bordering, strict=True):
            out = out + amount * column
        return out

    def copper_current_density(self, state: State) -> Floats:
        """What deposits or dissolves copper (n,) [A m⁻²]."""
        copper = np.zeros_like(state.load)
        for law, panels in self.members:
            copper[panels] = law.copper_current_density(state.overpotential[panels])
        return copper

    def supply_current(self, state: State) -> float:
        """Sum over the cathodes [A]."""
        return float((self.areas * state.current_density)[self.cathode].sum())

    @cached_property
    def anode_area(self) -> float:
        """[m²]."""
        return float(self.areas[self.anode].sum())

    @cached_property
    def cathode_area(self) -> float:
        """[m²]."""
        return float(self.areas[self.cathode].sum())
