"""A bath's quantities against time as a drawing's figures; the page's template sets them as SVG."""

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.app.bath.tell_the_history import Told
from tankside.app.bath.tell_the_state import StateReply
from tankside.base.intervals import Interval
from tankside.web.axis import axis_of
from tankside.web.words import N_

WIDTH, HEIGHT = 340.0, 190.0
LEFT, RIGHT, TOP, BOTTOM = 44.0, 10.0, 26.0, 24.0
_DAY = 86400.0

WORDS = {
    "copper": (N_("Copper"), "mass_concentration"),
    "sulfuric_acid": (N_("Sulfuric acid"), "mass_concentration"),
    "chloride": (N_("Chloride"), "mass_concentration"),
    "additive": (N_("Additive"), "mass_concentration"),
    "volume": (N_("Volume"), "volume"),
}
"""Each quantity's name and the kind of its unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryChart:
    """One quantity: its words and kind of unit; the band that holds it nine in ten and the best
    value, as points of an SVG, and as places the moments that are known; the window as y and
    height, None without one; the scale's unit, and its marks as y and words; True where first and
    last are of one day; and the same as rows of a table, moment and interval."""

    words: str
    kind: str
    band: str
    best: str
    known: tuple[tuple[float, float], ...]
    window: tuple[float, float] | None
    unit: str
    marks: tuple[tuple[float, str], ...]
    one_day: bool
    rows: tuple[tuple[float, Interval], ...]


def history_charts(told: Sequence[Told], state: StateReply) -> tuple[HistoryChart, ...]:
    """A chart for each quantity that is held, once there are two moments to draw between."""
    if len(told) < 2:
        return ()
    return tuple(
        _chart(
            one.quantity, [(moment.at, moment.held[one.quantity]) for moment in told], one.window
        )
        for one in state.held
    )


def _chart(
    quantity: str, rows: list[tuple[float, Interval]], window: tuple[float, float] | None
) -> HistoryChart:
    words, kind = WORDS[quantity]
    lows = [value.low for _, value in rows] + ([window[0]] if window else [])
    highs = [value.high for _, value in rows] + ([window[1]] if window else [])
    axis = axis_of(min(lows), max(highs), kind)
    first, last = rows[0][0], rows[-1][0]

    def x(at: float) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * (at - first) / ((last - first) or 1.0)

    def up(share: float) -> float:
        return round(HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * share, 1)

    def y(value: float) -> float:
        return up(axis.share(value))

    upper = [(x(at), y(value.high)) for at, value in rows]
    lower = [(x(at), y(value.low)) for at, value in reversed(rows)]
    known = [(round(x(at), 1), y(value.best)) for at, value in rows]
    return HistoryChart(
        words=words,
        kind=kind,
        band=points([*upper, *lower]),
        best=points(known),
        known=tuple(known),
        window=None if window is None else (y(window[1]), y(window[0]) - y(window[1])),
        unit=axis.unit,
        marks=tuple((up(share), words) for share, words in axis.marks),
        one_day=last - first < _DAY,
        rows=tuple(rows),
    )


def points(places: list[tuple[float, float]]) -> str:
    """Places of a drawing as an SVG has them."""
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
