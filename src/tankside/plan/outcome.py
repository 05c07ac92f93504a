"""From a solved field to what a person gets: thickness by place, masses, areas, loads."""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.base.constants import COPPER_DENSITY_KG_PER_M3, COPPER_PER_CHARGE_KG_PER_C
from tankside.base.messages import Quantity, said
from tankside.cell.bodies import Cell, Role
from tankside.field.deposit import THICKNESS_PER_CHARGE
from tankside.field.numbers import area_fraction, area_percentiles, area_statistics
from tankside.field.problem import FieldSolution
from tankside.plan.current import BURNING_FROM, ROUGH_FROM, WIRE_LIMIT_A_PER_M2
from tankside.plan.laws import BathNumbers
from tankside.plan.plan import AnodeLoad, BodyResult, MeasuredAt, Spread, WireLoad
from tankside.plan.wires import WireMetal

BARE_BELOW_M = 1e-6
"""Thickness below which copper does not cover [m]: common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """A solved cell seen by area: masks over all panels, and their areas [m²]."""

    cell: Cell
    solution: FieldSolution

    @property
    def areas(self) -> Floats:
        """Of all panels [m²]."""
        return self.solution.problem.panels.areas

    def on(self, *roles: Role) -> Bools:
        """True on the panels of bodies with these roles."""
        groups = [n for n, body in enumerate(self.cell.bodies) if body.role in roles]
        return np.isin(self.solution.problem.panels.group, groups)

    @property
    def growth_rate(self) -> Floats:
        """Thickness gained per second by panel [m s⁻¹], below zero where copper dissolves."""
        return self.solution.copper_current_density * THICKNESS_PER_CHARGE

    def part_rate(self, measured_at: MeasuredAt) -> float:
        """Growth rate of the parts at the place where the goal is measured [m s⁻¹]."""
        part = self.on(Role.PART)
        rate, areas = self.growth_rate[part], self.areas[part]
        if measured_at is MeasuredAt.MEAN:
            return float(np.average(rate, weights=areas))
        return area_percentiles(rate, areas, (5.0,))[0]

    def copper_rate(self, *roles: Role) -> float:
        """Copper deposited per second on bodies with these roles [kg s⁻¹]."""
        where = self.on(*roles)
        current = self.solution.copper_current_density[where] @ self.areas[where]
        return float(current) * COPPER_PER_CHARGE_KG_PER_C

    def copper_mass(self, thickness: Floats, where: Bools) -> float:
        """Copper of a deposit of `thickness` (n,) [m] on the panels `where` (n,) [kg]."""
        return COPPER_DENSITY_KG_PER_M3 * float(thickness[where] @ self.areas[where])

    def spread(self, values: Floats, role: Role = Role.PART) -> Spread:
        """Area statistics of per-panel values over the bodies of one role."""
        where = self.on(role)
        found = area_statistics(values[where], self.areas[where])
        return Spread(
            mean=found.mean,
            minimum=found.smallest,
            p05=found.percent_5,
            p95=found.percent_95,
            maximum=found.largest,
        )

    def area(self, *roles: Role) -> float:
        """Area of the bodies with these roles [m²]."""
        return float(self.areas[self.on(*roles)].sum())

    def burning_fraction(self) -> float:
        """Share of the parts' area at the limit of copper [-]."""
        return self._part_share(self.solution.fraction_of_limit >= BURNING_FROM)

    def rough_fraction(self) -> float:
        """Share of the parts' area where deposits roughen [-]."""
        return self._part_share(self.solution.fraction_of_limit >= ROUGH_FROM)

    def bare_fraction(self, thickness: Floats) -> float:
        """Share of the parts' area that copper does not cover [-]."""
        return self._part_share(thickness < BARE_BELOW_M)

    def _part_share(self, chosen: Bools) -> float:
        part = self.on(Role.PART)
        return area_fraction(chosen[part], self.areas[part])

    def results(self, thickness: Floats) -> tuple[BodyResult, ...]:
        """The field body by body."""
        group = self.solution.problem.panels.group
        return tuple(
            BodyResult(
                body=body,
                current_density=self.solution.current_density[group == number],
                fraction_of_limit=self.solution.fraction_of_limit[group == number],
                thickness=thickness[group == number],
            )
            for number, body in enumerate(self.cell.bodies)
        )


def anode_loads(outcome: Outcome, numbers: BathNumbers, duration: float) -> tuple[AnodeLoad, ...]:
    """What each anode gives and bears over `duration` [s]."""
    group = outcome.solution.problem.panels.group
    loads = []
    for number, body in enumerate(outcome.cell.bodies):
        if body.role is Role.ANODE:
            here = group == number
            density = -outcome.solution.current_density[here]
            areas = outcome.areas[here]
            (high,) = area_percentiles(density, areas, (95.0,))
            current = float(density @ areas)
            loads.append(
                AnodeLoad(
                    number=body.number,
                    current=current,
                    area=float(areas.sum()),
                    mean_current_density=current / float(areas.sum()),
                    p95_current_density=high,
                    copper_used=current * duration * COPPER_PER_CHARGE_KG_PER_C,
                    may_go_passive=current / float(areas.sum()) > numbers.anode_limit,
                )
            )
    return tuple(loads)


def wire_loads(
    outcome: Outcome, wires: tuple[WireMetal, ...], thickness: Floats
) -> tuple[WireLoad, ...]:
    """What each contact wire carries, and gains by a deposit of `thickness` (n,) [m]."""
    return tuple(_wire_load(outcome, wire, thickness) for wire in wires)


def _wire_load(outcome: Outcome, wire: WireMetal, thickness: Floats) -> WireLoad:
    solution = outcome.solution
    density = wire.current_density(solution)
    gained = 0.0
    if wire.group is not None:
        here = solution.problem.panels.group == wire.group
        gained = outcome.copper_mass(thickness, here)
    remark = ""
    if density > WIRE_LIMIT_A_PER_M2:
        remark = said(
            "carries {density}, more than {limit}: take a thicker wire or another contact",
            density=Quantity(density, "A/mm^2", decimals=0),
            limit=Quantity(WIRE_LIMIT_A_PER_M2, "A/mm^2", decimals=0, bare=True),
        )
    elif gained > 2 * wire.mass():
        remark = said("grows to more than twice its own copper: move it part-way, or insulate it")
    return WireLoad(
        number=wire.number,
        carried_current=wire.fed_current(solution),
        own_current=wire.own_current(solution),
        metal_current_density=density,
        voltage_drop=wire.drop(solution),
        copper_gained=gained,
        remark=remark,
    )
