"""What a contact wire carries, loses and takes for itself.

A wire feeds its part from above: it carries its share of the part's current over its whole length,
and collects its own along the wet part of it. Several wires on one part share evenly, which holds
for a part whose metal is much better a conductor than the wires' contacts are alike.
"""

from dataclasses import dataclass
from math import pi

from tankside.base.constants import COPPER_DENSITY_KG_PER_M3
from tankside.base.messages import said
from tankside.bath.deposit import wrought_resistivity
from tankside.cell.bodies import Cell, Contact, Role
from tankside.field.problem import FieldSolution

DRY_LENGTH_M = 0.10
"""Wire between the liquid and the bar [m]: our guess."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireMetal:
    """The wire of one contact: name, number, its group of panels (None where insulated), the part's
    group, wires on that part, diameter and wet length [m]."""

    name: str
    number: int
    group: int | None
    part_group: int
    wires_on_part: int
    diameter: float
    wet_length: float

    def own_current(self, solution: FieldSolution) -> float:
        """What plates on the wire [A]."""
        return solution.group_current[self.group] if self.group is not None else 0.0

    def fed_current(self, solution: FieldSolution) -> float:
        """What it feeds to the part [A]."""
        return solution.group_current[self.part_group] / self.wires_on_part

    def current_density(self, solution: FieldSolution) -> float:
        """In its metal where it is highest, above the liquid [A m⁻²]."""
        return (self.own_current(solution) + self.fed_current(solution)) / self._section

    def drop(self, solution: FieldSolution) -> float:
        """Voltage lost from the bar to the part [V]; its own current leaves evenly on the way."""
        whole = self.own_current(solution) + self.fed_current(solution)
        wet = self.fed_current(solution) + self.own_current(solution) / 2
        return (
            wrought_resistivity() * (whole * DRY_LENGTH_M + wet * self.wet_length) / self._section
        )

    def mass(self) -> float:
        """Of its wet length [kg]."""
        return self._section * self.wet_length * COPPER_DENSITY_KG_PER_M3

    @property
    def _section(self) -> float:
        return pi * self.diameter**2 / 4


def wires_of(cell: Cell) -> tuple[WireMetal, ...]:
    """The wires of a cell's contacts, in the contacts' order."""
    parts = {body.number: n for n, body in enumerate(cell.bodies) if body.role is Role.PART}
    on_part = [contact.part for contact in cell.contacts]
    return tuple(
        WireMetal(
            name=said("the wire of {name}", name=said("contact {number}", number=contact.number)),
            number=contact.number,
            group=_group(cell, contact),
            part_group=parts[contact.part],
            wires_on_part=on_part.count(contact.part),
            diameter=contact.wire_diameter,
            wet_length=contact.wet_length,
        )
        for contact in cell.contacts
    )


def _group(cell: Cell, contact: Contact) -> int | None:
    """The wire's place among the bodies; None where it is insulated and takes nothing."""
    if contact.insulated:
        return None
    return next(
        number
        for number, body in enumerate(cell.bodies)
        if body.role is Role.WIRE and body.number == contact.wire
    )
