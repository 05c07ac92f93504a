"""Current density along a panel: the field's and the published formula's, side by side.

In the small cell they agree in the mean over the formula's range and in the middle of the panel.
Near the high-current edge the formula lies a tenth above the field, and near the other end a tenth
to a quarter and more below; in the large cell the two lie further apart. The formula is an average
over several baths, and no polarisation of the panel brings Laplace's equation there. So both are
shown with their ratio, and a limit read off a panel spans both.
"""

from dataclasses import dataclass

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity
from tankside.bath.electrolyte import Electrolyte
from tankside.bath.wagner import wagner_length
from tankside.diagnosis.panel.cell import SlantedCell
from tankside.diagnosis.panel.shape import relative_current_density, shares_held, wagner_held

USUAL_WAGNER = Interval(0.01, 0.05, 0.2)
"""Wagner number on the panel's length where the bath is not known [-]: derived by bath/wagner.py
for acid sulfate baths from 75 g/L of salt and 190 g/L of acid to 200 and 60 g/L, at 1 to 3 A."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Along:
    """One place on the panel.

    distance  from the high-current edge [m]
    field     current density by the field [A m⁻²]
    formula   by the published formula [A m⁻²]; None where that fails
    """

    distance: float
    field: Interval
    formula: float | None

    @property
    def field_over_formula(self) -> float | None:
        """Their ratio [-]; None where the formula fails."""
        return None if self.formula is None else self.field.best / self.formula

    @property
    def either(self) -> Interval:
        """Spans both; its best is the field's."""
        if self.formula is None:
            return self.field
        return Interval(
            min(self.field.low, self.formula), self.field.best, max(self.field.high, self.formula)
        )


def current_along(
    cell: SlantedCell, distance: float, current: float, wagner: Interval = USUAL_WAGNER
) -> Along:
    """Both at one `distance` [m] from the high-current edge for a cell current [A].

    OutsideValidity nearer to an edge than the field's table reaches.
    """
    if not current > 0.0:
        raise BadInput("the panel's current is above zero, not {current:g} A", current=current)
    if not 0.0 <= distance <= cell.length * (1 + 1e-9):
        raise BadInput(
            "{distance} is not on the panel of the {cell} cell, which is {length} long",
            distance=Quantity(distance, "cm"),
            cell=cell.name,
            length=Quantity(cell.length, "cm"),
        )
    mean = current / cell.area
    field = relative_current_density(cell, distance / cell.length, wagner).scaled(mean)
    formula = cell.published(distance, current) if cell.holds_at(distance) else None
    return Along(distance=distance, field=field, formula=formula)


def whole_panel(
    cell: SlantedCell, current: float, wagner: Interval = USUAL_WAGNER, *, step: float = 5e-3
) -> tuple[Along, ...]:
    """Both, every `step` [m] where the field's table reaches."""
    if not step > 0.0:
        raise BadInput(
            "the step along a panel is above zero, not {step}", step=Quantity(step, "m", 6)
        )
    first, last = (share * cell.length for share in shares_held(cell))
    count = int(cell.length / step + 1e-9)
    return tuple(
        current_along(cell, number * step, current, wagner)
        for number in range(count + 1)
        if first <= number * step <= last
    )


def wagner_of(cell: SlantedCell, current: float, electrolyte: Electrolyte) -> Interval:
    """The Wagner number of a panel in this bath at a cell current [A], on the panel's length and at
    its mean current density, kept within what the field's table holds [-]."""
    least, most = wagner_held(cell)
    found = wagner_length(electrolyte, current / cell.area).scaled(1.0 / cell.length)
    low, best, high = (min(max(end, least), most) for end in (found.low, found.best, found.high))
    return Interval(low, best, high)
