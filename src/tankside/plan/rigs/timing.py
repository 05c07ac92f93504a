"""What may be changed about the run: a turn part-way through, and a lower current."""

from dataclasses import dataclass, replace

import numpy as np

from tankside.base.arrays import Floats
from tankside.plan.rigs.freedom import GATE, Variable, plain_features
from tankside.plan.rigs.rig import Rig, Turn

LEAST_CURRENT_SHARE = 0.3
"""A search does not look below this share of the current that is borne [-]: our choice."""


@dataclass(frozen=True, slots=True)
class TurnFreedom:
    """The parts may be turned about the upright line once, part-way through."""

    @property
    def name(self) -> str:
        """The turn."""
        return "a turn part-way"

    @property
    def variables(self) -> tuple[Variable, ...]:
        """Whether, by how much, when."""
        return (
            Variable(name="made", low=0.0, high=1.0, unit="yes above 0.5", gate=True),
            Variable(name="angle", low=30.0, high=330.0, unit="degrees"),
            Variable(name="after", low=0.3, high=0.7, unit="share of the time"),
        )

    def own(self, rig: Rig) -> Floats:
        """None; if one, half round at half time."""
        return np.array([0.25, 180.0, 0.5])

    def applied(self, values: Floats, rig: Rig) -> Rig:
        """Turned, where the gate is open; to 15 degrees and a twentieth of the time."""
        if values[0] < GATE:
            return rig
        turn = Turn(after=round(20 * values[2]) / 20, angle=15.0 * round(values[1] / 15.0))
        return replace(rig, turn=turn)

    def features(self, values: Floats) -> Floats:
        """Whether, by how much, when."""
        return plain_features(self.variables, values)


@dataclass(frozen=True, slots=True)
class CurrentFreedom:
    """The current may be lower than what every limit bears."""

    @property
    def name(self) -> str:
        """The current."""
        return "the current"

    @property
    def variables(self) -> tuple[Variable, ...]:
        """Its share."""
        return (
            Variable(
                name="share", low=LEAST_CURRENT_SHARE, high=1.0, unit="share of what is borne"
            ),
        )

    def own(self, rig: Rig) -> Floats:
        """All of it."""
        return np.array([max(LEAST_CURRENT_SHARE, rig.current_share)])

    def applied(self, values: Floats, rig: Rig) -> Rig:
        """At that share, to a hundredth."""
        return replace(rig, current_share=round(float(values[0]), 2))

    def features(self, values: Floats) -> Floats:
        """Its share of the range."""
        return plain_features(self.variables, values)
