"""Looks that are events or states: bubbles, foam, layers that part, deposits."""

from collections.abc import Mapping
from math import cos, pi, sin

from tankside.base.messages import said
from tankside.sheets import svg
from tankside.sheets.faults import palette as p
from tankside.sheets.faults.looks import Look
from tankside.sheets.faults.readings import READINGS
from tankside.sheets.faults.region import Region, blob, round_outline
from tankside.sheets.faults.scene import arrow, filled, lettered
from tankside.sheets.faults.sections import COAT_TOP, COPPER_TOP, PLASTIC_TOP, RIGHT
from tankside.sheets.svg import Point


def bubbles(region: Region) -> list[str]:
    """Bubbles that rise."""
    return [
        svg.circle(point, 1.2 + 1.4 * number, fill=svg.PAPER, stroke=p.CRYSTAL, stroke_width=0.6)
        for point, number in region.spread(6.0)
    ]


def foam(region: Region) -> list[str]:
    """A blanket of froth."""
    return [
        svg.circle(point, 3.0 + 2.4 * number, fill=svg.PAPER, stroke=svg.GREY, stroke_width=0.7)
        for point, number in region.spread(5.0)
    ]


def specks(region: Region) -> list[str]:
    """Haze and floating specks."""
    haze = svg.polygons(region.outlines, fill="#a8a294", opacity=0.55)
    return [
        haze,
        *(
            svg.polygons([blob(point, 0.9 + 1.3 * number, number, 6)], fill=p.BURNT)
            for point, number in region.spread(9.0)
        ),
    ]


def nodules(region: Region) -> list[str]:
    """Rounded lumps on a skin cut open."""
    shapes = []
    for x, size in ((30, 6.0), (52, 10.0), (74, 5.0), (98, 12.0), (126, 8.0), (141, 4.0)):
        lump = [
            (x + size * k / 10, COPPER_TOP - 1.15 * size * sin(pi * (k + 10) / 20))
            for k in range(-10, 11)
        ]
        shapes.append(svg.polygons([lump], fill=p.COPPER))
        shapes.append(svg.polyline(lump, width=0.9))
    return shapes


def grooves(region: Region) -> list[str]:
    """Scratches of the print that the copper has kept."""
    shapes = []
    for x in (34.0, 62.0, 88.0, 120.0):
        for level, fill in ((PLASTIC_TOP, p.COAT), (COAT_TOP, p.COPPER), (COPPER_TOP, svg.PAPER)):
            notch = [(x - 6, level - 0.6), (x, level + 8), (x + 6, level - 0.6)]
            shapes.append(svg.polygons([notch], fill=fill))
            shapes.append(svg.polyline(notch, width=0.8))
    return shapes


def craters(region: Region) -> list[str]:
    """Gaps in the coat, and craters in the copper above them."""
    shapes = []
    for x in (46.0, 104.0):
        gap = [
            (x - 7, COAT_TOP - 1),
            (x + 7, COAT_TOP - 1),
            (x + 7, PLASTIC_TOP + 0.6),
            (x - 7, PLASTIC_TOP + 0.6),
        ]
        hole = [(x - 16, COPPER_TOP - 1), (x - 9, COPPER_TOP + 12), (x - 7, PLASTIC_TOP)]
        hole += [(x + 7, PLASTIC_TOP), (x + 9, COPPER_TOP + 12), (x + 16, COPPER_TOP - 1)]
        shapes += [svg.polygons([gap], fill=p.PLASTIC), svg.polygons([hole], fill=svg.PAPER)]
        shapes.append(svg.polyline(hole, width=0.9))
    return [*shapes, lettered((104.0, 104.0), "gap in the coat", colour=svg.ACCENT),
            arrow((104.0, 95.0), (104.0, PLASTIC_TOP + 2), width=0.9)]  # fmt: skip


def blisters(region: Region) -> list[str]:
    """Domes under which nothing holds."""
    shapes = []
    for x, size, rise in ((70.0, 24.0, 25.0), (122.0, 17.0, 16.0)):
        bump = [(x + size * k / 16, rise * cos(pi * k / 32) ** 2) for k in range(-16, 17)]
        below = [(at, COAT_TOP - up) for at, up in bump]
        above = [(at, COPPER_TOP - up) for at, up in bump]
        shapes.append(svg.polygons([[*above, *reversed(below)]], fill=p.COPPER))
        shapes.append(svg.polygons([below], fill=svg.PAPER))
        shapes += [svg.polyline(below, width=0.8), svg.polyline(above, width=0.9)]
    return shapes


def peels_with_coat(region: Region) -> list[str]:
    """Copper and coat lift together; the print is bare."""
    return _peel(coat=True)


def peels_from_coat(region: Region) -> list[str]:
    """Copper lifts; the coat stays on the print."""
    return _peel(coat=False)


def _peel(*, coat: bool) -> list[str]:
    start = 70.0
    floor = PLASTIC_TOP if coat else COAT_TOP
    shapes = [
        svg.rectangle(
            (start, COPPER_TOP - 1), RIGHT - start + 1, floor - COPPER_TOP + 1, fill=svg.PAPER
        )
    ]
    under = [(start + 74 * t, floor - 56 * t**1.8) for t in (k / 20 for k in range(21))]
    thick = COAT_TOP - COPPER_TOP
    if coat:
        seam = [(x - 2, y - (PLASTIC_TOP - COAT_TOP)) for x, y in under]
        shapes.append(svg.polygons([[*under, *reversed(seam)]], fill=p.COAT, stroke=svg.INK))
        under = seam
    above = [(x - 12 * k / 20, y - thick + 8 * k / 20) for k, (x, y) in enumerate(under)]
    shapes.append(svg.polygons([[*under, *reversed(above)]], fill=p.COPPER, stroke=svg.INK))
    shapes.append(svg.line((start, floor), (RIGHT, floor), width=0.9))
    name = said("bare print") if coat else said("coat stays")
    return [
        *shapes,
        lettered((122.0, 98.0), name, colour=svg.ACCENT),
        arrow((122.0, 90.0), (122.0, floor + 1), width=0.9),
    ]


def leaves(region: Region) -> list[str]:
    """The copper splits into leaves."""
    start = 64.0
    shapes = [
        svg.rectangle(
            (start, COPPER_TOP - 1), RIGHT - start + 1, COAT_TOP - COPPER_TOP + 1, fill=svg.PAPER
        )
    ]
    for number, rise in ((0, 0.0), (1, 18.0), (2, 36.0)):
        low = COAT_TOP - 10.0 * number
        under = [(start + 84 * t, low - rise * t**1.7) for t in (k / 16 for k in range(17))]
        above = [(x, y - 9.6) for x, y in under]
        shapes.append(svg.polygons([[*under, *reversed(above)]], fill=p.COPPER, stroke=svg.INK))
    return shapes


def dissolved_salt(region: Region) -> list[str]:
    """Green and blue that creeps out of a seam."""
    left, top, right, bottom = region.box
    shapes = [svg.line(((left + right) / 2, top), ((left + right) / 2, bottom), width=0.8)]
    for k in range(7):
        y = top + 6 + k * (bottom - top - 8) / 6
        colour = p.GREEN if k % 2 else "#4fa3a5"
        side = 3.0 if k % 2 else -3.0
        middle = (left + right) / 2 + side
        shapes.append(
            svg.polygons([blob((middle, y), 3.4 + (k % 3), k / 7)], fill=colour, stroke="none")
        )
        shapes.append(svg.line((middle, y), (middle, y + 9), colour=colour, width=2.0))
    return shapes


def blue_crystals(region: Region) -> list[str]:
    """Blue crystals, slanted as the salt grows."""
    shapes = []
    for (x, y), number in region.spread(7.0):
        size = 2.4 + 2.2 * number
        one = [
            (x - size, y + size),
            (x - 0.4 * size, y - size),
            (x + size, y - 0.8 * size),
            (x + 0.5 * size, y + size),
        ]
        shapes.append(svg.polygons([one], fill=p.CRYSTAL, stroke=svg.PAPER, stroke_width=0.5))
    return shapes


def black_sludge(region: Region) -> list[str]:
    """Black flakes that fall and fill."""
    return [
        svg.polygons(
            [blob(point, 2.2 + 2.2 * number, number, 6)],
            fill=p.BURNT,
            stroke=svg.PAPER,
            stroke_width=0.3,
        )
        for point, number in region.spread(4.0)
    ]


def clean_pink(region: Region) -> list[str]:
    """A clean, grainy, pitted anode."""
    return [
        filled(region, "#e9b39a"),
        *(
            svg.circle(point, 0.8 + 1.4 * n, fill=p.COPPER_DARK, stroke="none")
            for point, n in region.spread(7.0)
        ),
    ]


def copper_dust(region: Region) -> list[str]:
    """Copper dust."""
    return [
        svg.circle(point, 0.9, fill=p.COPPER_DARK, stroke="none") for point, _ in region.spread(3.0)
    ]


def lump(region: Region) -> list[str]:
    """Copper grown over the wire."""
    left, top, right, bottom = region.box
    middle = (left + right) / 2
    shape: list[Point] = [
        (left, bottom),
        (left + 6, bottom - 9),
        (middle - 5, top + 4),
        (middle - 3.2, top),
    ]
    shape += [(middle + 3.2, top), (middle + 5, top + 4), (right - 6, bottom - 9), (right, bottom)]
    hidden = [
        svg.line((x, top), (x, bottom), colour=svg.INK, width=0.7, dash="2 1.5")
        for x in (middle - 3, middle + 3)
    ]
    return [svg.polygons([shape], fill=p.COPPER), svg.polyline(shape, width=0.9), *hidden]


def hot(region: Region) -> list[str]:
    """A wire that glows, with waves of heat."""
    left, top, right, bottom = region.box
    shapes = [
        svg.rectangle((left, top), right - left, bottom - top, fill="#e2542b", stroke=svg.INK)
    ]
    for x in (left - 12, left - 20, right + 12, right + 20):
        wave = [(x + 2.4 * sin(k / 2.0), top + k) for k in range(4, int(bottom - top) - 2)]
        shapes.append(svg.polyline(wave, colour=svg.ACCENT, width=1.2))
    return shapes


def grown_copper(region: Region) -> list[str]:
    """Copper where none should be."""
    return [
        filled(region, p.COPPER, stroke=svg.INK),
        *(
            svg.circle(point, 1.6, fill=p.COPPER_LIGHT, stroke="none")
            for point, _ in region.spread(5.0)
        ),
    ]


def idle(region: Region) -> list[str]:
    """No current flows."""
    return [lettered((80.0, 26.0), "no current", colour=svg.ACCENT)]


def dust_line(region: Region) -> list[str]:
    """Where the copper's front stands still."""
    left, _, right, bottom = region.box
    return [
        svg.line((left - 8, bottom), (right + 8, bottom), colour=svg.ACCENT, width=1.2, dash="3 2"),
        lettered((right + 10, bottom + 3), "front", anchor="start", colour=svg.ACCENT),
    ]


def grown_ring(region: Region) -> list[str]:
    """A ring round the wire."""
    x, y = region.centre
    return [svg.polygons([round_outline((x, y), 13.0, 9.0)], stroke=svg.ACCENT, dash="2 2")]


EVENTS: Mapping[str, Look] = {
    look.__name__.replace("_", "-"): look
    for look in (
        *(bubbles, foam, specks, nodules, grooves, craters, blisters, peels_with_coat),
        *(peels_from_coat, leaves, dissolved_salt, blue_crystals, black_sludge, clean_pink),
        *(copper_dust, lump, hot, *READINGS, grown_copper, idle, dust_line, grown_ring),
    )
}
"""By name."""
