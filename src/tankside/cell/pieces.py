"""Whether the solution hangs together: each of its pieces needs an anode and a cathode."""

from collections.abc import Sequence

from tankside.base.arrays import Floats
from tankside.base.errors import Impossible
from tankside.base.messages import Quantity, said
from tankside.cell.bodies import Role
from tankside.cell.solids import Piece, below, pieces_of_solution
from tankside.cell.standing import Standing
from tankside.cell.wording import WALL


def check_pieces(things: Sequence[Standing], footprint: Floats, level: float) -> tuple[float, ...]:
    """Volumes of the pieces of solution [m³], largest first: each has an anode and a cathode."""
    bodies = [thing.solid for thing in things]
    pieces = pieces_of_solution(footprint, level, bodies)
    if not pieces:
        raise Impossible(
            "{name} and {wall} leave no solution between them", name=things[0].name, wall=WALL
        )
    if len(pieces) > 1:
        for piece in pieces:
            missing = _missing_in(piece, things, level)
            if missing:
                litres = tuple(Quantity(each.volume, "L") for each in pieces)
                raise Impossible(
                    "{things} and {wall} part the solution into {litres}, and the piece of "
                    "{volume} has {missing}; leave an opening",
                    things=_walls_between(things, footprint, level, len(pieces)),
                    wall=WALL,
                    litres=litres,
                    volume=Quantity(piece.volume, "L"),
                    missing=tuple(missing),
                )
    return tuple(piece.volume for piece in pieces)


def _missing_in(piece: Piece, things: Sequence[Standing], level: float) -> list[str]:
    roles = [thing.role for thing in things if piece.wets(below(thing.solid, level))]
    without = [] if Role.ANODE in roles else [said("no anode")]
    return without + ([] if any(role.is_cathode for role in roles) else [said("no cathode")])


def _walls_between(
    things: Sequence[Standing], footprint: Floats, level: float, pieces: int
) -> tuple[str, ...]:
    """Names of the things without which the solution would be in fewer pieces."""
    bodies = [thing.solid for thing in things]
    guilty = [
        thing.name
        for k, thing in enumerate(things)
        if len(pieces_of_solution(footprint, level, bodies[:k] + bodies[k + 1 :])) < pieces
    ]
    return tuple(guilty or [thing.name for thing in things])
