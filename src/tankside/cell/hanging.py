"""What hangs on what, in sentences: notes that do not stop a job.

A part's wet weight is its mass less that of the solution it displaces. Soft copper wire starts to
stretch at a few tens of newton per square millimetre.
"""

from collections.abc import Sequence
from math import pi

from tankside.base.constants import STANDARD_GRAVITY_M_PER_S2
from tankside.base.intervals import Interval
from tankside.base.provenance import Evidence, Sourced
from tankside.base.units import shown
from tankside.cell.bodies import Contact, Role
from tankside.cell.description import CellDescription
from tankside.cell.standing import Standing
from tankside.cell.wording import FLOOR, WALL, length, listed

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
    litres = listed([shown(volume, "L") for volume in pieces])
    return [f"the solution stands in {len(pieces)} separate pieces, {litres}"]


def _moved_contacts(contacts: Sequence[Contact]) -> list[str]:
    return [
        f"contact {contact.number} was moved {length(contact.snapped_distance)} onto the surface "
        f"of part {contact.part}"
        for contact in contacts
        if contact.snapped_distance > _SNAPPED
    ]


def _put_flat(things: Sequence[Standing]) -> list[str]:
    sentences = []
    for thing in things:
        if thing.flat.facets and not thing.is_lining:
            places = [FLOOR] * (0 in thing.flat.facets) + [WALL] * any(thing.flat.facets)
            moved = f" (moved {length(thing.flat.moved)})" if thing.flat.moved > _MOVED else ""
            sentences.append(
                f"{thing.name} stands flat against {listed(places)}{moved}: "
                "no current crosses there"
            )
    return sentences


def _hidden_hooks(things: Sequence[Standing], level: float) -> list[str]:
    under = [
        thing.name
        for thing in things
        if thing.role in (Role.ANODE, Role.THIEF) and thing.solid.mesh.box[1][2] < level
    ]
    if not under:
        return []
    hangs = "hangs" if len(under) == 1 else "hang"
    return [
        f"{listed(under)} {hangs} wholly under the liquid; "
        "the hooks above are taken as coated, so that no current crosses them"
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
            lift = shown(-pull / STANDARD_GRAVITY_M_PER_S2, "g")
            sentences.append(f"part {number} floats: it needs more than {lift} of ballast")
        elif wires and (stress := pull / sum(pi / 4 * d**2 for d in wires)) > (
            SOFT_COPPER_STRENGTH.value.low
        ):
            weight = shown(pull / STANDARD_GRAVITY_M_PER_S2, "g")
            sentences.append(
                f"the wires of part {number} are too thin to hold its wet weight of {weight}: "
                f"{stress / 1e6:.0f} N/mm², where soft copper may stretch from "
                f"{SOFT_COPPER_STRENGTH.value.low / 1e6:.0f} N/mm² on"
            )
    return sentences
