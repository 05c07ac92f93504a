"""Assembles a cell: from what a person says to closed bodies with panels.

Values are checked, things are stood in the tank, contacts are snapped and wires led up, everything
that cannot be is refused, and what is wet is panelled. The volume of solution follows from the
surfaces alone, by the divergence theorem with the liquid's surface as its lid.
"""

from collections.abc import Sequence

import numpy as np

from tankside.base.messages import said
from tankside.base.progress import Progress, silent
from tankside.cell.bodies import Body, Cell, Contact, Role
from tankside.cell.contacts import Place, snapped
from tankside.cell.description import CellDescription, ContactSpec, PanelBudget
from tankside.cell.gaps import LEAST_GAP, check_gaps, gaps
from tankside.cell.hanging import notes
from tankside.cell.held import check_all_held
from tankside.cell.nearness import Nearness
from tankside.cell.pieces import check_pieces
from tankside.cell.polyhedra import footprint, tank_height, vessel_facets
from tankside.cell.possibility import (
    check_complete,
    check_hangs,
    check_in_liquid,
    check_in_tank,
    check_overlaps,
)
from tankside.cell.routes import Surroundings, routed
from tankside.cell.standing import Standing, things, wire
from tankside.cell.surfaces import wet_surfaces
from tankside.cell.values import check_values
from tankside.part.mesh import TriangleMesh

DEFAULT_PANELS = PanelBudget()
"""About 3000 to 4000 panels beside the parts' own."""


def assembled(
    description: CellDescription,
    *,
    panels: PanelBudget = DEFAULT_PANELS,
    progress: Progress = silent,
) -> Cell:
    """The cell of a description.

    panels    about how many panels vessel, anodes, wires and the rest may have
    raises    BadInput for values that cannot be, with where they stand; Impossible, with a sentence
              that names both things, for what cannot stand together
    """
    check_values(description, panels)
    check_complete(description)
    level, tank = description.liquid_depth, description.tank
    floor, rim = footprint(tank), tank_height(tank)
    vessel = vessel_facets(floor, level)
    progress("standing things in the tank", 0.0)
    bodies = things(description, vessel)
    check_in_liquid(bodies, level, rim)
    check_in_tank(bodies, vessel, floor, rim)
    check_overlaps(bodies)
    progress("leading the wires", 0.2)
    wires, contacts = _wired(description.contacts, bodies, level)
    check_hangs(len(description.parts), {contact.part for contact in contacts})
    standing = (*bodies, *wires)
    check_all_held(bodies, contacts)
    check_in_tank(wires, vessel, floor, rim)
    check_overlaps(standing)
    progress("measuring gaps", 0.4)
    found = gaps(standing, floor, level)
    check_gaps(standing, found, floor, level)
    pieces = check_pieces(standing, floor, level)
    progress("laying panels", 0.6)
    shell, skins = wet_surfaces(standing, vessel, level, panels)
    progress("laying panels", 1.0)
    return Cell(
        bodies=_ordered(shell, standing, skins),
        liquid_level=level,
        solution_volume=enclosed_volume([shell, *skins], level),
        notes=notes(description, standing, contacts, level, pieces),
        contacts=contacts,
        gaps=found,
        description=description,
    )


def enclosed_volume(surfaces: Sequence[TriangleMesh], level: float) -> float:
    """Volume of solution that surfaces with normals into it enclose under z = level [m³]."""
    return -sum(
        float(np.einsum("ij,ij->", mesh.centroids - [0.0, 0.0, level], mesh.area_vectors)) / 3
        for mesh in surfaces
    )


def _wired(
    specs: Sequence[ContactSpec], bodies: Sequence[Standing], level: float
) -> tuple[tuple[Standing, ...], tuple[Contact, ...]]:
    """The wires and the contacts, both in the contacts' order; insulated wires count as shields."""
    parts = [body for body in bodies if body.role is Role.PART]
    shields = sum(body.role is Role.SHIELD for body in bodies)
    wires: list[Standing] = []
    contacts: list[Contact] = []
    for number, spec in enumerate(specs, 1):
        name = said("contact {number}", number=number)
        place = snapped(spec, name, [part.solid for part in parts], level)
        part = parts[place.part - 1]
        around = _around(part, [*bodies, *wires], level)
        tube = routed(spec, name, place, around)
        shields += spec.insulated
        role, own = (Role.SHIELD, shields) if spec.insulated else (Role.WIRE, number)
        wires.append(wire(role, own, said("the wire of {name}", name=name), tube, place.part))
        contacts.append(_contact(number, spec, place, own, tube.length))
    return tuple(wires), tuple(contacts)


def _around(part: Standing, bodies: Sequence[Standing], level: float) -> Surroundings:
    low, high = part.solid.mesh.box
    return Surroundings(
        part=part.solid.nearness,
        part_size=float(np.linalg.norm(high - low)),
        others=Nearness.to_meshes([body.solid.mesh for body in bodies if body is not part]),
        least_gap=LEAST_GAP,
        level=level,
    )


def _contact(number: int, spec: ContactSpec, place: Place, wire: int, wet_length: float) -> Contact:
    return Contact(
        number=number,
        part=place.part,
        position=place.position,
        normal=place.normal,
        triangle=place.triangle,
        vertex=place.vertex,
        wire=wire,
        insulated=spec.insulated,
        wire_diameter=spec.wire_diameter,
        wet_length=wet_length,
        snapped_distance=place.distance,
    )


def _ordered(
    shell: TriangleMesh, standing: Sequence[Standing], skins: Sequence[TriangleMesh]
) -> tuple[Body, ...]:
    """The vessel first, then by role and number."""
    bodies = [Body(role=Role.VESSEL, number=1, name="the tank", surface=shell)]
    for thing, skin in zip(standing, skins, strict=True):
        bodies.append(
            Body(
                role=thing.role,
                number=thing.number,
                name=thing.name,
                surface=skin,
                coat=thing.coat,
            )
        )
    order = list(Role)
    return tuple(sorted(bodies, key=lambda body: (order.index(body.role), body.number)))
