"""What hangs on what, in sentences: notes that do not stop a job.

A part's wet weight is its mass less that of the solution it displaces. Soft copper wire starts to
stretch at a few tens of newton per square millimetre.
"""

from collections.abc import Sequence
from math import pi

from tankside.base.constants import STANDARD_GRAVITY_M_PER_S2
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said, said_of
from tankside.base.provenance import Evidence, Sourced
from tankside.cell.bodies import Contact, Role
from tankside.cell.description import CellDescription
from tankside.cell.standing import Standing
from tankside.cell.wording import FLOOR, WALL, length

SOFT_COPPER_STRENGTH = Sourced(
    name="stress at which soft copper wire starts to stretch for good",
    value=Interval(30e6, 40e6, 70e6),
    unit="Pa",
    evidence=Evidence.GUESS,
    valid="annealed, at room temperature",
    note="hand-bent wire of a home bench; no published value was looked up",
)

_SNAPPED = 1e-3
"""A contact that is moved by more than this onto its part is told [m]."""


_MOVED = 1e-6
"""A body that is moved by more than this to stand flat is told [m]."""


def notes(
    description: CellDescription,
    things: Sequence[Standing],
    contacts: Sequence[Contact],
    level: float,
    pieces: Sequence[float],
) -> tuple[str, ...]:
    """Everything that was assumed, moved or is doubtful about how the cell hangs; `pieces` are the
    volumes of the separate pieces of solution [m³]."""
    return (
        *_parted(pieces),
        *_moved_contacts(contacts),
        *_put_flat(things),
        *_hidden_hooks(things, level),
        *_weights(description, things, contacts),
    )


def wet_weight(mass: float, volume: float, density: float) -> float:
    """Pull of a part on its wires [N]: negative where it floats. Mass [kg], volume [m³], density of
    the solution [kg m⁻³]."""
    return (mass - density * volume) * STANDARD_GRAVITY_M_PER_S2


def _parted(pieces: Sequence[float]) -> list[str]:
    if len(pieces) == 1:
        return []
    return [
        said(
            "the solution stands in {pieces} separate pieces, {litres}",
            pieces=len(pieces),
            litres=tuple(Quantity(volume, "L") for volume in pieces),
        )
    ]


def _moved_contacts(contacts: Sequence[Contact]) -> list[str]:
    return [
        said(
            "contact {contact_number} was moved {snapped_distance} onto the surface of part {part}",
            contact_number=contact.number,
            snapped_distance=length(contact.snapped_distance),
            part=contact.part,
        )
        for contact in contacts
        if contact.snapped_distance > _SNAPPED
    ]


def _put_flat(things: Sequence[Standing]) -> list[str]:
    sentences = []
    for thing in things:
        if thing.flat.facets and not thing.is_lining:
            places = [FLOOR] * (0 in thing.flat.facets) + [WALL] * any(thing.flat.facets)
            against = said(
                "{name} stands flat against {places}", name=thing.name, places=tuple(places)
            )
            if thing.flat.moved > _MOVED:
                moved = length(thing.flat.moved)
                against = said("{stands} (moved {length})", stands=against, length=moved)
            sentences.append(said("{stands}: no current crosses there", stands=against))
    return sentences


def _hidden_hooks(things: Sequence[Standing], level: float) -> list[str]:
    under = [
        thing.name
        for thing in things
        if thing.role in (Role.ANODE, Role.THIEF) and thing.solid.mesh.box[1][2] < level
    ]
    if not under:
        return []
    return [
        said_of(
            "{things} hangs wholly under the liquid; the hooks above are taken as coated, so that "
            "no current crosses them",
            "{things} hang wholly under the liquid; the hooks above are taken as coated, so that "
            "no current crosses them",
            count=len(under),
            things=tuple(under),
        )
    ]


def _weights(
    description: CellDescription, things: Sequence[Standing], contacts: Sequence[Contact]
) -> list[str]:
    sentences = []
    bodies = {thing.number: thing for thing in things if thing.role is Role.PART}
    for number, part in enumerate(description.parts, 1):
        if part.mass is None:
            continue
        pull = wet_weight(part.mass, bodies[number].solid.volume, description.solution_density)
        wires = [contact.wire_diameter for contact in contacts if contact.part == number]
        if pull < 0:
            lift = Quantity(-pull / STANDARD_GRAVITY_M_PER_S2, "g")
            sentences.append(
                said(
                    "part {number} floats: it needs more than {lift} of ballast",
                    number=number,
                    lift=lift,
                )
            )
        elif wires and (stress := pull / sum(pi / 4 * d**2 for d in wires)) > (
            SOFT_COPPER_STRENGTH.value.low
        ):
            weight = Quantity(pull / STANDARD_GRAVITY_M_PER_S2, "g")
            sentences.append(
                said(
                    "the wires of part {number} are too thin to hold its wet weight of {weight}: "
                    "{stress} N/mm², where soft copper may stretch from {least} "
                    "N/mm² on",
                    number=number,
                    weight=weight,
                    stress=f"{stress / 1e6:.0f}",
                    least=f"{SOFT_COPPER_STRENGTH.value.low / 1e6:.0f}",
                )
            )
    return sentences
