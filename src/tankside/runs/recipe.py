"""What a run is to do: the settings of the supply, one after the other.

A supply holds its current until that takes more than its voltage; a setting gives both. It lasts a
time, as a person turns a knob by the clock, or a charge, as a supply that counts ampere-hours can;
what is reached first ends it where both are given.
"""

from dataclasses import dataclass
from math import inf, isfinite

from tankside.base.errors import BadInput


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One setting of the supply.

    current         to hold [A]
    voltage_limit   not to be passed [V]
    duration        how long [s], infinity where charge alone ends it
    charge          how much [C], infinity where time alone ends it
    words           what it is for, such as "copper creeps from the wires"
    """

    current: float
    voltage_limit: float
    duration: float = inf
    charge: float = inf
    words: str = ""

    def __post_init__(self) -> None:
        for name, value in (("current", self.current), ("voltage limit", self.voltage_limit)):
            if not (isfinite(value) and value > 0.0):
                raise BadInput(
                    "a setting's {name} must be above zero, not {value!r}", name=name, value=value
                )
        for name, value in (("duration", self.duration), ("charge", self.charge)):
            if not value > 0.0:
                raise BadInput(
                    "a setting's {name} must be above zero, not {value!r}", name=name, value=value
                )
        if self.duration == inf and self.charge == inf:
            raise BadInput("a setting needs a duration or a charge, or it would never end")

    @property
    def expected_duration(self) -> float:
        """[s], with the current held all the time."""
        return min(self.duration, self.charge / self.current)

    def over(self, plated: float, charge: float) -> bool:
        """True once `plated` [s] and `charge` [C] since its beginning end it."""
        return plated >= self.duration or charge >= self.charge

    def to_go(self, plated: float, charge: float) -> float:
        """Time until it ends if its current is held [s]."""
        return max(0.0, min(self.duration - plated, (self.charge - charge) / self.current))


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """The settings of a run, in order; the last is the long build, those before it the ramp."""

    settings: tuple[Setting, ...]

    def __post_init__(self) -> None:
        if not self.settings:
            raise BadInput("a recipe needs at least one setting")

    @property
    def expected_duration(self) -> float:
        """[s], with every current held."""
        return sum(setting.expected_duration for setting in self.settings)

    @property
    def expected_charge(self) -> float:
        """[C], with every current held."""
        return sum(setting.current * setting.expected_duration for setting in self.settings)

    @property
    def highest_current(self) -> float:
        """[A]."""
        return max(setting.current for setting in self.settings)

    @property
    def highest_voltage(self) -> float:
        """The highest voltage limit [V]."""
        return max(setting.voltage_limit for setting in self.settings)
