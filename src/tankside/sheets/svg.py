"""A small vocabulary for drawings as SVG text, in points, with the house look.

One typeface, which the PDF engine carries with it; ink, a mid grey, a light grey and one accent. A
shape is a string; a drawing joins them. Text is escaped here and nowhere else.
"""

import base64
from collections.abc import Iterable, Sequence
from typing import Literal
from xml.sax.saxutils import escape

from tankside.base.arrays import Floats

FAMILY = "Libertinus Serif, Georgia, Times New Roman, serif"
INK, GREY, PALE, PAPER, ACCENT = "#1d1d26", "#6c6c75", "#d6d5d2", "#ffffff", "#a4491d"
Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]


def drawing(
    width: float, height: float, shapes: Iterable[str], *, title: str, told: str = ""
) -> str:
    """A whole SVG document, `width` by `height` [pt]; `title` is what a screen reader says, and
    `told` what it says besides."""
    more = f"<desc>{escape(told)}</desc>\n" if told else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{number(width)}pt" '
        f'height="{number(height)}pt" viewBox="0 0 {number(width)} {number(height)}" '
        f'font-family="{FAMILY}" role="img">\n<title>{escape(title)}</title>\n{more}'
        + "\n".join(shape for shape in shapes if shape)
        + "\n</svg>\n"
    )


def text(
    at: Point,
    words: str,
    *,
    size: float = 8.5,
    anchor: Anchor = "start",
    colour: str = INK,
    bold: bool = False,
    italic: bool = False,
    halo: str = "",
    upright: bool = False,
) -> str:
    """A line of text with its baseline at `at`; `halo` is the colour of a rim round the letters;
    `upright` text runs upwards, to be read from the right."""
    look = ' font-weight="bold"' if bold else ""
    look += ' font-style="italic"' if italic else ""
    turn = f' transform="rotate(-90 {number(at[0])} {number(at[1])})"' if upright else ""
    place = (
        f'<text x="{number(at[0])}" y="{number(at[1])}" font-size="{number(size)}" '
        f'text-anchor="{anchor}"{look}{turn}'
    )
    under = f'{place} fill="{halo}" stroke="{halo}" stroke-width="2.6" stroke-linejoin="round"'
    shape = f'{place} fill="{colour}">{escape(words)}</text>'
    return f"{under}>{escape(words)}</text>{shape}" if halo else shape


def line(start: Point, end: Point, *, colour: str = INK, width: float = 0.6, dash: str = "") -> str:
    """A straight stroke; `dash` such as "2 2"."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<line x1="{number(start[0])}" y1="{number(start[1])}" x2="{number(end[0])}" '
        f'y2="{number(end[1])}" stroke="{colour}" stroke-width="{number(width)}"{dashes}/>'
    )


def polyline(
    points: Sequence[Point], *, colour: str = INK, width: float = 0.6, dash: str = ""
) -> str:
    """An open run of straight strokes; `dash` such as "2 2"."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    path = " ".join(f"{number(x)},{number(y)}" for x, y in points)
    return (
        f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="{number(width)}"'
        f"{dashes}/>"
    )


def rectangle(
    corner: Point,
    width: float,
    height: float,
    *,
    fill: str = "none",
    stroke: str = "none",
    stroke_width: float = 0.6,
) -> str:
    """An upright rectangle from its upper left corner."""
    return (
        f'<rect x="{number(corner[0])}" y="{number(corner[1])}" width="{number(width)}" '
        f'height="{number(height)}" fill="{fill}" stroke="{stroke}" '
        f'stroke-width="{number(stroke_width)}"/>'
    )


def polygons(
    outlines: Sequence[Sequence[Point] | Floats],
    *,
    fill: str = "none",
    stroke: str = "none",
    stroke_width: float = 0.6,
    dash: str = "",
    opacity: float = 1.0,
) -> str:
    """Closed outlines as one shape; an outline inside another is a hole."""
    path = "".join(
        "M" + "L".join(f"{number(x)} {number(y)}" for x, y in outline) + "Z" for outline in outlines
    )
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    clear = f' fill-opacity="{number(opacity)}"' if opacity < 1 else ""
    return (
        f'<path d="{path}" fill="{fill}" fill-rule="evenodd" stroke="{stroke}" '
        f'stroke-width="{number(stroke_width)}" stroke-linejoin="round"{dashes}{clear}/>'
    )


def circle(
    centre: Point,
    radius: float,
    *,
    fill: str = "none",
    stroke: str = INK,
    stroke_width: float = 0.8,
    dash: str = "",
) -> str:
    """A circle."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<circle cx="{number(centre[0])}" cy="{number(centre[1])}" r="{number(radius)}" '
        f'fill="{fill}" stroke="{stroke}" stroke-width="{number(stroke_width)}"{dashes}/>'
    )


def dots(centres: Iterable[Point], radius: float, *, fill: str) -> str:
    """Many full circles of one size as one shape: strokes of no length with round ends."""
    path = "".join(f"M{number(x)} {number(y)}h.01" for x, y in centres)
    if not path:
        return ""
    return (
        f'<path d="{path}" fill="none" stroke="{fill}" stroke-width="{number(2 * radius)}" '
        f'stroke-linecap="round"/>'
    )


def image(corner: Point, width: float, height: float, png: bytes) -> str:
    """A picture in PNG form, laid into the drawing."""
    data = base64.b64encode(png).decode("ascii")
    return (
        f'<image x="{number(corner[0])}" y="{number(corner[1])}" width="{number(width)}" '
        f'height="{number(height)}" href="data:image/png;base64,{data}"/>'
    )


def upright_gradient(corner: Point, width: float, height: float, colours: Sequence[str]) -> str:
    """A rectangle that runs through `colours` from top to bottom."""
    last = len(colours) - 1
    stops = "".join(
        f'<stop offset="{number(100 * k / last)}%" stop-color="{colour}"/>'
        for k, colour in enumerate(colours)
    )
    return (
        f'<defs><linearGradient id="ramp" x1="0" y1="0" x2="0" y2="1">{stops}</linearGradient>'
        f"</defs>" + rectangle(corner, width, height, fill="url(#ramp)")
    )


def moved(shift: Point, shapes: Iterable[str]) -> str:
    """Shapes as one group, shifted."""
    return (
        f'<g transform="translate({number(shift[0])} {number(shift[1])})">'
        + "".join(shapes)
        + "</g>"
    )


def told(shapes: Iterable[str], title: str, **data: str) -> str:
    """Shapes as one group that says what it is; `data` is for programs that read the drawing."""
    kept = "".join(
        f' data-{key.replace("_", "-")}="{escape(value)}"' for key, value in data.items()
    )
    return f"<g{kept}><title>{escape(title)}</title>" + "".join(shapes) + "</g>"


def hatching(name: str, *, step: float = 4.0, width: float = 0.5, ground: str = "none") -> str:
    """The pattern `name` of slanting strokes, to fill with as url(#name)."""
    return (
        f'<defs><pattern id="{name}" width="{number(step)}" height="{number(step)}" '
        f'patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        f'<rect width="{number(step)}" height="{number(step)}" fill="{ground}"/>'
        f'<line x1="0" y1="0" x2="0" y2="{number(step)}" stroke="{INK}" '
        f'stroke-width="{number(width)}"/></pattern></defs>'
    )


def number(value: float) -> str:
    """A coordinate with a hundredth of a point, the same on every machine."""
    short = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if short == "-0" else short
