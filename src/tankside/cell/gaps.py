"""How far things stand from each other in the solution, and what stands too near.

Nearer than LEAST_GAP neither the computation nor the plating is to be trusted, so it is refused
with a sentence that names both things; a wire keeps off its own part by a share of its radius, and
what stands flat against the vessel may do so.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import Impossible
from tankside.base.messages import said
from tankside.cell.bodies import Gap, Role
from tankside.cell.solids import below, distance, sides_of, wall_distance
from tankside.cell.standing import Standing
from tankside.cell.wording import FLOOR, SURFACE, WALL, length

LEAST_GAP = 1e-3
"""The least distance between two things that do not stand flat together [m]: our choice, so that a
few panels see across it."""

TOUCH = 1e-6
"""Nearer than this is touching [m]."""

_LEAST_WIRE_GAP = 0.3
"""The least distance of a wire from its own part over the wire's radius [-]."""


def gaps(things: Sequence[Standing], footprint: Floats, level: float) -> tuple[Gap, ...]:
    """The wet gaps between every two things, and to floor, walls and surface, narrowest first; a
    wire's to its own part is left out."""
    found = [*_gaps_between(things, level), *_gaps_to_vessel(things, footprint, level)]
    return tuple(sorted(found, key=lambda gap: (gap.distance, gap.first, gap.second)))


def check_gaps(
    things: Sequence[Standing], found: Sequence[Gap], footprint: Floats, level: float
) -> None:
    """No two things touch or nearly do; a wire keeps off its own part by a share of its radius."""
    flat = {thing.name: thing for thing in things if thing.flat.facets}
    for gap in found:
        if gap.distance >= LEAST_GAP - TOUCH or gap.second == SURFACE:
            continue
        if gap.second not in (WALL, FLOOR):
            raise Impossible(_too_near(gap.first, gap.second, gap.distance))
        if gap.first not in flat:
            raise Impossible(_too_near_vessel(gap.first, gap.second, gap.distance))
    for thing in flat.values():
        if not thing.is_lining:
            _check_flat(thing, footprint, level)
    for wire in (thing for thing in things if thing.holds is not None):
        _check_off_part(wire, next(t for t in things if _own(wire, t)))


def _too_near(one: str, other: str, apart: float) -> str:
    if apart < TOUCH:
        return said(
            "{one} touches {other}; set them at least {least} apart",
            one=one,
            other=other,
            least=length(LEAST_GAP),
        )
    return said(
        "{one} stands only {apart} from {other}; set them at least {least} apart",
        one=one,
        other=other,
        apart=length(apart),
        least=length(LEAST_GAP),
    )


def _too_near_vessel(name: str, place: str, apart: float) -> str:
    return said(
        "{fault}, or set a flat side of it flat against {place}",
        fault=_too_near(name, place, apart),
        place=place,
    )


def _gaps_between(things: Sequence[Standing], level: float) -> Iterator[Gap]:
    wet = [below(thing.solid, level) for thing in things]
    for (one, first), (other, second) in combinations(zip(things, wet, strict=True), 2):
        if not _own(one, other):
            yield Gap(first=one.name, second=other.name, distance=distance(first, second))


def _own(one: Standing, other: Standing) -> bool:
    """True for a wire and the part that it holds."""
    return any(
        wire.holds == part.number and part.role is Role.PART
        for wire, part in ((one, other), (other, one))
    )


def _gaps_to_vessel(things: Sequence[Standing], footprint: Floats, level: float) -> Iterator[Gap]:
    """To wall and floor, and to the liquid's surface from what lies wholly under it."""
    for thing in things:
        wet = below(thing.solid, level)
        low, high = (float(corner[2]) for corner in wet.mesh.box)
        walls = 0.0 if set(thing.flat.facets) - {0} else wall_distance(wet, sides_of(footprint))
        yield Gap(first=thing.name, second=WALL, distance=walls)
        yield Gap(first=thing.name, second=FLOOR, distance=max(low, 0.0))
        if high < level:
            yield Gap(first=thing.name, second=SURFACE, distance=level - high)


def _check_flat(thing: Standing, footprint: Floats, level: float) -> None:
    """What stands flat against some places of the vessel keeps off the others."""
    wet = below(thing.solid, level)
    places = []
    if (free := _free_sides(thing, footprint)).size:
        places.append((WALL, wall_distance(wet, free)))
    if 0 not in thing.flat.facets:
        places.append((FLOOR, max(0.0, float(wet.mesh.box[0][2]))))
    for place, apart in places:
        if apart < LEAST_GAP - TOUCH:
            raise Impossible(_too_near_vessel(thing.name, place, apart))


def _free_sides(thing: Standing, footprint: Floats) -> Floats:
    """The walls in the plan view (n, 2, 2) [m] that a thing does not stand flat against; left out
    are those that fall back from such a wall, round a corner that juts into the tank."""
    sides = sides_of(footprint)
    along = sides[:, 1] - sides[:, 0]
    before = np.roll(along, 1, axis=0)
    juts = before[:, 0] * along[:, 1] - before[:, 1] * along[:, 0] < 0
    flat = np.isin(np.arange(1, len(sides) + 1), thing.flat.facets)
    hidden = (juts & np.roll(flat, 1)) | np.roll(juts & flat, -1)
    free: Floats = sides[~(flat | hidden)]
    return free


def _check_off_part(wire: Standing, part: Standing) -> None:
    apart = distance(wire.solid, part.solid)
    if wire.tube is not None and apart < _LEAST_WIRE_GAP * wire.tube.diameter / 2:
        raise Impossible(
            "{wire} runs only {apart} beside {part}; lead it farther off by via points",
            wire=wire.name,
            apart=length(apart),
            part=part.name,
        )
