"""What a run cost: copper, chemicals, coat, energy, time, scrap.

Each line is an amount times a price; a line whose price is not known is told without a cost, and
the total says what it leaves out. Scrap is what earlier tries of the same part cost.
"""

from dataclasses import dataclass
from math import isfinite

from tankside.base.errors import BadInput
from tankside.base.messages import Quantity, said


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """In one currency: copper anodes [kg⁻¹], electricity [J⁻¹], seed coat [m⁻²], work [s⁻¹]; None
    where it is not known."""

    currency: str
    copper: float | None = None
    electricity: float | None = None
    coat: float | None = None
    work: float | None = None

    def __post_init__(self) -> None:
        for name in ("copper", "electricity", "coat", "work"):
            value = getattr(self, name)
            if value is not None and not (isfinite(value) and value >= 0.0):
                raise BadInput("the price of {name} cannot be {value!r}", name=name, value=value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spent:
    """What a run used.

    copper          given up by the anodes [kg]
    plating, heater, pump   energy at the socket [J]
    coat            area painted [m²]
    chemicals       cost of what was lost with drag-out and dosed for it, in the currency
    work            hands-on time [s]
    scrap           cost of earlier tries of the same part, in the currency
    """

    copper: float = 0.0
    plating: float = 0.0
    heater: float = 0.0
    pump: float = 0.0
    coat: float = 0.0
    chemicals: float = 0.0
    work: float = 0.0
    scrap: float = 0.0

    def __post_init__(self) -> None:
        for name in self.__slots__:
            value = getattr(self, name)
            if not (isfinite(value) and value >= 0.0):
                raise BadInput("{name} spent cannot be {value!r}", name=name, value=value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing: its name, amount in words, and cost; None where the price is not known."""

    name: str
    amount: str
    cost: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunCost:
    """All lines of a run that ended at `at` [s since 1970, universal time]."""

    title: str
    at: float
    currency: str
    lines: tuple[Line, ...]

    @property
    def known(self) -> float:
        """Sum of the costs that are known."""
        return sum(line.cost for line in self.lines if line.cost is not None)

    @property
    def missing(self) -> tuple[str, ...]:
        """What the sum leaves out for want of a price."""
        return tuple(line.name for line in self.lines if line.cost is None)


def cost_of(spent: Spent, prices: Prices, *, title: str, at: float) -> RunCost:
    """The cost of one run; what was not used has no line."""
    energy = {
        said("energy, plating"): spent.plating,
        said("energy, heater"): spent.heater,
        said("energy, pump"): spent.pump,
    }
    lines = [_line(said("copper"), _told(spent.copper, "g"), spent.copper, prices.copper)]
    lines += [
        _line(name, _told(joules, "kWh"), joules, prices.electricity)
        for name, joules in energy.items()
    ]
    lines.append(_line(said("seed coat"), _told(spent.coat, "cm^2"), spent.coat, prices.coat))
    lines.append(_line(said("work"), _told(spent.work, "min", 0), spent.work, prices.work))
    lines.append(_line(said("chemicals"), said("lost and replaced"), spent.chemicals, 1.0))
    lines.append(_line(said("scrap"), said("earlier tries"), spent.scrap, 1.0))
    kept = tuple(line for line in lines if line is not None)
    return RunCost(title=title, at=at, currency=prices.currency, lines=kept)


def _told(value: float, unit: str, decimals: int | None = None) -> str:
    return said("{amount}", amount=Quantity(value, unit, decimals=decimals))


def _line(name: str, words: str, amount: float, price: float | None) -> Line | None:
    if amount == 0.0:
        return None
    return Line(name=name, amount=words, cost=None if price is None else amount * price)
