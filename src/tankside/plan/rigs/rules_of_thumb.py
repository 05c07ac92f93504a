"""The usual rules beside the computed answer, for this part in this tank.

The rules are common practice and have no source: so much current per area, an anode at twice the
part's area, the same distance all around, an anode no nearer than the part is wide. Each is put in
numbers for this job, and the rig that they make together is evaluated like any other. What the
rules then promise is the mean by Faraday's law over the area; what the part gets is computed.
"""

from dataclasses import dataclass, replace
from math import pi

import numpy as np

from tankside.base.messages import Quantity, said
from tankside.cell.description import CellDescription, Plate
from tankside.field.deposit import THICKNESS_PER_CHARGE
from tankside.plan.rigs.figures import RigFigures, RigResult
from tankside.plan.rigs.freedom import CLEARANCE, tank_box
from tankside.plan.rigs.rig import Rig, box_of, mesh_of, middle_of, settable

RULE_CURRENT_DENSITY = 200.0
"""Current per area of what is plated [A m⁻²], 2 A/dm²: common practice, no source."""

RULE_ANODE_RATIO = 2.0
"""Anode area over the part's [-]: common practice, no source."""

RULE_DISTANCE = 0.10
"""Distance from anode to part [m] where the tank allows: common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleSaid:
    """One rule: what it says in general, what it would set for this job, and what is computed."""

    rule: str
    rule_sets: str
    computed: str


def rule_current(description: CellDescription) -> float:
    """Current by area over all parts [A]."""
    return RULE_CURRENT_DENSITY * sum(mesh_of(part).area for part in description.parts)


def rule_rig(own: Rig) -> Rig:
    """The person's parts in the middle of the tank, between two sheets at equal distance whose
    area is twice the parts' together, one face counted; contacts as they are."""
    description = own.description
    low, high = tank_box(description.tank)
    boxes = [box_of(part) for part in description.parts]
    least = np.min([box[0] for box in boxes], axis=0)
    most = np.max([box[1] for box in boxes], axis=0)
    room = (high - low) / 2
    along = int(room.argmax())
    half = float(most[along] - least[along]) / 2
    reach = float(room[along]) - CLEARANCE - 0.003
    out = max(half + 0.02, min(half + RULE_DISTANCE, reach))
    area = RULE_ANODE_RATIO * sum(mesh_of(part).area for part in description.parts) / 2
    wide = min(area**0.5, 2 * (float(room[1 - along]) - CLEARANCE))
    tall = min(area / wide, description.liquid_depth - 2 * CLEARANCE)
    middle = (least + most) / 2
    height = min(max(float(middle[2]), tall / 2 + CLEARANCE), description.liquid_depth - tall / 2)
    sheets = []
    for side in (-1.0, 1.0):
        way = np.zeros(3)
        way[along] = side
        place = np.append((low + high) / 2, height) + out * way
        x, y, z = (-way).tolist()
        sheets.append(Plate(size=(wide, tall), at=settable(place), facing=(x, y, z)))
    shifted = _centred(description, np.append((low + high) / 2, middle[2]) - middle)
    return Rig(description=replace(shifted, anodes=tuple(sheets), shields=(), thieves=()))


def rules_confronted(
    own: Rig, own_figures: RigFigures, by_rules: RigResult, thickness: float
) -> tuple[RuleSaid, ...]:
    """Each rule beside what is computed for it; `by_rules` is what came of the rule's rig at the
    rule's current, over the hours that the rules give for a `thickness` [m]."""
    description = own.description
    area = sum(mesh_of(part).area for part in description.parts)
    current = rule_current(description)
    found = [
        RuleSaid(
            rule=said("so much current per area"),
            rule_sets=said(
                "{rule_current_density} on {area} give {current}",
                rule_current_density=Quantity(RULE_CURRENT_DENSITY, "A/dm^2"),
                area=Quantity(area, "dm^2"),
                current=Quantity(current, "A"),
            ),
            computed=said(
                "your rig bears {current}: {limited_by}",
                current=Quantity(own_figures.current, "A"),
                limited_by=own_figures.limited_by,
            ),
        )
    ]
    hours = thickness / (RULE_CURRENT_DENSITY * THICKNESS_PER_CHARGE) / 3600
    promised = 1e6 * thickness
    figures = by_rules.figures
    if figures is None:
        computed = said(
            "the rig that the rules make cannot be: {refusal}", refusal=by_rules.refusal
        )
    else:
        thin, mean = (
            1e6 * 3600 * hours * rate for rate in (figures.thinnest_rate, figures.mean_rate)
        )
        computed = said(
            "{mean} in the mean and {thin} at the thinnest place, {more} % of the "
            "promise; {burning_fraction} % of the area burns and {rough_fraction} % "
            "roughens",
            mean=Quantity(1e-6 * mean, "um"),
            thin=Quantity(1e-6 * thin, "um"),
            more=f"{100 * (thin / promised - 1):+.0f}",
            burning_fraction=Quantity(100 * figures.burning_fraction, digits=2),
            rough_fraction=Quantity(100 * figures.rough_fraction, digits=2),
        )
    found.append(
        RuleSaid(
            rule=said("hours by Faraday's law from the mean"),
            rule_sets=said(
                "{promised} everywhere after {time}",
                promised=Quantity(1e-6 * promised, "um"),
                time=Quantity(3600.0 * hours, "h"),
            ),
            computed=computed,
        )
    )
    found += [anode_area_rule(description, area), equal_distances_rule(description)]
    return tuple(found)


def anode_area_rule(description: CellDescription, area: float) -> RuleSaid:
    """Anode faces against the parts' `area` [m²]."""
    have = sum(_face(shape) for shape in description.anodes)
    return RuleSaid(
        rule=said("anode area twice the part's"),
        rule_sets=said("{wanted} of anode faces", wanted=Quantity(RULE_ANODE_RATIO * area, "dm^2")),
        computed=said(
            "your anodes face the part with {have}, {times} times its area",
            have=Quantity(have, "dm^2"),
            times=Quantity(have / area, digits=2),
        ),
    )


def equal_distances_rule(description: CellDescription) -> RuleSaid:
    """How far the anodes hang from the parts' middle."""
    middle = np.mean([middle_of(part) for part in description.parts], axis=0)
    ways = tuple(
        Quantity(float(np.linalg.norm((np.array(shape.at) - middle)[:2])), "cm")
        for shape in description.anodes
        if hasattr(shape, "at")
    )
    return RuleSaid(
        rule=said("anodes at equal distance all around"),
        rule_sets=said("the same distance from the part's middle"),
        computed=said("yours hang at {distances}", distances=ways or said("no place")),
    )


def _face(shape: object) -> float:
    """Area of what faces the part [m²]: one face of a sheet or basket, half of a rod."""
    size = getattr(shape, "size", None)
    if size is None:
        return pi * getattr(shape, "diameter", 0.0) * getattr(shape, "length", 0.0) / 2
    return float(size[-2] * size[-1])


def _centred(
    description: CellDescription, shift: np.ndarray[tuple[int], np.dtype[np.float64]]
) -> CellDescription:
    x, y, z = shift.tolist()

    def moved(point: tuple[float, float, float]) -> tuple[float, float, float]:
        return point[0] + x, point[1] + y, point[2] + z

    return replace(
        description,
        parts=tuple(replace(part, at=moved(part.at)) for part in description.parts),
        contacts=tuple(
            replace(contact, near=moved(contact.near), via=()) for contact in description.contacts
        ),
    )
