"""What may be changed about a rig, in one form: a few variables with bounds, and what they do.

A freedom with a gate is absent below one half of its first variable: an auxiliary anode that is not
hung, a turn that is not made. Two rigs differ by their features: angles as points on a circle,
what is absent as nought.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from tankside.base.arrays import Floats
from tankside.cell.description import BoxTank, CellDescription, CylinderTank, Tank
from tankside.plan.rigs.rig import Rig, box_of

CLEARANCE = 0.008
"""Room that is left between what is moved and walls, floor and surface [m]: our choice."""

GATE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Variable:
    """One number that may be chosen: its name, its bounds in `unit`, whether its two ends are one
    (a bearing), and whether it is the gate of its freedom."""

    name: str
    low: float
    high: float
    unit: str
    circular: bool = False
    gate: bool = False


class Freedom(Protocol):
    """One thing that may be changed."""

    @property
    def name(self) -> str:
        """In a person's words, such as "pose of part 1"."""
        ...

    @property
    def variables(self) -> tuple[Variable, ...]:
        """In the order in which values are given."""
        ...

    def own(self, rig: Rig) -> Floats:
        """The values (n,) that come nearest to a rig as it is."""
        ...

    def applied(self, values: Floats, rig: Rig) -> Rig:
        """The rig so changed."""
        ...

    def features(self, values: Floats) -> Floats:
        """Where the choice lies among all choices, each coordinate within 0 and 1 or so."""
        ...


def plain_features(variables: tuple[Variable, ...], values: Floats) -> Floats:
    """Features of variables that mean what they say."""
    absent = variables[0].gate and values[0] < GATE
    found: list[float] = []
    for variable, value in zip(variables, values.tolist(), strict=True):
        if variable.gate:
            found.append(0.0 if absent else 1.0)
        elif absent:
            found += [0.0] * (2 if variable.circular else 1)
        else:
            share = (value - variable.low) / (variable.high - variable.low)
            if variable.circular:
                angle = 2 * np.pi * share
                found += [float(np.cos(angle)) / 2, float(np.sin(angle)) / 2]
            else:
                found.append(share)
    return np.array(found)


def tank_box(tank: Tank) -> tuple[Floats, Floats]:
    """Lowest and highest (x, y) of the tank's inside [m]."""
    if isinstance(tank, BoxTank):
        half = np.array(tank.inside[:2]) / 2
        return -half, half
    if isinstance(tank, CylinderTank):
        half = np.full(2, tank.diameter / 2)
        return -half, half
    corners = np.array(tank.footprint, dtype=np.float64)
    return corners.min(axis=0), corners.max(axis=0)


def parts_box(description: CellDescription) -> tuple[Floats, Floats]:
    """Lowest and highest corner (3,) of all parts together [m]."""
    boxes = [box_of(part) for part in description.parts]
    return (
        np.min([low for low, _ in boxes], axis=0),
        np.max([high for _, high in boxes], axis=0),
    )


def shared(low: float, high: float, share: float) -> float:
    """The place at a share of the way from low to high; the middle where there is no way."""
    return low + share * (high - low) if high > low else (low + high) / 2


def share_of(low: float, high: float, place: float) -> float:
    """The share of the way from low to high at which a place lies, within 0 and 1."""
    return float(np.clip((place - low) / (high - low), 0.0, 1.0)) if high > low else 0.5
