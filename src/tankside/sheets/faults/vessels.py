"""Bases around the part: tank, anode in its bag, two beakers, meter, wire at the surface."""

from tankside.sheets import svg
from tankside.sheets.faults import palette as p
from tankside.sheets.faults.region import Region, box
from tankside.sheets.faults.scene import Scene, arrow, filled, hook, lettered, waves
from tankside.sheets.svg import Point

LEVEL = 34.0
"""Of the liquid in a tank [pt]."""


def tank() -> Scene:
    """A tank with an anode and a part."""
    inside = Region(outline=box(10.0, LEVEL, 150.0, 110.0))
    part = Region(outline=box(96.0, 48.0, 126.0, 94.0))
    anode = Region(outline=box(26.0, 44.0, 38.0, 100.0))
    return Scene(
        under=(
            filled(inside, p.LIQUID_PALE, stroke="none"),
            svg.polyline([(10, 20), (10, 110), (150, 110), (150, 20)], width=2.2),
            waves(11, 149, LEVEL),
            hook(32, 44),
            hook(111, 48),
            filled(anode, p.COPPER_DARK),
            filled(part, p.COPPER),
            lettered((27.0, 12.0), "+", anchor="end"),
            lettered((106.0, 12.0), "–", anchor="end"),
        ),
        places={
            "liquid": Region(outline=inside.outline, holes=(part.outline, anode.outline)),
            "part": part,
            "anode": anode,
            "surface": Region(outline=box(11.0, LEVEL - 8, 149.0, LEVEL + 2)),
            "above the part": Region(outline=box(92.0, LEVEL + 2, 132.0, 60.0)),
            "part sides": Region(outline=box(88.0, 46.0, 95.0, 94.0)),
            "part other side": Region(outline=box(127.0, 46.0, 134.0, 94.0)),
            "skin": Region(outline=box(11.0, LEVEL - 1, 149.0, LEVEL + 1)),
        },
    )


def reversed_tank() -> Scene:
    """The poles swapped: the part dwindles and the anode grows."""
    inside = box(10.0, LEVEL, 150.0, 110.0)
    return Scene(
        under=(
            svg.polygons([inside], fill=p.LIQUID_PALE),
            svg.polyline([(10, 20), (10, 110), (150, 110), (150, 20)], width=2.2),
            waves(11, 149, LEVEL),
            hook(32, 44),
            hook(111, 52),
            svg.polygons([box(20.0, 42.0, 44.0, 102.0)], fill=p.COPPER, stroke=svg.INK),
            svg.polygons([box(26.0, 44.0, 38.0, 100.0)], fill=p.COPPER_DARK, stroke=svg.INK),
            svg.polygons([box(96.0, 48.0, 126.0, 94.0)], stroke=svg.INK, dash="3 2"),
            svg.polygons([box(103.0, 54.0, 119.0, 88.0)], fill=p.COAT, stroke=svg.INK),
            lettered((27.0, 12.0), "–", anchor="end"),
            lettered((106.0, 12.0), "+", anchor="end"),
            arrow((92.0, 71.0), (52.0, 71.0)),
        ),
        places={},
    )


def adrift() -> Scene:
    """A part that hangs askew, away from where it was."""
    now: list[Point] = [(74, 62), (102, 44), (126, 82), (98, 100)]
    return Scene(
        under=(
            svg.polygons([box(10.0, LEVEL, 150.0, 110.0)], fill=p.LIQUID_PALE),
            svg.polyline([(10, 20), (10, 110), (150, 110), (150, 20)], width=2.2),
            waves(11, 149, LEVEL),
            svg.line((111, 3), (102, 46), colour=p.COPPER_DARK, width=2.0),
            hook(32, 44),
            svg.polygons([box(26.0, 44.0, 38.0, 100.0)], fill=p.COPPER_DARK, stroke=svg.INK),
            svg.polygons([box(98.0, 48.0, 128.0, 94.0)], stroke=svg.GREY, dash="3 2"),
            svg.polygons([now], fill=p.COPPER, stroke=svg.INK),
            arrow((140.0, 60.0), (120.0, 90.0)),
        ),
        places={},
    )


def fittings() -> Scene:
    """A heater, a thermometer and a screw in the tank, with copper on them."""
    return Scene(
        under=(
            svg.polygons([box(10.0, LEVEL, 150.0, 110.0)], fill=p.LIQUID_PALE),
            svg.polyline([(10, 20), (10, 110), (150, 110), (150, 20)], width=2.2),
            waves(11, 149, LEVEL),
            svg.rectangle((34, 10), 11, 82, fill=p.STEEL, stroke=svg.INK),
            lettered((39.5, 106.0), "heater"),
            svg.rectangle((80, 8), 5, 76, fill=svg.PAPER, stroke=svg.INK),
            svg.circle((82.5, 88.0), 5.5, fill=svg.PAPER),
            lettered((82.5, 106.0), "thermometer"),
            svg.polygons([_nut((126.0, 66.0), 11.0)], fill=p.STEEL, stroke=svg.INK),
            lettered((126.0, 90.0), "screw"),
        ),
        places={
            "heater": Region(outline=box(33.0, 52.0, 46.0, 93.0)),
            "thermometer": Region(outline=box(78.0, 78.0, 87.0, 94.0)),
            "screw": Region(outline=_nut((126.0, 66.0), 9.0)),
        },
    )


def _nut(centre: Point, size: float) -> tuple[Point, ...]:
    x, y = centre
    half = 0.87 * size
    return (
        *((x + size, y), (x + size / 2, y + half), (x - size / 2, y + half)),
        *((x - size, y), (x - size / 2, y - half), (x + size / 2, y - half)),
    )


def anode() -> Scene:
    """An anode in its bag."""
    slab = Region(outline=box(62.0, 30.0, 98.0, 92.0))
    bag = ((54, 26), (54, 100), (62, 106), (98, 106), (106, 100), (106, 26))
    return Scene(
        under=(
            svg.rectangle((8, 16), 144, 94, fill=p.LIQUID_PALE),
            waves(8, 152, 16),
            svg.polygons([bag], fill=svg.PAPER, opacity=0.5),
            hook(80, 30),
            filled(slab, p.COPPER_DARK),
            lettered((124.0, 60.0), "anode"),
            lettered((124.0, 104.0), "bag"),
        ),
        places={
            "anode": slab,
            "film": Region(outline=box(57.0, 26.0, 103.0, 97.0), holes=(slab.outline,)),
            "bag foot": Region(
                outline=((55, 88), (55, 100), (62, 105), (98, 105), (105, 100), (105, 88))
            ),
            "floor": Region(outline=box(10.0, 103.0, 50.0, 109.0)),
            "other floor": Region(outline=box(134.0, 103.0, 150.0, 109.0)),
            "lower": Region(outline=box(60.0, 66.0, 100.0, 94.0)),
        },
        over=(svg.polygons([bag], stroke=svg.GREY, dash="2 1.5", stroke_width=1.0),),
    )


def beakers() -> Scene:
    """The bath before and now, in two beakers; the looks give their colours."""
    first, second = _beaker(14.0), _beaker(98.0)
    return Scene(
        under=(
            lettered((38.0, 14.0), "before"),
            lettered((122.0, 14.0), "now"),
            arrow((68.0, 66.0), (92.0, 66.0)),
        ),
        places={"before": first, "now": second},
        over=(
            svg.polyline([(14, 26), (14, 104), (62, 104), (62, 26)], width=1.8),
            svg.polyline([(98, 26), (98, 104), (146, 104), (146, 26)], width=1.8),
        ),
    )


def _beaker(left: float) -> Region:
    return Region(outline=box(left, 42.0, left + 48.0, 104.0))


def meter() -> Scene:
    """The supply's face, with two lines for what was read over time."""
    return Scene(
        under=(
            svg.rectangle((12, 14), 136, 92, fill=svg.PALE, stroke=svg.INK, stroke_width=1.2),
            svg.rectangle((22, 24), 116, 34, fill=svg.PAPER, stroke=svg.INK),
            svg.rectangle((22, 64), 116, 34, fill=svg.PAPER, stroke=svg.INK),
            lettered((27.0, 34.0), "A", anchor="start"),
            lettered((27.0, 74.0), "V", anchor="start"),
        ),
        places={
            "amps": Region(outline=box(40.0, 28.0, 132.0, 54.0)),
            "volts": Region(outline=box(40.0, 68.0, 132.0, 94.0)),
        },
    )


def wire() -> Scene:
    """A wire from its clip down to the part, large, with the liquid's surface between."""
    return Scene(
        under=(
            svg.rectangle((8, 62), 144, 48, fill=p.LIQUID_PALE),
            waves(8, 152, 62),
            svg.rectangle((66, 6), 28, 14, fill=p.STEEL, stroke=svg.INK),
            lettered((100.0, 16.0), "clip", anchor="start"),
            svg.rectangle((77, 20), 6, 72, fill=p.COPPER_DARK, stroke=svg.INK),
            svg.rectangle((34, 92), 92, 18, fill=p.COPPER, stroke=svg.INK),
            lettered((44.0, 104.0), "part", anchor="start"),
        ),
        places={
            "wire": Region(outline=box(77.0, 22.0, 83.0, 60.0)),
            "foot": Region(outline=box(62.0, 70.0, 98.0, 92.0)),
        },
    )


BASES = {
    "tank": tank,
    "reversed tank": reversed_tank,
    "adrift": adrift,
    "fittings": fittings,
    "anode": anode,
    "beakers": beakers,
    "meter": meter,
    "wire": wire,
}
"""By name."""
