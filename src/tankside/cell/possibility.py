"""What cannot stand together in a tank: each case refused with a sentence that names both things,
the measure, and what to do.

The order is from the plainest on: something is missing; something is not in the liquid; something
is not in the tank; two things are in one place, or nearer than LEAST_GAP, where neither the
computation nor the plating is to be trusted; the solution falls into pieces.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import Impossible
from tankside.cell.bodies import Gap, Role
from tankside.cell.description import CellDescription
from tankside.cell.flush import FLAT, covered_share
from tankside.cell.polyhedra import ON_PLANE, Facet, cut_below
from tankside.cell.solids import (
    Piece,
    below,
    distance,
    outside,
    overlap,
    pieces_of_solution,
    sides_of,
    wall_distance,
)
from tankside.cell.standing import Standing
from tankside.cell.wording import FLOOR, SURFACE, WALL, length, listed

LEAST_GAP = 1e-3
"""The least distance between two things that do not stand flat together [m]: our choice, so that a
few panels see across it."""

_TOUCH = 1e-6
"""Nearer than this is touching [m]."""

_LEAST_OVERHANG = 1e-3
"""A lining may hang over by this share of its area, which is left out [-]."""

_LEAST_WIRE_GAP = 0.3
"""The least distance of a wire from its own part over the wire's radius [-]."""


def check_complete(description: CellDescription) -> None:
    """There is an anode and a cathode, and every part hangs on something."""
    if not description.anodes:
        cathode = "part 1" if description.parts else "the thief" if description.thieves else "it"
        raise Impossible(f"the cell has no anode to feed {cathode}; hang at least one")
    if not (description.parts or description.thieves):
        raise Impossible("anode 1 faces no cathode; hang a part or a thief")
    if description.parts and not description.contacts:
        raise Impossible("part 1 cannot hang, as the cell has no contact; give it a wire")


def check_hangs(parts: int, held: set[int]) -> None:
    """Every part is held by a contact."""
    for number in range(1, parts + 1):
        if number not in held:
            raise Impossible(
                f"part {number} cannot hang, as no contact holds it "
                f"(contacts hold {listed([f'part {k}' for k in sorted(held)])}); give it a wire"
            )


def check_in_liquid(things: Sequence[Standing], level: float, rim: float) -> None:
    """Parts lie under the liquid; everything else reaches into it; nothing just scrapes by it."""
    for thing in things:
        low, high = (float(corner[2]) for corner in thing.solid.mesh.box)
        if low > level - LEAST_GAP + _TOUCH and thing.role is not Role.PART:
            _refuse_dry(thing, low, level, rim)
        over = high - level
        if thing.role is Role.PART and over > 0:
            raise Impossible(
                f"{thing.name} reaches {length(over)} above the liquid; "
                f"lower it by {length(over + LEAST_GAP)}{_or_fill(high + LEAST_GAP, rim)}"
            )
        if -LEAST_GAP + _TOUCH < over <= (0 if thing.role is Role.PART else -ON_PLANE):
            raise Impossible(
                f"{thing.name} lies only {length(-over)} under the liquid's surface; lower it by "
                f"{length(over + LEAST_GAP)}{_or_fill(high + LEAST_GAP, rim)}"
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
                f"{thing.name} reaches {length(-low)} through {FLOOR}; raise it by {length(-low)}"
            )
        beyond = outside(thing.solid, footprint, rim)
        if beyond > FLAT:
            raise Impossible(
                f"{thing.name} reaches {length(beyond)} beyond {WALL}; "
                f"move it inwards by {length(beyond)}"
            )


def check_overlaps(things: Sequence[Standing]) -> None:
    """No two things in one place."""
    for one, other in combinations(things, 2):
        depth = overlap(one.solid, other.solid)
        if depth > 0:
            raise Impossible(
                f"{one.name} overlaps {other.name} by {length(depth)}; move one of them"
            )


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
        if gap.distance >= LEAST_GAP - _TOUCH or gap.second == SURFACE:
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


def check_pieces(things: Sequence[Standing], footprint: Floats, level: float) -> tuple[float, ...]:
    """Volumes of the pieces of solution [m³], largest first: each has an anode and a cathode."""
    bodies = [thing.solid for thing in things]
    pieces = pieces_of_solution(footprint, level, bodies)
    if not pieces:
        raise Impossible(f"{things[0].name} and {WALL} leave no solution between them")
    if len(pieces) > 1:
        for piece in pieces:
            missing = _missing_in(piece, things, level)
            if missing:
                litres = listed([f"{each.volume * 1e3:.3g} L" for each in pieces])
                raise Impossible(
                    f"{_walls_between(things, footprint, level, len(pieces))} and {WALL} part the "
                    f"solution into {litres}, and the piece of {piece.volume * 1e3:.3g} L has "
                    f"{' and '.join(missing)}; leave an opening"
                )
    return tuple(piece.volume for piece in pieces)


def _missing_in(piece: Piece, things: Sequence[Standing], level: float) -> list[str]:
    roles = [thing.role for thing in things if piece.wets(below(thing.solid, level))]
    without = [] if Role.ANODE in roles else ["no anode"]
    return without + ([] if any(role.is_cathode for role in roles) else ["no cathode"])


def _walls_between(things: Sequence[Standing], footprint: Floats, level: float, pieces: int) -> str:
    """Names of the things without which the solution would be in fewer pieces."""
    bodies = [thing.solid for thing in things]
    guilty = [
        thing.name
        for k, thing in enumerate(things)
        if len(pieces_of_solution(footprint, level, bodies[:k] + bodies[k + 1 :])) < pieces
    ]
    return listed(guilty or [thing.name for thing in things])


def _refuse_dry(thing: Standing, low: float, level: float, rim: float) -> None:
    deeper = low - level + LEAST_GAP
    where = (
        f"hangs {length(low - level)} above the liquid"
        if low > level
        else f"reaches only {length(level - low)} into the liquid"
    )
    raise Impossible(
        f"{thing.name} {where}; lower it by more than {length(deeper)}"
        f"{_or_fill(low + LEAST_GAP, rim, 'to more than')}"
    )


def _or_fill(wanted: float, rim: float, words: str = "to") -> str:
    return f" or fill {words} {length(wanted)}" if wanted <= rim else ""


def _too_near(one: str, other: str, apart: float) -> str:
    if apart < _TOUCH:
        return f"{one} touches {other}; set them at least {length(LEAST_GAP)} apart"
    return (
        f"{one} stands only {length(apart)} from {other}; "
        f"set them at least {length(LEAST_GAP)} apart"
    )


def _too_near_vessel(name: str, place: str, apart: float) -> str:
    return f"{_too_near(name, place, apart)}, or set a flat side of it flat against {place}"


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


def _check_lining(thing: Standing, vessel: Sequence[Facet]) -> None:
    """A lining lies on walls or floor with all that is wet of it."""
    if thing.facets is None:
        return
    if not thing.flat.facets:
        sheet = thing.facets.facets[0]
        heights = [float(np.abs((sheet.outline - w.outline[0]) @ w.normal).max()) for w in vessel]
        if min(heights) <= FLAT:
            raise Impossible(
                f"{thing.name} lines {WALL} or {FLOOR} but turns its face to it; "
                "turn its facing round"
            )
        raise Impossible(
            f"{thing.name} is a lining but lies on neither {WALL} nor {FLOOR}: it is "
            f"{length(min(heights))} off; put it on the plane or give it a thickness"
        )
    level = float(vessel[1].outline[:, 2].max())
    wet = cut_below(thing.facets, level)
    share = covered_share(wet.facets[0], vessel)
    if share < 1 - _LEAST_OVERHANG:
        raise Impossible(
            f"{thing.name} overhangs {WALL}: {1 - share:.1%} of it lies beside; make it smaller"
        )


def _check_flat(thing: Standing, footprint: Floats, level: float) -> None:
    """What stands flat against some places of the vessel keeps off the others."""
    wet = below(thing.solid, level)
    places = []
    if (free := _free_sides(thing, footprint)).size:
        places.append((WALL, wall_distance(wet, free)))
    if 0 not in thing.flat.facets:
        places.append((FLOOR, max(0.0, float(wet.mesh.box[0][2]))))
    for place, apart in places:
        if apart < LEAST_GAP - _TOUCH:
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
            f"{wire.name} runs only {length(apart)} beside {part.name}; "
            "lead it farther off by via points"
        )
