"""Lengths beside a view, packed into tracks: a line with a stroke at each end, its number on it.

A number that is wider than its length stands beyond its end. Nothing in one track overlaps; the
nearest track that is free takes a length, the lowest order first. Lengths that would need more than
`MOST_TRACKS` are left to the tables.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tankside.sheets import svg
from tankside.sheets.rig.lengths import Length, Side
from tankside.sheets.rig.lettering import SMALL, ruled_length, width_of
from tankside.sheets.rig.views import AIR, Placed
from tankside.sheets.svg import Point

TRACK, FIRST = 11.5, 12.0
"""From track to track, and from the view to the first [pt]."""
MOST_TRACKS = 7
_PAD, _STROKE, _BEYOND = 3.0, 2.4, 2.0


@dataclass(frozen=True, kw_only=True)
class Track:
    """A length in its track: number of the track from 0, its ends along the paper's axis, and the
    middle of its number there [pt]."""

    length: Length
    track: int
    low: float
    high: float
    middle: float


def packed(lengths: Iterable[Length], placed: Placed, side: Side) -> tuple[Track, ...]:
    """The lengths of one side of a view, in tracks."""
    mine = [one for one in lengths if one.view is placed.view and one.side is side]
    taken: list[list[tuple[float, float]]] = []
    found: list[Track] = []
    for one in sorted(mine, key=lambda each: (each.order, each.value)):
        low, high = sorted(float(placed.on_paper(end)[side.along]) for end in (one.start, one.end))
        wide = width_of(ruled_length(one.value), SMALL)
        for number in range(MOST_TRACKS):
            if number == len(taken):
                taken.append([])
            place = _middle(low, high, wide, taken[number], side)
            if place is not None:
                middle, span = place
                taken[number].append(span)
                found.append(Track(length=one, track=number, low=low, high=high, middle=middle))
                break
    return tuple(found)


def _middle(
    low: float, high: float, wide: float, taken: Sequence[tuple[float, float]], side: Side
) -> tuple[float, tuple[float, float]] | None:
    """Where the number goes, and what the whole takes; None where there is no room."""
    if high - low >= wide + _PAD:
        places = [((low + high) / 2, (low, high))]
    else:
        after = (high + _PAD + wide / 2, (low, high + _PAD + wide))
        before = (low - _PAD - wide / 2, (low - _PAD - wide, high))
        places = [after, before] if side.along == 0 else [before, after]
    for middle, (start, end) in places:
        if all(end + _PAD <= left or start - _PAD >= right for left, right in taken):
            return middle, (start, end)
    return None


def room(tracks: Sequence[Track]) -> float:
    """How far the tracks of one side reach from the view [pt]."""
    return FIRST + TRACK * (1 + max(one.track for one in tracks)) if tracks else 0.0


def overhang(tracks: Sequence[Track], low: float, high: float) -> tuple[float, float]:
    """How far numbers reach beyond the view's ends along the tracks [pt]."""
    halves = [(one.middle, width_of(ruled_length(one.length.value), SMALL) / 2) for one in tracks]
    before = max((low - (middle - half) for middle, half in halves), default=0.0)
    after = max((middle + half - high for middle, half in halves), default=0.0)
    return max(before, 0.0), max(after, 0.0)


def thin_lines(tracks: Iterable[Track], placed: Placed, side: Side) -> list[str]:
    """From what is measured out to the tracks; drawn under everything else."""
    shapes = []
    for one in tracks:
        off = _off(placed, side, one.track)
        beyond = off + (_BEYOND if side in (Side.RIGHT, Side.BOTTOM) else -_BEYOND)
        for end in (one.length.start, one.length.end):
            x, y = (float(value) for value in placed.on_paper(end))
            over = (x, beyond) if side.along == 0 else (beyond, y)
            shapes.append(svg.line((x, y), over, colour=svg.GREY, width=0.3))
    return shapes


def drawn(tracks: Iterable[Track], placed: Placed, side: Side) -> list[str]:
    """Each length as a group that says what it is, in metres besides."""
    shapes = []
    for one in tracks:
        off = _off(placed, side, one.track)
        ends = [_at(side, place, off) for place in (one.low, one.high)]
        at = _at(side, one.middle, off)
        words = ruled_length(one.length.value)
        upright = side.along == 1
        base = (at[0] - 2.0, at[1]) if upright else (at[0], at[1] - 2.0)
        shapes.append(
            named(
                one.length,
                [
                    svg.line(*ends, width=0.4),
                    *strokes(*ends),
                    svg.text(
                        base, words, size=SMALL, anchor="middle", halo=svg.PAPER, upright=upright
                    ),
                ],
            )
        )
    return shapes


def named(length: Length, shapes: Iterable[str]) -> str:
    """A length's shapes as a group that says what it is."""
    return svg.told(
        shapes,
        f"{length.what}: {ruled_length(length.value)}",
        length_m=f"{length.value:.6f}",
        view=length.view.name.lower(),
        side=length.side.value,
    )


def strokes(start: Point, end: Point) -> list[str]:
    """The slanting strokes at the ends of a length."""
    return [
        svg.line((x - _STROKE, y + _STROKE), (x + _STROKE, y - _STROKE), width=0.7)
        for x, y in (start, end)
    ]


def _at(side: Side, along: float, off: float) -> Point:
    return (along, off) if side.along == 0 else (off, along)


def _off(placed: Placed, side: Side, track: int) -> float:
    """A track's place across [pt]."""
    away = FIRST + TRACK * track
    air = AIR if placed.view.upright else 0.0
    return {
        Side.LEFT: placed.corner[0] - away,
        Side.RIGHT: placed.corner[0] + placed.width + away,
        Side.TOP: placed.corner[1] - air - away,
        Side.BOTTOM: placed.corner[1] + placed.height + away,
    }[side]


def ends_on_paper(length: Length, placed: Placed) -> tuple[Point, Point]:
    """A length between things: its ends on the paper."""
    first, second = (placed.on_paper(end) for end in (length.start, length.end))
    return (float(first[0]), float(first[1])), (float(second[0]), float(second[1]))
