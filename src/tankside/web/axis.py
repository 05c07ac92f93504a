"""Round marks along an axis of a drawing, in the unit that the reader is used to."""

from dataclasses import dataclass
from math import floor, log10

from tankside.base.units import in_unit, sign, unit_told
from tankside.web.reader import READER, kind_of, rounded


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """An axis: its ends in the unit `told_in`, that unit as it is written, and its marks from the
    lowest up, as shares of its length, each with its words."""

    low: float
    high: float
    unit: str
    marks: tuple[tuple[float, str], ...]
    told_in: str

    def share(self, value: float) -> float:
        """How far along a value [SI] stands [-]."""
        return (in_unit(value, self.told_in) - self.low) / (self.high - self.low)


def axis_of(least: float, most: float, kind: str, about: int = 5) -> Axis:
    """An axis over values [SI] of a kind by name, with a little room beyond them."""
    unit = unit_told(max(abs(least), abs(most)), kind_of(kind), READER.get().units)
    low, high = in_unit(least, unit), in_unit(most, unit)
    room = 0.06 * (high - low) or 0.05 * abs(high) or 1.0
    low, high = low - room, high + room
    ticks = round_ticks(low, high, about)
    marks = tuple(((tick - low) / (high - low), rounded(tick, 6)) for tick in ticks)
    return Axis(low=low, high=high, unit=sign(unit), marks=marks, told_in=unit)


def round_ticks(low: float, high: float, about: int) -> list[float]:
    """Round numbers within the ends, at most so many and one."""
    rough = (high - low) / about
    power = 10.0 ** floor(log10(rough))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= rough)
    first = floor(low / step) + 1
    count = int((high - first * step) / step + 1e-9) + 1
    return [round((first + k) * step, 10) for k in range(count)]
