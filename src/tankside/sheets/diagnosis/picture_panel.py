"""A test panel drawn: its zones on a ruler, and the current along it by field and by formula."""

from collections.abc import Callable
from math import log10

from tankside.diagnosis.panel import Along, Look, PanelReading
from tankside.diagnosis.panel.zones import LOOKS
from tankside.sheets import svg
from tankside.sheets.faults import palette as p
from tankside.sheets.wording import figure, rounded, sign, spoken, worded

Scale = Callable[[float], float]

WIDTH, HEIGHT = 500.0, 190.0
_LEFT, _RIGHT, _TOP, _PANEL, _FOOT = 44.0, 8.0, 8.0, 30.0, 150.0

_TICK = 0.008
"""Least from tick to tick of the ruler [m]."""

_FILLS = {
    Look.BURNT: p.BURNT,
    Look.ROUGH: p.SMOKE,
    Look.FROSTY: "#d9cfca",
    Look.BRIGHT: "#eeb48f",
    Look.SATIN: p.COPPER_LIGHT,
    Look.HAZY: "#cfae9f",
    Look.DULL: p.DULL,
    Look.PITTED: p.COPPER,
    Look.STREAKED: p.COPPER,
    Look.BANDED: p.COPPER,
    Look.CRACKED: p.COPPER,
    Look.OFF_COLOUR: "#a39a72",
    Look.BARE: p.FILM,
}


def panel_picture(reading: PanelReading, curve: tuple[Along, ...]) -> str:
    """Zones above, and below them the current density [A/dm²] over the distance [cm]."""
    length = reading.test.cell.length

    def x(distance: float) -> float:
        return _LEFT + distance / length * (WIDTH - _LEFT - _RIGHT)

    levels = [one.field.high for one in curve] + [one.formula or 0.0 for one in curve]
    lows = [one.field.low for one in curve]
    top, bottom = log10(max(levels) * 1.1), log10(min(lows) * 0.9)

    def y(density: float) -> float:
        share = (log10(max(density, 10**bottom)) - bottom) / (top - bottom)
        return _FOOT - share * (_FOOT - _PANEL - 24)

    shapes = _zones(reading, x)
    shapes += _ladder(10**bottom, 10**top, y) + _ruler(length, x)
    band = [(x(one.distance), y(one.field.high)) for one in curve]
    band += [(x(one.distance), y(one.field.low)) for one in reversed(curve)]
    shapes.append(svg.polygons([band], fill=svg.PALE))
    shapes.append(svg.polyline([(x(one.distance), y(one.field.best)) for one in curve], width=1.4))
    formula = [(x(one.distance), y(one.formula)) for one in curve if one.formula is not None]
    shapes.append(svg.polyline(formula, colour=svg.ACCENT, width=1.4))
    shapes += _marks(reading, x, y)
    shapes += _key()
    title = worded(
        "Zones of the test panel, and the current density along it by field and by formula"
    )
    return svg.drawing(WIDTH, HEIGHT, shapes, title=title)


def _zones(reading: PanelReading, x: Scale) -> list[str]:
    shapes = [
        svg.rectangle((x(0.0), _TOP), x(reading.test.cell.length) - x(0.0), 24, stroke=svg.INK)
    ]
    for zone in reading.test.zones:
        left, right = x(zone.start.best), x(min(zone.end.best, reading.test.cell.length))
        shapes.append(
            svg.rectangle((left, _TOP), right - left, 24, fill=_FILLS[zone.look], stroke=svg.INK)
        )
        shapes.append(
            svg.text(
                ((left + right) / 2, _TOP + 15),
                spoken(LOOKS[zone.look]),
                size=9,
                anchor="middle",
                halo=svg.PAPER,
            )
        )
    return shapes


def _marks(reading: PanelReading, x: Scale, y: Scale) -> list[str]:
    shapes = []
    for one in reading.boundaries:
        at = x(one.position.best)
        shapes.append(svg.line((at, _TOP + 24), (at, _FOOT), colour=svg.GREY, dash="2 2"))
        low, high = y(one.current_density.low), y(one.current_density.high)
        shapes.append(svg.line((at, low), (at, high), width=2.4))
    return shapes


def _ladder(low: float, high: float, y: Scale) -> list[str]:
    one = 1.0 / figure(1.0, "A/dm^2")
    numbers = [m * 10.0**k for k in range(-2, 4) for m in (1.0, 2.0, 5.0)]
    shapes = []
    for number in numbers:
        step = number * one
        if not low <= step <= high:
            continue
        shapes.append(svg.line((_LEFT, y(step)), (WIDTH - _RIGHT, y(step)), colour=svg.PALE))
        words = rounded(number)
        shapes.append(svg.text((_LEFT - 4, y(step) + 2.6), words, size=7.5, anchor="end"))
    return [*shapes, svg.text((0, _PANEL + 16), sign("A/dm^2"), size=8, colour=svg.GREY)]


def _ruler(length: float, x: Scale) -> list[str]:
    shapes = [svg.line((x(0.0), _FOOT), (x(length), _FOOT))]
    unit = 1.0 / figure(1.0, "cm")
    tick = next(step for step in (0.5, 1.0) if step * unit >= _TICK)
    for k in range(int(length / (tick * unit) + 1e-9) + 1):
        at = x(k * tick * unit)
        shapes.append(svg.line((at, _FOOT), (at, _FOOT + 4)))
        shapes.append(svg.text((at, _FOOT + 13), rounded(k * tick), size=8, anchor="middle"))
    words = worded("{unit} from the high-current edge", unit=sign("cm"))
    return [*shapes, svg.text((WIDTH - _RIGHT, _FOOT + 24), words, size=8, anchor="end")]


def _key() -> list[str]:
    at = _FOOT + 36
    return [
        svg.line((_LEFT, at - 3), (_LEFT + 18, at - 3), width=1.4),
        svg.text((_LEFT + 22, at), worded("field, with its range"), size=8),
        svg.line((_LEFT + 120, at - 3), (_LEFT + 138, at - 3), colour=svg.ACCENT, width=1.4),
        svg.text((_LEFT + 142, at), worded("published formula, where it holds"), size=8),
        svg.line((_LEFT + 290, at - 6), (_LEFT + 290, at + 2), width=2.4),
        svg.text((_LEFT + 296, at), worded("limit, nine times in ten"), size=8),
    ]
