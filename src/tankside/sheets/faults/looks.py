"""Looks on a surface: burnt, dull, pits, trees and the like, drawn into any region."""

from collections.abc import Callable, Mapping
from math import cos, pi, sin

from tankside.sheets import svg
from tankside.sheets.faults import palette as p
from tankside.sheets.faults.region import Region, blob
from tankside.sheets.faults.scene import filled
from tankside.sheets.svg import Point

Look = Callable[[Region], list[str]]


def burnt(region: Region) -> list[str]:
    """Dark and crumbly."""
    shapes = [filled(region, p.BURNT, stroke="none")]
    shapes += _blobs(region, 4.0, 1.9, p.SMOKE)
    return shapes + _blobs(region, 5.0, 1.2, "#120b08")


def powder(region: Region) -> list[str]:
    """Soft dark dust, and some that falls."""
    left, _, right, bottom = region.box
    falling = Region(
        outline=((left, bottom), (right, bottom), (right, bottom + 9), (left, bottom + 9))
    )
    return [
        *dots(region, 2.6, 0.75, p.BURNT),
        *dots(region, 4.0, 1.1, p.SMOKE),
        *dots(falling, 5.0, 0.7, p.BURNT),
    ]


def crystals(region: Region) -> list[str]:
    """Angular grains."""
    shapes = []
    for (x, y), number in region.spread(8.0):
        size, turn = 2.6 + 2.4 * number, pi * number
        corners = [
            (x + size * cos(turn + a), y + size * (0.8 + 0.4 * number) * sin(turn + a))
            for a in (0.0, 1.4, 2.6, 4.2)
        ]
        shade = p.COPPER_LIGHT if number > 0.5 else p.COPPER_DARK
        shapes.append(svg.polygons([corners], fill=shade, stroke=svg.INK, stroke_width=0.4))
    return shapes


def sand(region: Region) -> list[str]:
    """Fine even roughness."""
    return [*dots(region, 3.6, 0.55, p.COPPER_DARK), *dots(region, 4.4, 0.5, p.COPPER_LIGHT)]


def grains(region: Region) -> list[str]:
    """The same under a lens, or piled up."""
    shapes = []
    for (x, y), number in region.spread(5.5):
        shapes.append(svg.circle((x + 0.5, y + 0.6), 1.8, fill=p.BURNT, stroke="none"))
        size = 1.3 + 0.7 * number
        shapes.append(svg.circle((x, y), size, fill=p.COPPER_LIGHT, stroke=p.COPPER_DARK))
    return shapes


def settled(region: Region) -> list[str]:
    """Grains that lie in heaps on a face that looks up."""
    left, _, right, bottom = region.box
    shapes = []
    for k in range(int((right - left) / 3.0)):
        for high in range(1 + (k * k + k // 3) % 3):
            at = left + 1.5 + 3.0 * k + 0.8 * (high % 2), bottom - 1.6 - 2.6 * high
            shapes.append(
                svg.circle(at, 1.7, fill=p.COPPER_LIGHT, stroke=p.BURNT, stroke_width=0.5)
            )
    return shapes


def frost(region: Region) -> list[str]:
    """Greyish frost."""
    shapes = [svg.polygons(region.outlines, fill="#d9cfca")]
    for (x, y), number in region.spread(4.2):
        turn = pi * number
        step = 1.6 * cos(turn), 1.6 * sin(turn)
        shapes.append(
            svg.line(
                (x - step[0], y - step[1]), (x + step[0], y + step[1]), colour=svg.PAPER, width=0.6
            )
        )
    return shapes


def bright(region: Region) -> list[str]:
    """A mirror: broad lights across."""
    left, top, right, bottom = region.box
    wide = right - left
    shapes = [filled(region, "#dd9a70", stroke="none")]
    for start, broad in ((0.18, 0.16), (0.44, 0.05)):
        x = left + start * wide
        lean = 0.22 * (bottom - top)
        band = [
            (x + lean, top),
            (x + lean + broad * wide, top),
            (x + broad * wide, bottom),
            (x, bottom),
        ]
        inside = [point for point in _cut(band, region)]
        shapes.append(svg.polygons([inside], fill="#fbe9db"))
    return shapes


def _cut(band: list[Point], region: Region) -> list[Point]:
    """The band kept inside a region: each long side run along in steps that stay inside."""
    (a, b, c, d) = band
    steps = [k / 24 for k in range(25)]
    left = [along(a, d, s) for s in steps if region.holds(along(a, d, s))]
    right = [along(b, c, s) for s in steps if region.holds(along(b, c, s))]
    return [*left, *reversed(right)]


def along(start: Point, end: Point, share: float) -> Point:
    """The point at a share of the way."""
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def dull(region: Region) -> list[str]:
    """Matt and pink."""
    return [filled(region, p.DULL, stroke="none"), *dots(region, 3.2, 0.4, "#a8786a")]


def smoke(region: Region) -> list[str]:
    """A dull, smoky film."""
    return [filled(region, "#8d6a5d", stroke="none"), *dots(region, 3.0, 0.6, p.SMOKE)]


def layer_lines(region: Region) -> list[str]:
    """The print's layers."""
    left, top, right, bottom = region.box
    shapes = []
    y = top + 3
    while y < bottom:
        for start, end in _inside(region, (left - 1, y), (right + 1, y)):
            shapes.append(svg.line(start, end, colour=p.COPPER_DARK, width=1.1))
            lower = (start[0], y + 1.4), (end[0], y + 1.4)
            shapes.append(svg.line(*lower, colour=p.COPPER_LIGHT, width=0.8))
        y += 5.0
    return shapes


def copper(region: Region) -> list[str]:
    """Plain copper."""
    return [filled(region, p.COPPER, stroke="none")]


def bare(region: Region) -> list[str]:
    """The grey coat shows."""
    return [filled(region, p.COAT, stroke=svg.INK, width=0.6)]


def plastic(region: Region) -> list[str]:
    """The print itself shows."""
    return [filled(region, p.PLASTIC, stroke=svg.INK, width=0.6)]


def pits(region: Region) -> list[str]:
    """Round holes with smooth walls."""
    shapes = []
    for (x, y), number in region.spread(13.0):
        size = 1.6 + 2.0 * number
        shapes.append(svg.circle((x, y), size, fill=p.BURNT, stroke=p.COPPER_LIGHT))
    return shapes


def pinpricks(region: Region) -> list[str]:
    """Pits seen small."""
    return dots(region, 8.0, 0.9, p.BURNT)


def comets(region: Region) -> list[str]:
    """Pits that trail off upwards."""
    shapes = []
    for (x, y), number in region.spread(13.0):
        if not region.holds((x, y - 18.0)):
            continue
        tail = [(x - 2.2, y), (x, y - 12 - 4 * number), (x + 2.2, y)]
        shapes.append(svg.polygons([tail], fill=p.COPPER_DARK))
        shapes.append(svg.circle((x, y), 2.6, fill=p.BURNT, stroke=p.COPPER_LIGHT))
    return shapes


def streaks(region: Region) -> list[str]:
    """Upright lines that follow the flow."""
    left, top, right, bottom = region.box
    shapes = []
    for k in range(9):
        x = left + (k + 0.5) * (right - left) / 9
        points = [
            (x + 1.4 * sin(0.5 * k + 0.16 * (y - top)), y)
            for y in range(int(top) + 1, int(bottom), 3)
        ]
        kept = [point for point in points if region.holds(point)]
        shade = p.COPPER_LIGHT if k % 2 else p.COPPER_DARK
        shapes.append(svg.polyline(kept, colour=shade, width=1.6 + (k % 3)))
    return shapes


def tints(region: Region) -> list[str]:
    """Grey, brassy and black streaks."""
    left, top, right, bottom = region.box
    shapes = []
    for k, colour in enumerate(("#6d6a66", "#b79c4b", "#2f2a28", "#8f8c86", "#c7ab55", "#4c4744")):
        x = left + (k + 0.5) * (right - left) / 6
        streak = [
            (x - 5, bottom),
            (x - 2, top + 5 * (k % 3)),
            (x + 2, top + 4 + 5 * (k % 2)),
            (x + 5, bottom),
        ]
        shapes.append(svg.polygons([streak], fill=colour, opacity=0.8))
    return shapes


def film(region: Region) -> list[str]:
    """A pale film."""
    return [filled(region, p.FILM, stroke=svg.GREY), *dots(region, 4.0, 0.6, "#b9b6ab")]


def dots(region: Region, spacing: float, size: float, colour: str) -> list[str]:
    """Dots about `spacing` apart, of three sizes about `size`."""
    spread = [(point, int(3 * number)) for point, number in region.spread(spacing)]
    return [
        svg.dots((at for at, one in spread if one == step), size * (0.7 + 0.3 * step), fill=colour)
        for step in range(3)
    ]


def _blobs(region: Region, spacing: float, size: float, colour: str) -> list[str]:
    return [
        svg.polygons([blob(point, size * (0.6 + 0.8 * number), number, 6)], fill=colour)
        for point, number in region.spread(spacing)
    ]


def _inside(region: Region, start: Point, end: Point) -> list[tuple[Point, Point]]:
    """The stretches of a line that lie inside a region."""
    steps = [along(start, end, k / 120) for k in range(121)]
    found: list[tuple[Point, Point]] = []
    run: list[Point] = []
    for point in (*steps, None):
        if point is not None and region.holds(point):
            run.append(point)
        elif run:
            found.append((run[0], run[-1]))
            run = []
    return [one for one in found if one[0] != one[1]]


LOOKS: Mapping[str, Look] = {
    look.__name__.replace("_", "-"): look
    for look in (
        *(burnt, powder, crystals, sand, grains, settled, frost, bright, dull, smoke),
        *(layer_lines, copper, bare, plastic, pits, pinpricks, comets, streaks, tints, film),
    )
}
"""By name."""
