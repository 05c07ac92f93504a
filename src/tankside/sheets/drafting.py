"""Dimension lines as a draughtsman draws them: a thin line, a stroke at each end, the length."""

from math import atan2, cos, hypot, pi, sin

from tankside.sheets import svg
from tankside.sheets.labels import Box
from tankside.sheets.svg import Point

_STROKE = 2.6


def dimension(
    start: Point,
    end: Point,
    words: str,
    *,
    colour: str = svg.GREY,
    extended: bool = False,
    halo: str = "",
) -> list[str]:
    """A dimension from `start` to `end` [pt]; `extended` adds the short lines square to it that
    tie an outside dimension to what it measures; `halo` is the colour of the ground."""
    angle = atan2(end[1] - start[1], end[0] - start[0])
    shapes = [svg.line(start, end, colour=colour, width=0.5)]
    shapes += [_stroke(point, angle + pi / 4, colour, _STROKE, 0.9) for point in (start, end)]
    if extended:
        shapes += [_stroke(point, angle + pi / 2, colour, 4.0, 0.4) for point in (start, end)]
    return [*shapes, _words(start, end, words, halo)]


def occupied(start: Point, end: Point, words: str) -> list[Box]:
    """Boxes [pt] that together cover a dimension: along the line, and round its length."""
    steps = max(1, int(hypot(end[0] - start[0], end[1] - start[1]) / 4))
    along = [
        (
            start[0] + (end[0] - start[0]) * k / steps,
            start[1] + (end[1] - start[1]) * k / steps,
        )
        for k in range(steps + 1)
    ]
    (x, y), anchor = _words_at(start, end, words)
    width = 4.2 * len(words)
    left = x - width / 2 if anchor == "middle" else x
    return [
        Box(left - 1.0, y - 8.0, width + 2.0, 10.0),
        *(Box(point[0] - 2.5, point[1] - 2.5, 5.0, 5.0) for point in along),
    ]


def _words(start: Point, end: Point, words: str, halo: str) -> str:
    """The length, with a halo where the ground is not white."""
    at, anchor = _words_at(start, end, words)
    return svg.text(at, words, size=8, anchor=anchor, halo=halo)


def _words_at(start: Point, end: Point, words: str) -> tuple[Point, svg.Anchor]:
    """Above a level line, beside any other; read from below."""
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    rise, run = abs(end[1] - start[1]), abs(end[0] - start[0])
    if rise <= 0.3 * run:
        long_enough = run > 5.0 * len(words)
        return (middle[0], middle[1] - (2.6 if long_enough else 5.0)), "middle"
    return (middle[0] + 3.4, middle[1] + 2.8), "start"


def _stroke(at: Point, angle: float, colour: str, reach: float, width: float) -> str:
    across = (reach * cos(angle), reach * sin(angle))
    return svg.line(
        (at[0] - across[0], at[1] - across[1]),
        (at[0] + across[0], at[1] + across[1]),
        colour=colour,
        width=width,
    )
