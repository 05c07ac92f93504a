"""Bases that are cut open: the skin large, a slot, a dome, a plate's section, a round bar."""

from math import cos, pi, sin

from tankside.sheets import svg
from tankside.sheets.faults import palette as p
from tankside.sheets.faults.region import Region, box, round_outline
from tankside.sheets.faults.scene import Scene, arrow, hook, lettered, waves

LEFT, RIGHT = 10.0, 150.0
COPPER_TOP, COAT_TOP, PLASTIC_TOP, FLOOR = 44.0, 74.0, 80.0, 108.0
"""Levels of the skin cut open [pt]."""


def skin() -> Scene:
    """Copper on coat on plastic, cut open and large."""
    return _skin(COPPER_TOP)


def thin_skin() -> Scene:
    """The same with too little copper, and where it should reach."""
    thin = _skin(66.0)
    line = svg.line(
        (LEFT, COPPER_TOP), (RIGHT, COPPER_TOP), colour=svg.ACCENT, width=1.2, dash="4 3"
    )
    return Scene(
        under=thin.under,
        places=thin.places,
        over=(
            *thin.over,
            line,
            lettered((LEFT + 2, COPPER_TOP - 4), "worked out", anchor="start", colour=svg.ACCENT),
            arrow((118.0, COPPER_TOP + 2), (118.0, 64.0)),
        ),
    )


def _skin(top: float) -> Scene:
    layers = [
        svg.rectangle((LEFT, PLASTIC_TOP), RIGHT - LEFT, FLOOR - PLASTIC_TOP, fill=p.PLASTIC),
        svg.rectangle((LEFT, COAT_TOP), RIGHT - LEFT, PLASTIC_TOP - COAT_TOP, fill=p.COAT),
        lettered((LEFT + 3, 97.0), "print", anchor="start"),
    ]
    if top < COAT_TOP:
        layers.append(svg.rectangle((LEFT, top), RIGHT - LEFT, COAT_TOP - top, fill=p.COPPER))
        layers.append(svg.line((LEFT, top), (RIGHT, top), width=0.9))
        layers.append(lettered((LEFT + 3, COAT_TOP - 4), "copper", anchor="start"))
    layers.append(svg.line((LEFT, COAT_TOP), (RIGHT, COAT_TOP), width=0.6))
    layers.append(svg.line((LEFT, PLASTIC_TOP), (RIGHT, PLASTIC_TOP), width=0.6))
    return Scene(
        under=tuple(layers),
        places={
            "top": Region(outline=box(LEFT, top - 2, RIGHT, top)),
            "copper": Region(outline=box(LEFT, top, RIGHT, COAT_TOP)),
            "coat": Region(outline=box(LEFT, COAT_TOP, RIGHT, PLASTIC_TOP)),
            "print": Region(outline=box(LEFT, PLASTIC_TOP, RIGHT, FLOOR)),
        },
    )


def slot() -> Scene:
    """A block with a deep slot, cut open: copper thick outside, none at the slot's floor."""
    block = [(22, 30), (66, 30), (66, 92), (94, 92), (94, 30), (138, 30), (138, 108), (22, 108)]
    outside = [
        ((22.0, 108.0), (22.0, 30.0)),
        ((22.0, 30.0), (66.0, 30.0)),
        ((94.0, 30.0), (138.0, 30.0)),
        ((138.0, 30.0), (138.0, 108.0)),
    ]
    left = [(66.0, 27.0), (72.5, 27.0), (70.0, 34.0), (67.8, 46.0), (66.6, 64.0), (66.0, 80.0)]
    inner = [
        svg.polygons([left], fill=p.COPPER),
        svg.polygons([[(160.0 - x, y) for x, y in left]], fill=p.COPPER),
    ]
    return Scene(
        under=(
            svg.polygons([block], fill=p.PLASTIC, stroke=p.COAT, stroke_width=1.6),
            *(svg.line(a, b, colour=p.COPPER, width=6.0) for a, b in outside),
            *inner,
        ),
        places={"floor": Region(outline=box(68.0, 88.0, 92.0, 92.0))},
        over=(arrow((80.0, 62.0), (80.0, 84.0)), lettered((80.0, 58.0), "bare")),
    )


def dome() -> Scene:
    """A hollow that opens downwards in the bath, cut open, with air caught in its top."""
    wall = [(34.0, 104.0), (34.0, 66.0)]
    wall += [(80 - 46 * cos(pi * k / 24), 66 - 42 * sin(pi * k / 24)) for k in range(25)]
    wall += [(126.0, 104.0)]
    inner = [(42.0, 104.0), (42.0, 66.0)]
    inner += [(80 - 38 * cos(pi * k / 24), 66 - 34 * sin(pi * k / 24)) for k in range(25)]
    inner += [(118.0, 104.0)]
    cap = [(x, y) for x, y in inner if y <= 50.0]
    coated = [inner[0], *(point for point in inner if point[1] > 50.0 and point[0] < 80.0)]
    other = [*(point for point in inner if point[1] > 50.0 and point[0] > 80.0)]
    return Scene(
        under=(
            svg.rectangle((4, 12), 152, 100, fill=p.LIQUID_PALE),
            svg.polygons([[*wall, *reversed(inner)]], fill=p.PLASTIC, stroke=svg.INK),
            svg.polyline(wall, colour=p.COPPER, width=4.0),
            svg.polyline(coated, colour=p.COPPER, width=4.0),
            svg.polyline(other, colour=p.COPPER, width=4.0),
            svg.polygons([cap], fill=p.AIR, stroke=svg.INK),
            svg.polyline(cap, colour=p.COAT, width=3.0),
            hook(80, 24),
            waves(4, 156, 12),
        ),
        places={"cap": Region(outline=tuple(cap))},
        over=(lettered((80.0, 45.0), "air, bare"),),
    )


def uneven() -> Scene:
    """A plate cut across: copper thick at its ends and thin between."""
    return Scene(
        under=(
            _section(62.0, uneven=True),
            lettered((22.0, 26.0), "thick"),
            arrow((21.0, 29.0), (19.0, 43.0)),
            lettered((80.0, 36.0), "thin"),
            arrow((80.0, 39.0), (80.0, 53.0)),
        ),
        places={},
    )


def worse() -> Scene:
    """Two such sections: even before, uneven now."""
    return Scene(
        under=(
            lettered((80.0, 16.0), "before"),
            _section(30.0, uneven=False),
            arrow((80.0, 48.0), (80.0, 62.0)),
            _section(86.0, uneven=True),
            lettered((80.0, 114.0), "now"),
        ),
        places={},
    )


def _section(level: float, *, uneven: bool) -> str:
    ends = 13.0 if uneven else 6.0
    top, bottom = [], []
    for k in range(41):
        x = 16.0 + 128.0 * k / 40
        far = abs(k / 20 - 1.0)
        thick = 6.0 + 3.0 + (2.2 + (ends - 2.2) * far**6 if uneven else ends - 1.0)
        top.append((x, level - thick + 4))
        bottom.append((x, level + thick - 4))
    rim = 8.0 if uneven else 4.0
    outline = [(16.0 - rim, level), *top, (144.0 + rim, level), *reversed(bottom)]
    body = svg.rectangle((18, level - 4), 124, 8, fill=p.PLASTIC, stroke=p.COAT, stroke_width=1.4)
    return svg.polygons([outline], fill=p.COPPER, stroke=svg.INK) + body


def one_sided() -> Scene:
    """A round bar from above, an anode on one side: thick there, thin behind."""
    thick = round_outline((88.0, 62.0), 33.0, 29.0)
    return Scene(
        under=(
            svg.rectangle((4, 12), 152, 100, fill=p.LIQUID_PALE),
            svg.rectangle((10, 26), 12, 72, fill=p.COPPER_DARK, stroke=svg.INK),
            lettered((16.0, 110.0), "anode"),
            svg.polygons([thick], fill=p.COPPER, stroke=svg.INK),
            svg.polygons([round_outline((94.0, 62.0), 25.0, 25.0)], fill=p.PLASTIC, stroke=p.COAT),
            lettered((56.0, 22.0), "thick"),
            lettered((136.0, 100.0), "thin"),
            arrow((126.0, 92.0), (119.0, 72.0)),
            arrow((58.0, 26.0), (62.0, 44.0)),
        ),
        places={},
    )


BASES = {
    "skin": skin,
    "thin skin": thin_skin,
    "slot": slot,
    "dome": dome,
    "uneven": uneven,
    "worse": worse,
    "one-sided": one_sided,
}
"""By name."""
