"""A forecast as a drawing's figures: the band week by week, its window, and when it is left."""

from collections.abc import Callable
from dataclasses import dataclass

from tankside.app.bath.forecast_a_bath import ForecastReply
from tankside.base.intervals import Interval
from tankside.web.history_chart import WORDS, points

WIDTH, HEIGHT = 640.0, 220.0
LEFT, RIGHT, TOP, BOTTOM = 8.0, 8.0, 10.0, 26.0
_ROWS = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """Where a window is left: x of the likely day and of the ends, and the side."""

    likely: float
    early: float
    late: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ForecastChart:
    """One quantity: its key, words and kind of unit; band and best as points of an SVG; the window
    as y and height; marks of the scale as y and value; the crossing, if any; and some weeks as rows
    of a table."""

    quantity: str
    words: str
    kind: str
    band: str
    best: str
    window: tuple[float, float] | None
    marks: tuple[tuple[float, float], ...]
    crossing: Crossing | None
    rows: tuple[tuple[float, Interval], ...]


def forecast_charts(reply: ForecastReply) -> tuple[ForecastChart, ...]:
    """A chart for each quantity that the bath holds."""
    shown = [
        name
        for name in WORDS
        if name != "additive" or max(reply.ahead.interval(name, 0).high, 0.0) > 0.0
    ]
    return tuple(_chart(name, reply) for name in shown)


def _chart(name: str, reply: ForecastReply) -> ForecastChart:
    ahead, window = reply.ahead, reply.windows.get(name)
    values = [(float(at), ahead.interval(name, week)) for week, at in enumerate(ahead.at)]
    first, last = values[0][0], values[-1][0]
    least, most = _ends(values, window)

    def x(at: float) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * (at - first) / (last - first)

    def y(value: float) -> float:
        return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * (value - least) / (most - least)

    up = [(x(at), y(value.high)) for at, value in values]
    down = [(x(at), y(value.low)) for at, value in reversed(values)]
    words, kind = WORDS[name]
    step = max(1, -(-len(values) // _ROWS))
    marked = window or (values[0][1].best, values[-1][1].best)
    return ForecastChart(
        quantity=name,
        words=words,
        kind=kind,
        band=points([*up, *down]),
        best=points([(x(at), y(value.best)) for at, value in values]),
        window=None if window is None else (y(window[1]), y(window[0]) - y(window[1])),
        marks=_apart(tuple((y(value), value) for value in marked)),
        crossing=_crossing(name, reply, x),
        rows=tuple(dict([*values[::step], values[-1]]).items()),
    )


def _ends(
    values: list[tuple[float, Interval]], window: tuple[float, float] | None
) -> tuple[float, float]:
    """Where the scale ends: all of the band and the window, and a little room."""
    low = min([value.low for _, value in values] + ([window[0]] if window else []))
    high = max([value.high for _, value in values] + ([window[1]] if window else []))
    room = 0.06 * (high - low) or 0.05 * abs(high) or 1.0
    return low - room, high + room


def _apart(marks: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Marks that can be read beside each other: one, where two would overlap."""
    return marks if abs(marks[0][0] - marks[1][0]) > 16.0 else marks[:1]


def _crossing(name: str, reply: ForecastReply, x: Callable[[float], float]) -> Crossing | None:
    one = next((leaving for leaving in reply.ahead.leaving if leaving.quantity == name), None)
    if one is None or one.likely is None or one.probability_now > 0.5:
        return None
    last = float(reply.ahead.at[-1])
    return Crossing(
        likely=x(one.likely),
        early=x(one.earliest if one.earliest is not None else one.likely),
        late=x(one.latest if one.latest is not None else last),
    )
