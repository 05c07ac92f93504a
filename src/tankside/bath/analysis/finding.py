"""What an analysis found: one quantity of the bath, with its interval and its standard deviation.

Every procedure of this room ends in a `Finding`, whatever it was made with: the inventory weighs
them by `std`, a sheet prints the interval. The ends of the interval hold nine times in ten.
"""

from dataclasses import dataclass
from math import isfinite

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.analysis.propagation import Propagated, Share

QUANTITIES = {
    "copper": "kg/m^3",
    "sulfuric_acid": "kg/m^3",
    "chloride": "kg/m^3",
    "density": "kg/m^3",
    "pH": "1",
    "conductivity": "S/m",
}
"""What can be found, each with the unit of its value."""

COVERAGE = 0.90
"""Share of findings whose interval holds the truth [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """The outcome of an analysis.

    quantity      a key of QUANTITIES
    value         best value and the ends that hold nine times in ten, in the quantity's unit
    std           one standard deviation, in the same unit
    method        how it was found, in words
    notes         what a reader must know before leaning on it
    sources       keys of the works it stands on
    budget        what share of the variance each input brings, largest first
    temperature   at which it holds [K], where it matters (density, conductivity), else None
    """

    quantity: str
    value: Interval
    std: float
    method: str
    notes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    budget: tuple[Share, ...] = ()
    temperature: float | None = None

    def __post_init__(self) -> None:
        if self.quantity not in QUANTITIES:
            raise UnknownName("quantity of an analysis", self.quantity, QUANTITIES)
        if not (isfinite(self.std) and self.std >= 0.0):
            raise BadInput("a standard deviation is not negative, as {std}", std=self.std)


def finding(
    quantity: str,
    outcome: Propagated,
    *,
    method: str,
    notes: tuple[str, ...] = (),
    sources: tuple[str, ...] = (),
    temperature: float | None = None,
) -> Finding:
    """A finding from a propagated value; concentrations and conductivities stop at zero."""
    half = outcome.std * coverage_factor(outcome.freedom)
    low = outcome.value - half
    if quantity != "pH":
        low = max(low, min(0.0, outcome.value))
    return Finding(
        quantity=quantity,
        value=Interval(low, outcome.value, outcome.value + half),
        std=outcome.std,
        method=method,
        notes=notes,
        sources=sources,
        budget=outcome.shares,
        temperature=temperature,
    )


def coverage_factor(freedom: float) -> float:
    """Student's factor that turns a standard deviation into half a 90 % interval [-]."""
    from scipy.special import stdtrit  # half a second that reading a ledger need not wait for

    return float(stdtrit(freedom, 0.5 + COVERAGE / 2.0))
