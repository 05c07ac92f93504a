"""The answer of a make-up: what to weigh and measure, in which order, what comes out, what it
costs.

Frozen values in SI; a sheet turns them into the units of the person's tools. Nothing here computes.
"""

from dataclasses import dataclass
from enum import StrEnum

from tankside.base.intervals import Interval

AT_ONCE = Interval.exact(0.0)
"""No wait [s]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a tool is read to.

    tool        the tool's name
    total       in all [kg or m³, as the tool measures], a whole number of its divisions
    by_mass     True for kilograms, False for cubic metres
    fills       how often the tool is filled
    """

    tool: str
    total: float
    by_mass: bool
    fills: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StockSolution:
    """A dilution made first, because the dose itself is too small for the tools.

    product        what is dissolved
    take           how much of it: mass [kg], and how it is read
    taken          [kg]
    volume         that the stock is filled to with water [m³]
    strength       product per stock [kg m⁻³]
    molarity       of `substance` in it [mol m⁻³]
    dose           of stock that goes into the bath [m³]
    dose_reading   how that is read
    acid_first     True where an acid is poured into the water, never the water onto it
    rise           how much the stock warms where it is all poured at once [K]
    """

    product: str
    substance: str
    taken: Interval
    take: Reading
    volume: float
    strength: float
    molarity: float
    dose: Interval
    dose_reading: Reading
    acid_first: bool
    rise: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """How much of one product goes in.

    mass      in truth [kg], with the tool's error
    volume    of a liquid at 20 °C [m³]; None for solids
    reading   how it is measured; None for water, which fills to the mark
    stock     the dilution that it is measured from, where the dose is too small
    relative_error   half-width over the amount [-]
    cost      in `currency` of the product; None where its price is not known
    """

    product: str
    mass: Interval
    volume: Interval | None
    reading: Reading | None
    stock: StockSolution | None
    relative_error: float
    cost: float | None


class Action(StrEnum):
    """What a step does."""

    PUT_ON = "put on protection"
    WITHDRAW = "withdraw old bath"
    STOCK = "make a stock solution"
    POUR_WATER = "pour water"
    POUR_OLD_BATH = "pour old bath"
    KEEP_OLD_BATH = "leave the bath in its vessel"
    POUR_ACID = "pour acid in portions"
    COOL = "let it cool"
    DISSOLVE = "dissolve a solid"
    ADD = "add"
    FILL = "fill to the mark"
    ADDITIVE = "add the additive, cold and last"
    CHECK = "measure and label"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do.

    action               what
    product              of which product, "" where none
    mass, volume         how much [kg, m³]; zero where that does not apply
    portion, portions    which of how many
    before, after        temperature of the vessel [K], after with its interval; zero and None where
                         the step has none
    wait                 before the next step: stirring and cooling [s]
    cautions             ids of safety's cautions, to be read before the step
    words                what to know of this step, in sentences
    """

    action: Action
    product: str = ""
    mass: float = 0.0
    volume: float = 0.0
    portion: int = 1
    portions: int = 1
    before: float = 0.0
    after: Interval | None = None
    wait: Interval = AT_ONCE
    cautions: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Resulting:
    """One quantity of the bath as it will be [kg m⁻³ at 20 °C], and what was wanted of it."""

    quantity: str
    value: Interval
    wanted: Interval | None

    @property
    def within(self) -> bool:
        """True where the best value lies between the ends that will do; where these are one number,
        where the interval holds it; and where nothing was wanted."""
        if self.wanted is None:
            return True
        if self.wanted.high <= self.wanted.low:
            return self.wanted.best in self.value
        slack = 1e-9 * self.wanted.high
        return self.wanted.low - slack <= self.value.best <= self.wanted.high + slack


@dataclass(frozen=True, slots=True, kw_only=True)
class ChlorideShare:
    """What one product brings: as content and as impurity, per bath [kg m⁻³]."""

    product: str
    as_content: Interval
    as_impurity: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class SolubilityCheck:
    """Copper sulfate pentahydrate that stays dissolved at a temperature, against what the bath
    holds [kg m⁻³].

    temperature   [K]
    when          in words
    margin        share by which the bath may still grow before it crystallises [-]; negative where
                  it crystallises
    """

    when: str
    temperature: float
    dissolves: Interval
    holds: Interval
    margin: Interval
    assumptions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    @property
    def sure(self) -> bool:
        """True where even the low end of what dissolves exceeds what the bath holds."""
        return self.margin.low > 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What the make-up costs.

    by_product   name and cost, None where a price is not known
    known        sum of those that are known
    total        None where one is missing
    """

    by_product: tuple[tuple[str, float | None], ...]
    known: float
    total: float | None
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeUpPlan:
    """A bath from bottles.

    volume         of the finished bath at 20 °C [m³], with the error of the mark
    mass           of the bath [kg]
    density        of it at 20 °C [kg m⁻³], to check it by
    amounts        of each product, in the order in which they go in
    old_bath       kept of the old bath [m³]
    withdrawn      of the old bath, to make room [m³]
    steps          what to do
    composition    what comes out
    names, covariance   the same as a covariance [kg² m⁻⁶], for a ledger: errors of strength, tools
                        and mark together, so that they stay correlated
    chloride       the chloride budget over all sources
    solubility     at make-up and at the coldest
    cost           in all
    warnings       sentences that must be read
    assumptions    what was taken for granted
    sources        keys of the works that this stands on
    """

    volume: Interval
    mass: float
    density: Interval
    amounts: tuple[Amount, ...]
    old_bath: float
    withdrawn: float
    steps: tuple[Step, ...]
    composition: tuple[Resulting, ...]
    names: tuple[str, ...]
    covariance: tuple[tuple[float, ...], ...]
    chloride: tuple[ChlorideShare, ...]
    solubility: tuple[SolubilityCheck, ...]
    cost: Cost
    warnings: tuple[str, ...]
    assumptions: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def duration(self) -> Interval:
        """All stirring and waiting together [s]."""
        return Interval(
            sum(step.wait.low for step in self.steps),
            sum(step.wait.best for step in self.steps),
            sum(step.wait.high for step in self.steps),
        )

    def resulting(self, quantity: str) -> Interval:
        """What comes out of a quantity [kg m⁻³]; KeyError where it was not counted."""
        return {one.quantity: one.value for one in self.composition}[quantity]

    def amount(self, product: str) -> Amount | None:
        """How much of a product goes in; None where none does."""
        return next((one for one in self.amounts if one.product == product), None)
