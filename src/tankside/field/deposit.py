"""A recipe of currents, and the deposit that came of it, as values.

Thickness follows from charge by Faraday's law: d(thickness)/dt = i_copper M / (2 F rho).
"""

from dataclasses import dataclass
from math import inf

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.constants import (
    COPPER_DENSITY_KG_PER_M3,
    COPPER_PER_CHARGE_KG_PER_C,
)
from tankside.field.problem import FieldSolution

THICKNESS_PER_CHARGE = COPPER_PER_CHARGE_KG_PER_C / COPPER_DENSITY_KG_PER_M3
"""Volume of copper deposited by charge [m³ C⁻¹]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """The supply holds `current` [A] for `duration` [s]."""

    duration: float
    current: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StepControl:
    """Error allowed in one step: `absolute` [m] plus `relative` times the thickness, rms over the
    cathodes' area; the first step tried and the longest allowed [s]."""

    relative: float = 0.02
    absolute: float = 2e-9
    first_step: float = 1.0
    longest_step: float = inf


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowthStep:
    """One accepted step: from `start` [s] for `duration` [s], with what held at its end."""

    start: float
    duration: float
    supply_current: float
    cell_voltage: float
    voltage_limited: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowthEvent:
    """Something that a person wants to know of, and when [s]."""

    time: float
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A step that was taken, for who watches the growth: its ends in time [s], the deposit at both
    (n,) [m], and the fields there; that at its end is of the metal as it was foreseen."""

    start: float
    end: float
    thickness_before: Floats
    thickness: Floats
    before: FieldSolution
    after: FieldSolution


@dataclass(frozen=True, kw_only=True)
class Growth:
    """A grown deposit.

    thickness         of copper on every panel [m] (n,); below zero where copper dissolved
    solution          the field at the end
    steps, events     in order of time
    charge            delivered by the supply [C]
    hydrogen_charge   of it spent on hydrogen [C]
    copper_deposited  on the cathodes, by thickness, area and density [kg]
    copper_dissolved  from the anodes, likewise [kg]
    charge_balance    |cathodes' + anodes' charge| over the supply's [-]
    mass_balance      |dissolved - deposited - what hydrogen left in solution| over dissolved [-]
    solves            fields solved
    warnings          of the fields on the way (of the last one alone where the metal changed, as
                      places that wait for copper are no fault) and of the growth itself, each once
    """

    thickness: Floats
    solution: FieldSolution
    steps: tuple[GrowthStep, ...]
    events: tuple[GrowthEvent, ...]
    charge: float
    hydrogen_charge: float
    copper_deposited: float
    copper_dissolved: float
    charge_balance: float
    mass_balance: float
    solves: int
    warnings: tuple[str, ...]

    def __post_init__(self) -> None:
        object.__setattr__(self, "thickness", frozen_floats(self.thickness))

    @property
    def duration(self) -> float:
        """[s]."""
        return sum(step.duration for step in self.steps)
