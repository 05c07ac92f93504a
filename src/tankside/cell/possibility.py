"""What cannot stand together in a tank: each case refused with a sentence that names both things,
the measure, and what to do.

The order is from the plainest on: something is missing; something is not in the liquid; something
is not in the tank; two things are in one place. Gaps and pieces of solution are judged elsewhere.
"""

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import Impossible
from tankside.base.messages import said
from tankside.cell.bodies import Role
from tankside.cell.description import CellDescription
from tankside.cell.flush import FLAT, covered_share
from tankside.cell.gaps import LEAST_GAP, TOUCH
from tankside.cell.polyhedra import ON_PLANE, Facet, cut_below
from tankside.cell.solids import outside, overlap
from tankside.cell.standing import Standing
from tankside.cell.wording import FLOOR, WALL, length

_LEAST_OVERHANG = 1e-3
"""A lining may hang over by this share of its area, which is left out [-]."""


def check_complete(description: CellDescription) -> None:
    """There is an anode and a cathode, and every part hangs on something."""
    if not description.anodes:
        cathode = (
            said("part {number}", number=1)
            if description.parts
            else said("the thief")
            if description.thieves
            else said("it")
        )
        raise Impossible(
            "the cell has no anode to feed {cathode}; hang at least one", cathode=cathode
        )
    if not (description.parts or description.thieves):
        raise Impossible("anode 1 faces no cathode; hang a part or a thief")
    if description.parts and not description.contacts:
        raise Impossible("part 1 cannot hang, as the cell has no contact; give it a wire")


def check_hangs(parts: int, held: set[int]) -> None:
    """Every part is held by a contact."""
    for number in range(1, parts + 1):
        if number not in held:
            raise Impossible(
                "part {number} cannot hang, as no contact holds it (contacts hold {held}); give "
                "it a wire",
                number=number,
                held=tuple(said("part {number}", number=k) for k in sorted(held)),
            )


def check_in_liquid(things: Sequence[Standing], level: float, rim: float) -> None:
    """Parts lie under the liquid; everything else reaches into it; nothing just scrapes by it."""
    for thing in things:
        low, high = (float(corner[2]) for corner in thing.solid.mesh.box)
        if low > level - LEAST_GAP + TOUCH and thing.role is not Role.PART:
            _refuse_dry(thing, low, level, rim)
        over = high - level
        if thing.role is Role.PART and over > 0:
            raise Impossible(
                "{thing} reaches {over} above the liquid; lower it by {lower}{or_fill}",
                thing=thing.name,
                over=length(over),
                lower=length(over + LEAST_GAP),
                or_fill=_or_fill(high + LEAST_GAP, rim),
            )
        if -LEAST_GAP + TOUCH < over <= (0 if thing.role is Role.PART else -ON_PLANE):
            raise Impossible(
                "{thing} lies only {over} under the liquid's surface; lower it by {lower}{or_fill}",
                thing=thing.name,
                over=length(-over),
                lower=length(over + LEAST_GAP),
                or_fill=_or_fill(high + LEAST_GAP, rim),
            )


def check_in_tank(
    things: Sequence[Standing], vessel: Sequence[Facet], footprint: Floats, rim: float
) -> None:
    """Nothing passes through floor or wall, up to the rim; linings lie on them."""
    for thing in things:
        if thing.is_lining:
            _check_lining(thing, vessel)
            continue
        low = float(thing.solid.mesh.box[0][2])
        if low < -FLAT:
            raise Impossible(
                "{thing} reaches {low} through {floor}; raise it by {low}",
                thing=thing.name,
                low=length(-low),
                floor=FLOOR,
            )
        beyond = outside(thing.solid, footprint, rim)
        if beyond > FLAT:
            raise Impossible(
                "{thing} reaches {beyond} beyond {wall}; move it inwards by {beyond}",
                thing=thing.name,
                beyond=length(beyond),
                wall=WALL,
            )


def check_overlaps(things: Sequence[Standing]) -> None:
    """No two things in one place."""
    for one, other in combinations(things, 2):
        depth = overlap(one.solid, other.solid)
        if depth > 0:
            raise Impossible(
                "{name} overlaps {other} by {depth}; move one of them",
                name=one.name,
                other=other.name,
                depth=length(depth),
            )


def _refuse_dry(thing: Standing, low: float, level: float, rim: float) -> None:
    deeper = low - level + LEAST_GAP
    place = (
        said("hangs {over} above the liquid", over=length(low - level))
        if low > level
        else said("reaches only {depth} into the liquid", depth=length(level - low))
    )
    fill = said(" or fill to more than {height}", height=length(low + LEAST_GAP))
    raise Impossible(
        "{thing} {place}; lower it by more than {deeper}{or_fill}",
        thing=thing.name,
        place=place,
        deeper=length(deeper),
        or_fill=fill if low + LEAST_GAP <= rim else "",
    )


def _or_fill(wanted: float, rim: float) -> str:
    if wanted > rim:
        return ""
    return said(" or fill to {height}", height=length(wanted))


def _check_lining(thing: Standing, vessel: Sequence[Facet]) -> None:
    """A lining lies on walls or floor with all that is wet of it."""
    if thing.facets is None:
        return
    if not thing.flat.facets:
        sheet = thing.facets.facets[0]
        heights = [float(np.abs((sheet.outline - w.outline[0]) @ w.normal).max()) for w in vessel]
        if min(heights) <= FLAT:
            raise Impossible(
                "{thing} lines {wall} or {floor} but turns its face to it; turn its facing round",
                thing=thing.name,
                wall=WALL,
                floor=FLOOR,
            )
        raise Impossible(
            "{thing} is a lining but lies on neither {wall} nor {floor}: it is {distance} off; put "
            "it on the plane or give it a thickness",
            thing=thing.name,
            wall=WALL,
            floor=FLOOR,
            distance=length(min(heights)),
        )
    level = float(vessel[1].outline[:, 2].max())
    wet = cut_below(thing.facets, level)
    share = covered_share(wet.facets[0], vessel)
    if share < 1 - _LEAST_OVERHANG:
        raise Impossible(
            "{thing} overhangs {wall}: {share:.1%} of it lies beside; make it smaller",
            thing=thing.name,
            wall=WALL,
            share=1 - share,
        )
