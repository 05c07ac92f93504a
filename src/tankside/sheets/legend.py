"""The key to the colours: a bar with ticks, the goal, and the patterns that occur."""

import numpy as np

from tankside.plan.plan import Plan
from tankside.sheets import svg
from tankside.sheets.colours import ThicknessScale, hexadecimal
from tankside.sheets.wording import figure, percent, rounded, sign, worded


def legend(plan: Plan, scale: ThicknessScale, height: float) -> list[str]:
    """Colour bar with ticks, the goal, and the patterns that occur."""
    keys = _pattern_keys(plan)
    bar = min(height - 24 - 20 * len(keys), 190.0)
    top = 12.0

    def at(thickness: float) -> float:
        return top + bar * (1 - (thickness - scale.low) / (scale.high - scale.low))

    shapes = [
        svg.text((0, 0), worded("copper, {unit}", unit=sign("um")), bold=True),
        svg.upright_gradient((0, top), 11, bar, _colours_downwards(scale)),
    ]
    shapes.append(svg.rectangle((0, top), 11, bar, stroke=svg.INK, stroke_width=0.5))
    for tick in scale.ticks:
        last = tick == scale.ticks[-1]
        words = ("≥ " if scale.above and last else "") + rounded(round(figure(tick, "um"), 6))
        shapes.append(svg.line((11, at(tick)), (14, at(tick)), width=0.5))
        shapes.append(svg.text((17, at(tick) + 2.8), words))
    goal = plan.goal.thickness
    if scale.low <= goal <= scale.high:
        y = at(goal)
        shapes.append(
            svg.polygons([[(-1.5, y), (-6.5, y - 2.8), (-6.5, y + 2.8)]], fill=svg.ACCENT)
        )
        near = min(abs(at(tick) - y) for tick in scale.ticks) < 8
        x = 17.0 + (20 if near else 0)
        shapes.append(svg.text((x, y + 2.8), worded("goal"), colour=svg.ACCENT, italic=True))
    for k, (pattern, words, share) in enumerate(keys):
        y = top + bar + 14 + 20 * k
        shapes += [pattern.format(y=svg.number(y))]
        shapes.append(svg.text((17, y + 4), words, size=8))
        shapes.append(svg.text((17, y + 12.5), share, size=8, colour=svg.GREY))
    return shapes


def _colours_downwards(scale: ThicknessScale) -> list[str]:
    values = np.linspace(scale.high, scale.low, 33)
    return [hexadecimal(colour) for colour in scale.colours(values)]


def _pattern_keys(plan: Plan) -> list[tuple[str, str, str]]:
    """Swatch (with {y} open), words and share of area of the patterns that occur."""
    keys = []
    if plan.burning_area_fraction > 0:
        stripes = "".join(f"M0 {k}L{k} 0" for k in (4, 8)) + "M1 11L11 1M5 11L11 5M9 11L11 9"
        swatch = (
            '<g transform="translate(0 {y})"><rect width="11" height="11" fill="'
            + hexadecimal((0.93, 0.75, 0.54))
            + f'" stroke="{svg.INK}" stroke-width="0.5"/><path d="{stripes}" stroke="{svg.INK}" '
            'stroke-width="1.1" fill="none"/></g>'
        )
        keys.append((swatch, worded("burning"), percent(plan.burning_area_fraction)))
    if plan.bare_area_fraction > 0:
        dots = "".join(
            f'<circle cx="{x}" cy="{y}" r="1.1" fill="{svg.PAPER}"/>'
            for x, y in ((2.5, 2.5), (8.5, 2.5), (5.5, 5.5), (2.5, 8.5), (8.5, 8.5))
        )
        swatch = (
            '<g transform="translate(0 {y})"><rect width="11" height="11" fill="'
            + hexadecimal((0.09, 0.09, 0.28))
            + f'" stroke="{svg.INK}" stroke-width="0.5"/>{dots}</g>'
        )
        keys.append((swatch, worded("bare"), percent(plan.bare_area_fraction)))
    return keys
