"""Looks that are drawn features of their own: cracks, curls, flakes, trees, a lacquer's gloss."""

from collections.abc import Mapping
from math import cos, pi, sin

from tankside.base.messages import said
from tankside.sheets import svg
from tankside.sheets.faults import palette as p
from tankside.sheets.faults.looks import Look, along, dots
from tankside.sheets.faults.region import Region, blob, round_outline
from tankside.sheets.faults.scene import arrow, filled
from tankside.sheets.svg import Point


def wiped(region: Region) -> list[str]:
    """A clean stroke where a tissue went over."""
    _, top, right, bottom = region.box
    tissue = [
        (right - 8, top - 6),
        (right + 26, top - 12),
        (right + 30, bottom + 4),
        (right - 4, bottom + 8),
    ]
    return [
        filled(region, p.COPPER, stroke="none"),
        svg.polygons([tissue], fill=svg.PAPER, stroke=svg.INK),
        *dots(Region(outline=tuple(tissue)), 4.0, 0.9, p.BURNT),
    ]


def cracks(region: Region) -> list[str]:
    """Hairlines that branch."""
    left, top, right, bottom = region.box
    wide, high = right - left, bottom - top
    lines = [
        [(0.0, 0.25), (0.2, 0.35), (0.35, 0.28), (0.55, 0.45), (0.72, 0.4), (1.0, 0.6)],
        [(0.35, 0.28), (0.42, 0.05), (0.5, 0.0)],
        [(0.55, 0.45), (0.5, 0.7), (0.6, 0.85), (0.56, 1.0)],
        [(0.2, 0.35), (0.15, 0.6), (0.28, 0.8)],
    ]
    return [
        svg.polyline([(left + x * wide, top + y * high) for x, y in one], colour=svg.INK, width=1.2)
        for one in lines
    ]


def snapped(region: Region) -> list[str]:
    """Open cracks across a bend."""
    shapes = []
    for x, y, u, v in ((92, 27, 89, 41), (104, 31, 97, 44), (113, 45, 98, 50), (112, 58, 99, 58)):
        wedge = [(x - 2.2, y - 1.5), (u, v), (x + 2.2, y + 1.5)]
        shapes.append(svg.polygons([wedge], fill=svg.PAPER, stroke=svg.INK, stroke_width=0.7))
    return shapes


def curl(region: Region) -> list[str]:
    """A corner that curls off."""
    left, top, right, bottom = region.box
    flap = [(left, bottom), (right, top), (left + 4, top + 4)]
    return [filled(region, p.COAT), svg.polygons([flap], fill=p.COPPER_LIGHT, stroke=svg.INK)]


def spots(region: Region) -> list[str]:
    """Brown and green spots."""
    shapes = []
    for point, number in region.spread(13.0):
        colour = p.GREEN if number > 0.55 else p.COPPER_DARK
        shapes.append(svg.polygons([blob(point, 2.2 + 2.2 * number, number)], fill=colour))
    return shapes


def lacquer(region: Region) -> list[str]:
    """A gloss over everything."""
    left, top, right, _ = region.box
    band = [(left + 8, top + 4), (left + 20, top + 4), (left + 6, top + 30), (left + 3, top + 22)]
    clear = svg.polygons(
        [[(x + d, y + e) for (x, y), (d, e) in zip(region.outline, _OUT, strict=True)]],
        stroke=svg.ACCENT, dash="3 2", stroke_width=1.0,
    )  # fmt: skip
    return [svg.polygons([band], fill=svg.PAPER, opacity=0.75), clear,
            svg.text((right + 12, top + 40), said("lacquer"), size=8,
                     colour=svg.ACCENT)]  # fmt: skip


_OUT = ((-3.0, -3.0), (3.0, -3.0), (3.0, 3.0), (-3.0, 3.0))


def tarnish(region: Region) -> list[str]:
    """Brown and rainbow bands, and a finger's print."""
    left, top, right, bottom = region.box
    shapes = []
    for k, colour in enumerate(("#a9713d", "#8c4f6c", "#5a6ea6", "#5f9a8c", "#c2a24e")):
        y = top + 6 + 9 * k
        points = [(left + x, y + 5 * sin(x / 14.0)) for x in range(1, int(right - left), 3)]
        shapes.append(svg.polyline(points, colour=colour, width=6.0))
    x, y = right - 22, bottom - 20
    for k in range(1, 6):
        ring = round_outline((x, y), 2.3 * k, 3.0 * k)
        shapes.append(svg.polygons([ring], stroke=p.BURNT, stroke_width=0.8))
    return shapes


def flakes(region: Region) -> list[str]:
    """Loose flakes that stand off."""
    shapes = []
    for (x, y), number in region.spread(11.0):
        flake = [(x - 4, y + 1), (x - 1, y - 4 - 2 * number), (x + 4, y - 2), (x + 2, y + 2)]
        shapes.append(svg.polygons([flake], fill=p.COPPER_LIGHT, stroke=svg.INK, stroke_width=0.6))
    return shapes


def etched(region: Region) -> list[str]:
    """Matt and eaten: hollows along the edge, a former outline."""
    left, top, right, bottom = region.box
    shapes = [filled(region, p.DULL, stroke=svg.INK), *dots(region, 3.0, 0.9, p.COPPER_DARK)]
    for k in range(7):
        y = top + (k + 0.5) * (bottom - top) / 7
        for x in (left, right):
            shapes.append(svg.circle((x, y), 2.4, fill=p.LIQUID_PALE, stroke="none"))
    outline = [
        (left - 3, top - 3),
        (right + 3, top - 3),
        (right + 3, bottom + 3),
        (left - 3, bottom + 3),
    ]
    return [*shapes, svg.polygons([outline], stroke=svg.INK, dash="2 2")]


def trees(region: Region) -> list[str]:
    """Branches that stand off the corners and the foot."""
    left, top, right, bottom = region.box
    roots: list[tuple[float, float, float, float]] = [
        (left, top, -1, -0.6),
        (right, bottom, 1, 0.6),
        (left, bottom, -1, 0.5),
    ]
    roots += [(left + k * (right - left) / 5, bottom, 0.15 * (k - 2.5), 1) for k in range(1, 5)]
    roots += [(left, top + 40, -1, 0.1), (right, bottom - 30, 1, 0.2)]
    shapes: list[str] = []
    for x, y, u, v in roots:
        shapes += _tree((x, y), (u, v), 9.0)
    return shapes


def _tree(root: Point, way: Point, length: float) -> list[str]:
    tip = root[0] + length * way[0], root[1] + length * way[1]
    shapes = [svg.line(root, tip, colour=p.COPPER_DARK, width=max(length / 4.5, 0.7))]
    if length > 3.5:
        for turn in (-0.6, 0.6):
            u = way[0] * cos(turn) - way[1] * sin(turn)
            v = way[0] * sin(turn) + way[1] * cos(turn)
            shapes += _tree(along(root, tip, 0.65), (u, v), 0.6 * length)
    return shapes


def tide(region: Region) -> list[str]:
    """A step all round at one height."""
    left, top, right, bottom = region.box
    return [
        filled(region, p.COPPER_DARK, stroke="none"),
        svg.line((left - 14, top), (right + 22, top), colour=p.CRYSTAL, width=1.0, dash="4 2"),
        svg.line((left, bottom), (right, bottom), colour=p.COPPER_LIGHT, width=1.6),
    ]


def warped(region: Region) -> list[str]:
    """A thin wall from its edge, bent, and the straight one that it was."""
    left, top, right, bottom = region.box
    middle, thick = (left + right) / 2, 7.0
    steps = [k / 24 for k in range(25)]
    bend = [(middle + 26 * sin(pi * t) ** 1.4, top + t * (bottom - top)) for t in steps]
    other = [(x + thick, y) for x, y in bend]
    straight = [(middle, top), (middle + thick, top), (middle + thick, bottom), (middle, bottom)]
    return [
        svg.polygons([straight], fill=svg.PALE, stroke=svg.GREY, dash="3 2"),
        svg.polygons([[*bend, *reversed(other)]], fill=p.COPPER, stroke=svg.INK),
        svg.line((middle + thick / 2, 3), (middle + thick / 2, top), colour=p.COPPER_DARK, width=2),
        arrow((middle + 10, (top + bottom) / 2), (middle + 24, (top + bottom) / 2)),
    ]


FEATURES: Mapping[str, Look] = {
    look.__name__.replace("_", "-"): look
    for look in (
        *(
            cracks,
            snapped,
            curl,
            spots,
            lacquer,
            tarnish,
            flakes,
            etched,
            trees,
            tide,
            warped,
            wiped,
        ),
    )
}
"""By name."""
