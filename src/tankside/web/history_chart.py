"""A bath's quantities against time as a drawing's figures; the page's template sets them as SVG."""

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.app.bath.tell_the_history import Told
from tankside.app.bath.tell_the_state import StateReply
from tankside.base.intervals import Interval
from tankside.web.words import N_

WIDTH, HEIGHT = 320.0, 110.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 4.0, 4.0, 8.0, 8.0

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
    value, as points of an SVG; the window as y and height, None without one; and the same as rows
    of a table, moment and interval."""

    words: str
    kind: str
    band: str
    best: str
    window: tuple[float, float] | None
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
    least, most = min(lows), max(highs)
    span = (most - least) or 1.0
    first, last = rows[0][0], rows[-1][0]

    def x(at: float) -> float:
        return _LEFT + (WIDTH - _LEFT - _RIGHT) * (at - first) / ((last - first) or 1.0)

    def y(value: float) -> float:
        return HEIGHT - _BOTTOM - (HEIGHT - _TOP - _BOTTOM) * (value - least) / span

    up = [(x(at), y(value.high)) for at, value in rows]
    down = [(x(at), y(value.low)) for at, value in reversed(rows)]
    return HistoryChart(
        words=words,
        kind=kind,
        band=points([*up, *down]),
        best=points([(x(at), y(value.best)) for at, value in rows]),
        window=None if window is None else (y(window[1]), y(window[0]) - y(window[1])),
        rows=tuple(rows),
    )


def points(places: list[tuple[float, float]]) -> str:
    """Places of a drawing as an SVG has them."""
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
