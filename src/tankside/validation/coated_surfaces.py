"""A coat alone, held by a wire, for the cases with closed forms: without the solution's resistance
the coat's potential V obeys div(grad V) / R = i(V), R being the sheet resistance. With linear
kinetics of resistance r lengths count against sqrt(r / R)."""

from dataclasses import dataclass
from math import pi
from typing import Any

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.field.panels import Panels
from tankside.field.problem import Electrode, ElectrodeLaw, FieldProblem
from tankside.field.seed.alone import settled_alone
from tankside.field.seed.coat import DepositConduction, even_coat
from tankside.field.seed.contacts import ShellContact
from tankside.field.seed.shell import seed_shell
from tankside.validation.closed_shapes import patch

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
