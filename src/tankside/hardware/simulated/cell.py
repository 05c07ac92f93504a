"""What a simulated supply drives: a plating cell as a voltage that follows current and charge.

Between its bars stand a resistance (bath and leads), the two electrodes' overpotentials as a
logarithm of the current, and a seed coat whose resistance fades as copper covers it. Numbers come
from a plan (fitted by whoever makes the load) or are the demo's. Faults are switched in by name.
"""

from dataclasses import dataclass, field
from math import asinh, exp
from typing import Protocol

import numpy as np

from tankside.base.errors import UnknownName
from tankside.runs.expected import Expected

LOST_CONTACT_OHM = 1e5
"""Of a wire that hangs by a thread of wet salt."""

FAULTS = ("lost contact", "short to anode", "passive anode", "stalled front")


@dataclass(frozen=True, slots=True, kw_only=True)
class CellLoad:
    """A cell.

    resistance        of bath and leads [ohm]
    tafel             scale of the overpotential b in b asinh(I / I0) [V]
    exchange_current  I0, of the whole cathode [A]
    seed_resistance   extra while the seed coat alone conducts [ohm]
    covering_charge   charge over which that fades by a factor e [C]
    """

    resistance: float = 0.12
    tafel: float = 0.05
    exchange_current: float = 0.1
    seed_resistance: float = 4.0
    covering_charge: float = 900.0

    def voltage(self, current: float, charge: float) -> float:
        """Between the bars [V], for a current [A] after `charge` [C] of plating."""
        seed = self.seed_resistance * exp(-charge / self.covering_charge)
        return current * (self.resistance + seed) + self.tafel * asinh(
            current / self.exchange_current
        )


class Load(Protocol):
    """Voltage between the bars."""

    def voltage(self, current: float, charge: float) -> float:
        """[V], for a current [A] after `charge` [C] of plating; rises with the current."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedLoad:
    """A cell that behaves as a plan expects, off by a factor on its voltage."""

    expected: Expected
    factor: float = 1.0

    def voltage(self, current: float, charge: float) -> float:
        """[V]; beyond the plan's currents, on along its last slope."""
        top = float(self.expected.current[-1])
        inside = self.factor * self.expected.voltage_at(min(current, top), charge)
        if current <= top:
            return inside
        below = self.factor * self.expected.voltage_at(0.95 * top, charge)
        return inside + (inside - below) / (0.05 * top) * (current - top)


@dataclass
class SimulatedCell:
    """A cell at work: charge so far, noise, slow drift, and the faults switched in."""

    load: Load = field(default_factory=CellLoad)
    noise: float = 0.003
    drift_per_hour: float = 0.0
    seed: int = 1
    charge: float = 0.0
    age: float = 0.0
    faults: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._random = np.random.default_rng(self.seed)

    def switch(self, fault: str, *, on: bool) -> None:
        """A fault in or out; UnknownName where there is none of that name."""
        if fault not in FAULTS:
            raise UnknownName("fault", fault, FAULTS)
        if on:
            self.faults[fault] = self.charge if fault == "stalled front" else self.age
        else:
            self.faults.pop(fault, None)

    def driven(self, current: float, voltage_limit: float) -> tuple[float, float]:
        """Voltage [V] and current [A] with a supply set so: it holds whichever is met first."""
        if self._voltage(current) <= voltage_limit:
            return self._voltage(current), current
        low, high = 0.0, current
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self._voltage(middle) <= voltage_limit else (low, middle)
        return voltage_limit, low

    def lived(self, seconds: float, current: float) -> None:
        """Time passes with a current [A]."""
        self.age += seconds
        if "lost contact" not in self.faults and "short to anode" not in self.faults:
            self.charge += current * seconds

    def metered(self, value: float) -> float:
        """A value as a meter reads it, with noise."""
        return value * (1.0 + self.noise * float(self._random.standard_normal()))

    def _covered(self) -> float:
        """The charge that has gone into covering the seed coat [C]: none more once that stalls."""
        return self.faults.get("stalled front", self.charge)

    def _voltage(self, current: float) -> float:
        charge = self._covered()
        if "short to anode" in self.faults:
            return 0.02 * current
        voltage = self.load.voltage(current, charge)
        voltage *= 1.0 + self.drift_per_hour * self.age / 3600
        if "lost contact" in self.faults:
            voltage += LOST_CONTACT_OHM * current
        if "passive anode" in self.faults:
            since = self.age - self.faults["passive anode"]
            voltage += min(6.0, since / 30.0) * min(1.0, current / 0.05)
        return voltage
