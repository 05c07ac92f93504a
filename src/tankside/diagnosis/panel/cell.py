"""Slanted test cells: a sample of the bath between an anode and a panel that stands askew.

So one panel shows every current density at once, highest at its near edge. Dimensions and the
published formula stand in data/cells.csv.
"""

from dataclasses import dataclass
from functools import cache
from math import hypot, log, log10

from tankside.base.errors import BadInput, OutsideValidity, UnknownName
from tankside.base.messages import Quantity
from tankside.base.tables import Provenance, provenance, table
from tankside.base.units import in_unit

INCH, FOOT = 0.0254, 0.3048
"""[m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlantedCell:
    """A test cell whose plan is a trapezoid, and its published formula.

    near, far   insulating sides at the panel's high and low current edge [m]
    apart       distance between them, which is the anode's width [m]
    filled      volume of the sample [m³]
    constant    of the formula [A m⁻² for each A]
    slope       of the formula, by decade of distance [A m⁻² for each A]
    reach       distances from the high-current edge that the formula holds for [m]
    """

    name: str
    near: float
    far: float
    apart: float
    filled: float
    constant: float
    slope: float
    reach: tuple[float, float]
    provenance: Provenance
    dimensions_from: str

    @property
    def length(self) -> float:
        """Of the panel, from the high-current to the low-current edge [m]."""
        return hypot(self.far - self.near, self.apart)

    @property
    def depth(self) -> float:
        """Of the sample [m]."""
        return self.filled / ((self.near + self.far) / 2 * self.apart)

    @property
    def area(self) -> float:
        """Wetted area of the panel's face [m²]."""
        return self.length * self.depth

    def published(self, distance: float, current: float) -> float:
        """The formula's current density [A m⁻²] at `distance` [m] from the high-current edge for a
        cell current [A]; OutsideValidity where the formula fails."""
        self.refuse_outside(distance)
        return current * (self.constant - self.slope * log10(distance / INCH))

    def published_mean(self, start: float, end: float, current: float) -> float:
        """The formula averaged between two distances [m], in closed form [A m⁻²]."""
        self.refuse_outside(start)
        self.refuse_outside(end)
        if not start < end:
            raise BadInput(
                "an average needs a stretch, not {start} to {end}",
                start=Quantity(start, "m", 6, bare=True),
                end=Quantity(end, "m", 6),
            )

        def integral(distance: float) -> float:
            x = distance / INCH
            return INCH * (self.constant * x - self.slope * (x * log(x) - x) / log(10.0))

        return current * (integral(end) - integral(start)) / (end - start)

    def holds_at(self, distance: float) -> bool:
        """True where the formula holds; its ends count."""
        slack = 1e-9
        return self.reach[0] - slack <= distance <= self.reach[1] + slack

    def refuse_outside(self, distance: float) -> None:
        """OutsideValidity where the formula fails."""
        if not self.holds_at(distance):
            low, high = (in_unit(end, "cm") for end in self.reach)
            raise OutsideValidity(
                "the published formula of the {name} cell fails at {distance} from the "
                "high-current edge; it holds from {low:.3g} to {high:.3g} cm",
                name=self.name,
                distance=Quantity(distance, "cm"),
                low=low,
                high=high,
            )


def cell_named(name: str) -> SlantedCell:
    """The cell of this name, such as "267 mL"; UnknownName offers the others."""
    known = cells()
    if name not in known:
        raise UnknownName("test cell", name, known)
    return known[name]


@cache
def cells() -> dict[str, SlantedCell]:
    """All cells by name."""
    return {row["name"]: _cell(row) for row in table("tankside.diagnosis.panel", "cells.csv")}


def _cell(row: dict[str, str]) -> SlantedCell:
    return SlantedCell(
        name=row["name"],
        near=1e-3 * float(row["near_mm"]),
        far=1e-3 * float(row["far_mm"]),
        apart=1e-3 * float(row["apart_mm"]),
        filled=1e-6 * float(row["filled_mL"]),
        constant=float(row["constant_A_per_ft2"]) / FOOT**2,
        slope=float(row["slope_A_per_ft2"]) / FOOT**2,
        reach=(INCH * float(row["from_in"]), INCH * float(row["to_in"])),
        provenance=provenance(row, where=f"cells.csv, {row['name']}"),
        dimensions_from=row["dimensions_from"],
    )
