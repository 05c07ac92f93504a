"""Dimension lines as a draughtsman draws them: a thin line, a stroke at each end, the length."""

from math import atan2, cos, pi, sin

from tankside.sheets import svg
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


def _words(start: Point, end: Point, words: str, halo: str) -> str:
    """The length above a level line, beside any other; read from below."""
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    rise, run = abs(end[1] - start[1]), abs(end[0] - start[0])
    if rise <= 0.3 * run:
        long_enough = run > 5.0 * len(words)
        at = (middle[0], middle[1] - (2.6 if long_enough else 5.0))
        return svg.text(at, words, size=8, anchor="middle", halo=halo)
    return svg.text((middle[0] + 3.4, middle[1] + 2.8), words, size=8, halo=halo)


def _stroke(at: Point, angle: float, colour: str, reach: float, width: float) -> str:
    across = (reach * cos(angle), reach * sin(angle))
    return svg.line(
        (at[0] - across[0], at[1] - across[1]),
        (at[0] + across[0], at[1] + across[1]),
        colour=colour,
        width=width,
    )
