"""What the plan expects between the bars, as a table that a run can look up once a second.

The plan computes the voltage at a few currents and at a few amounts of charge (a seed coat's
resistance fades as copper covers it). Between them the table is interpolated, linearly in the
current and in the logarithm of the charge; outside it the nearest edge holds, and says so.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.errors import BadInput

_NO_CHARGE_C = 1.0
"""Charge that counts as none, so that the logarithm has a beginning."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """Voltages (m, k) [V] at charges (m,) [C] and currents (k,) [A], both rising; `spread` is how
    far a healthy cell may lie from them, as a fraction, nine times in ten."""

    charge: Floats
    current: Floats
    voltage: Floats
    spread: float

    def __post_init__(self) -> None:
        shape = (len(self.charge), len(self.current))
        if self.voltage.shape != shape or 0 in shape:
            raise BadInput(
                "{given} voltages do not fit {wanted} charges and currents",
                given=self.voltage.shape,
                wanted=shape,
            )
        for name in ("charge", "current"):
            values = getattr(self, name)
            if not ((np.diff(values) > 0).all() and values[0] >= 0.0):
                raise BadInput(
                    "the {name}s of an expectation must rise from zero or above", name=name
                )
        if not (self.voltage > 0.0).all():
            raise BadInput("an expected voltage must be above zero")
        for name in ("charge", "current", "voltage"):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))

    @classmethod
    def steady(cls, current: Floats, voltage: Floats, spread: float) -> "Expected":
        """Where the charge does not matter, as on metal."""
        return cls(charge=np.zeros(1), current=current, voltage=voltage[None, :], spread=spread)

    def voltage_at(self, current: float, charge: float) -> float:
        """[V] for a current [A] after `charge` [C]; below the lowest current, in proportion."""
        row = self._row(charge)
        lowest = float(self.current[0])
        if current < lowest:
            return float(row[0]) * current / lowest
        return float(np.interp(current, self.current, row))

    def holds(self, current: float) -> bool:
        """True inside the table's currents."""
        return float(self.current[0]) <= current <= float(self.current[-1])

    def _row(self, charge: float) -> Floats:
        if len(self.charge) == 1:
            only: Floats = self.voltage[0]
            return only
        scale = np.log(self.charge + _NO_CHARGE_C)
        at = float(np.interp(np.log(charge + _NO_CHARGE_C), scale, np.arange(len(scale))))
        low = min(int(at), len(scale) - 2)
        share = at - low
        row: Floats = (1 - share) * self.voltage[low] + share * self.voltage[low + 1]
        return row
