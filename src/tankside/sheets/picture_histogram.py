"""How the part's area is spread over thickness: a histogram with the goal and what came of it."""

from collections.abc import Callable
from math import ceil

from tankside.base.arrays import Floats
from tankside.plan.plan import Plan
from tankside.sheets import svg
from tankside.sheets.colours import ThicknessScale, hexadecimal, thickness_scale
from tankside.sheets.findings import goal as goal_words
from tankside.sheets.shares import area_by_thickness
from tankside.sheets.wording import figure, measured, rounded, sign, worded

WIDTH, HEIGHT = 236.0, 146.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 26.0, 8.0, 38.0, 27.0
_ABOUT = 30


def histogram_picture(plan: Plan) -> str:
    """The histogram as SVG text, `WIDTH` by `HEIGHT` points."""
    scale = thickness_scale(plan)
    edges, shares = area_by_thickness(plan, scale, _ABOUT)
    across = (WIDTH - _LEFT - _RIGHT) / (scale.high - scale.low)
    step, top = _rungs(float(shares.max()))
    up = (HEIGHT - _TOP - _BOTTOM) / top

    def x(thickness: float) -> float:
        return _LEFT + across * (min(max(thickness, scale.low), scale.high) - scale.low)

    def y(share: float) -> float:
        return HEIGHT - _BOTTOM - up * share

    shapes = [*_ladder(step, top, y), *_bars(scale, edges, shares, x, y), *_axis(scale, x)]
    shapes += _flags(plan, x)
    title = worded("Share of the part's area by copper thickness")
    return svg.drawing(WIDTH, HEIGHT, shapes, title=title)


Along = Callable[[float], float]


def _rungs(most: float) -> tuple[float, float]:
    """Step and top of the upright scale for shares up to `most` [-]."""
    step = next(s for s in (0.01, 0.02, 0.05, 0.1, 0.2, 0.5) if most / s <= 4.5)
    return step, step * ceil(most / step)


def _ladder(step: float, top: float, y: Along) -> list[str]:
    """Pale lines with the share of area beside them."""
    shapes = []
    for k in range(round(top / step) + 1):
        level = y(k * step)
        if k:
            shapes.append(
                svg.line((_LEFT, level), (WIDTH - _RIGHT, level), colour=svg.PALE, width=0.5)
            )
        words = rounded(100 * k * step) + (" %" if k == round(top / step) else "")
        shapes.append(
            svg.text((_LEFT - 4, level + 2.8), words, anchor="end", size=8, colour=svg.GREY)
        )
    return shapes


def _bars(scale: ThicknessScale, edges: Floats, shares: Floats, x: Along, y: Along) -> list[str]:
    middles = (edges[1:] + edges[:-1]) / 2
    fills = [hexadecimal(colour) for colour in scale.colours(middles)]
    return [
        svg.rectangle(
            (x(left) + 0.35, y(share)),
            x(right) - x(left) - 0.7,
            y(0) - y(share),
            fill=fill,
            stroke=svg.INK,
            stroke_width=0.3,
        )
        for left, right, share, fill in zip(edges[:-1], edges[1:], shares, fills, strict=True)
        if share > 0
    ]


def _axis(scale: ThicknessScale, x: Along) -> list[str]:
    foot = HEIGHT - _BOTTOM
    shapes = [svg.line((_LEFT, foot), (WIDTH - _RIGHT, foot), width=0.7)]
    for tick in scale.ticks:
        words = ("≥ " if scale.above and tick == scale.ticks[-1] else "") + rounded(
            round(figure(tick, "um"), 6)
        )
        shapes.append(svg.line((x(tick), foot), (x(tick), foot + 3), width=0.7))
        shapes.append(svg.text((x(tick), foot + 12), words, anchor="middle", size=8))
    middle = (_LEFT + WIDTH - _RIGHT) / 2
    shapes.append(
        svg.text(
            (middle, HEIGHT - 3),
            worded("copper thickness, {unit}", unit=sign("um")),
            anchor="middle",
            size=8,
            colour=svg.GREY,
        )
    )
    return shapes


def _flags(plan: Plan, x: Along) -> list[str]:
    """Goal, mean and thinnest 5 percent, each a line with its words on a level of its own."""
    flags = sorted(_flagged(plan), key=lambda flag: flag[0])
    shapes = []
    for level, (value, words, colour, dash) in enumerate(flags):
        at, head = x(value), 9.0 + 11.0 * level
        late = at > 0.6 * WIDTH
        shapes.append(
            svg.line((at, head - 5), (at, HEIGHT - _BOTTOM), colour=colour, width=0.8, dash=dash)
        )
        shapes.append(
            svg.text(
                (at + (-3 if late else 3), head),
                words,
                size=8,
                anchor="end" if late else "start",
                colour=colour,
                halo=svg.PAPER,
            )
        )
    return shapes


def _flagged(plan: Plan) -> list[tuple[float, str, str, str]]:
    """Thickness [m], words, colour and dashes of each flag; the goal and what met it are one."""
    spread, goal = plan.thickness, plan.goal.thickness
    flags = [
        (
            spread.p05,
            worded("5 % is thinner than {thin}", thin=measured(spread.p05, "um")),
            svg.INK,
            "1.6 1.6",
        ),
        (spread.mean, worded("mean {thick}", thick=measured(spread.mean, "um")), svg.INK, "3 1.6"),
    ]
    met = next((k for k, flag in enumerate(flags) if abs(flag[0] - goal) < 0.01 * goal), None)
    if met is None:
        return [*flags, (goal, worded("goal {thick}", thick=goal_words(plan)), svg.ACCENT, "")]
    value, words, _, _ = flags[met]
    flags[met] = (value, worded("{thickness}, the goal", thickness=words), svg.ACCENT, "")
    return flags
