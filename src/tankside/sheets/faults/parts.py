"""Bases that are a part seen from outside: plate, print, bowl, shelf, strip, plate with a lens."""

from math import cos, pi, sin

from tankside.sheets import svg
from tankside.sheets.faults import palette as p
from tankside.sheets.faults.region import Outline, Region, box, round_outline
from tankside.sheets.faults.scene import Scene, filled, hook, lettered


def plate(left: float = 42.0, right: float = 112.0) -> Scene:
    """A plate on a wire, seen from the front and a little from the side."""
    top, bottom, deep = 26.0, 106.0, 6.0
    front = Region(outline=box(left, top, right, bottom))
    side = (
        (right, top),
        (right + deep, top - deep),
        (right + deep, bottom - deep),
        (right, bottom),
    )
    above = ((left, top), (left + deep, top - deep), (right + deep, top - deep), (right, top))
    inner = box(left + 11, top + 11, right - 11, bottom - 11)
    middle = (left + right) / 2
    return Scene(
        under=(
            hook(middle, top - 2),
            svg.polygons([side], fill=p.COPPER_DARK, stroke=svg.INK, stroke_width=0.7),
            svg.polygons([above], fill=p.COPPER_LIGHT, stroke=svg.INK, stroke_width=0.7),
            filled(front, p.COPPER),
        ),
        places={
            "face": front,
            "edges": Region(outline=front.outline, holes=(inner,)),
            "rim": Region(
                outline=front.outline, holes=(box(left + 3, top + 3, right - 3, bottom - 3),)
            ),
            "middle": Region(outline=inner),
            "lower": Region(outline=box(left, bottom - 34, right, bottom)),
            "upper": Region(outline=box(left, top, right, top + 40)),
            "band": Region(outline=box(left + 14, top + 30, right - 14, top + 48)),
            "foot": Region(outline=box(left, bottom - 2, right, bottom)),
            "corners": Region(
                outline=front.outline, holes=(_clipped(left, top, right, bottom, 19.0),)
            ),
            "corner": Region(outline=((right - 26, bottom), (right, bottom), (right, bottom - 26))),
            "left": Region(outline=box(left, top, middle, bottom)),
            "right": Region(outline=box(middle, top, right, bottom)),
            "level": Region(outline=box(left, top + 30, right, top + 36)),
        },
        over=(svg.polygons([front.outline], stroke=svg.INK, stroke_width=0.8),),
    )


def _clipped(left: float, top: float, right: float, bottom: float, cut: float) -> Outline:
    """A rectangle without its corners."""
    return (
        *((left, top + cut), (left + cut, top), (right - cut, top), (right, top + cut)),
        *((right, bottom - cut), (right - cut, bottom), (left + cut, bottom), (left, bottom - cut)),
    )


def magnified() -> Scene:
    """A plate with a lens that shows its surface large."""
    small = plate(12.0, 62.0)
    glass = round_outline((118.0, 62.0), 37.0, 37.0, 48)
    spot = (44.0, 62.0)
    return Scene(
        under=(
            *small.under,
            svg.line(spot, (97.0, 31.0), colour=svg.GREY, width=0.6),
            svg.line(spot, (97.0, 93.0), colour=svg.GREY, width=0.6),
            svg.circle(spot, 3.0, stroke=svg.INK),
            svg.polygons([glass], fill=p.COPPER),
        ),
        places={
            **small.places,
            "lens": Region(outline=round_outline((118.0, 62.0), 34.0, 34.0, 48)),
        },
        over=(
            *small.over,
            svg.circle(spot, 3.0, stroke=svg.INK),
            svg.circle((118.0, 62.0), 37.0, stroke=svg.INK, stroke_width=2.2),
        ),
    )


def printed() -> Scene:
    """A printed bell with its seed coat, on a wire."""
    outline = _bell(80.0, 22.0, 84.0)
    body = Region(outline=outline)
    cut = [(x, y) for x, y in outline if y <= 52.0]
    near = Region(outline=tuple(cut))
    return Scene(
        under=(hook(80, 22), filled(body, p.COAT)),
        places={
            "everywhere": body,
            "near the wire": near,
            "front": Region(outline=(*((x, y) for x, y in cut if y > 45.0),)),
            "collar": Region(outline=round_outline((80.0, 25.0), 11.0, 7.0)),
            "seam": Region(outline=box(78.5, 30.0, 81.5, 104.0)),
            "left patch": Region(outline=round_outline((66.0, 80.0), 8.0, 6.0)),
            "right patch": Region(outline=round_outline((93.0, 62.0), 6.0, 8.0)),
            "low patch": Region(outline=round_outline((88.0, 96.0), 9.0, 4.5)),
        },
        over=(svg.polygons([outline], stroke=svg.INK, stroke_width=0.8), hook(80, 23)),
    )


def _bell(middle: float, top: float, high: float) -> Outline:
    """The silhouette of a bell, from its upper left anticlockwise back."""
    right = []
    for k in range(25):
        share = k / 24
        wide = 10 + 22 * sin(pi / 2 * share) ** 1.3 + 8 * max(0.0, share - 0.75) * 4 * share
        right.append((middle + wide, top + high * share))
    left = [(2 * middle - x, y) for x, y in reversed(right)]
    return (*right, *left)


def bowl() -> Scene:
    """A deep bowl that faces the onlooker: rim outside, hollow inside."""
    outer = round_outline((80.0, 62.0), 54.0, 44.0, 60)
    inner = round_outline((80.0, 62.0), 34.0, 26.0, 48)
    return Scene(
        under=(hook(80, 19), svg.polygons([outer], fill=p.COPPER, stroke=svg.INK)),
        places={
            "outside": Region(outline=outer, holes=(inner,)),
            "hollow": Region(outline=inner),
        },
        over=(
            svg.polygons([inner], stroke=svg.INK, stroke_width=0.8),
            svg.polyline(_arc((80.0, 66.0), 27.0, 19.0), colour=svg.INK, width=0.5),
        ),
    )


def _arc(centre: tuple[float, float], across: float, down: float) -> list[tuple[float, float]]:
    turns = [pi * (0.1 + 0.8 * k / 20) for k in range(21)]
    return [(centre[0] + across * cos(t), centre[1] + down * sin(t)) for t in turns]


def shelf() -> Scene:
    """A part with a plate that looks up and down, from the side."""
    post = box(74.0, 22.0, 86.0, 54.0)
    table = box(28.0, 54.0, 132.0, 66.0)
    foot = box(70.0, 66.0, 90.0, 104.0)
    return Scene(
        under=(
            hook(80, 22),
            *(svg.polygons([one], fill=p.COPPER, stroke=svg.INK) for one in (post, foot, table)),
            lettered((140.0, 36.0), "up", anchor="end"),
            lettered((140.0, 80.0), "down", anchor="end"),
        ),
        places={
            "up": Region(outline=box(28.0, 43.0, 73.0, 54.0)),
            "up right": Region(outline=box(87.0, 43.0, 131.0, 54.0)),
            "down": Region(outline=box(28.0, 64.0, 132.0, 66.0)),
            "table": Region(outline=table),
        },
    )


def strip() -> Scene:
    """A strip bent over itself."""
    outside = [(18.0, 40.0), (80.0, 26.0), (108.0, 34.0), (112.0, 58.0), (92.0, 104.0)]
    inside = [(82.0, 100.0), (100.0, 58.0), (98.0, 44.0), (80.0, 38.0), (20.0, 51.0)]
    return Scene(
        under=(svg.polygons([[*outside, *inside]], fill=p.COPPER, stroke=svg.INK),),
        places={
            "bend": Region(outline=((92, 28), (112, 36), (113, 56), (99, 58), (97, 44), (88, 40))),
            "strip": Region(outline=(*outside, *inside)),
        },
        over=(svg.polyline(outside, colour=p.COPPER_LIGHT, width=1.2),),
    )


def insert() -> Scene:
    """A coated plastic part with a steel nut in it."""
    part = Region(outline=box(30.0, 26.0, 130.0, 104.0))
    nut = Region(outline=round_outline((80.0, 65.0), 24.0, 24.0, 6))
    hole = Region(outline=round_outline((80.0, 65.0), 10.0, 10.0))
    return Scene(
        under=(
            hook(46, 26),
            filled(part, p.COPPER),
            filled(nut, p.STEEL),
            filled(hole, svg.PAPER),
            lettered((80.0, 100.0), "steel"),
        ),
        places={
            "plastic": Region(outline=part.outline, holes=(nut.outline,)),
            "metal": Region(outline=nut.outline, holes=(hole.outline,)),
        },
        over=(svg.polygons([nut.outline, hole.outline], stroke=svg.INK),),
    )


def bare_plate() -> Scene:
    """The plate's places alone, for a look that draws the part itself."""
    return Scene(under=(), places=plate().places)


BASES = {
    "plate": plate,
    "bare plate": bare_plate,
    "magnified": magnified,
    "printed": printed,
    "bowl": bowl,
    "shelf": shelf,
    "strip": strip,
    "insert": insert,
}
"""By name."""
