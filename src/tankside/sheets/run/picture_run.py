"""Volts and amperes of a run over time, with the volts that the plan expected."""

from collections.abc import Callable, Sequence

import numpy as np

from tankside.base.arrays import Floats
from tankside.runs.expected import Expected
from tankside.runs.series import Series, charge_so_far, thinned
from tankside.sheets import svg
from tankside.sheets.wording import rounded, worded

WIDTH, ROW = 500.0, 120.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 34.0, 8.0, 20.0, 20.0
_MOST = 1200
_BREAK_S = 120.0
"""A line is broken where nothing is known for so long."""


def run_picture(series: Series, expected: Expected, alarms: Sequence[float]) -> str:
    """Two rows as SVG text; `alarms` are moments [s] marked with a stroke."""
    charge = charge_so_far(series)
    few = thinned(series, _MOST)
    known = np.interp(few.time, series.time, charge)
    hours = (few.time - series.time[0]) / 3600
    wanted = np.array(
        [expected.voltage_at(float(i), float(q)) for i, q in zip(few.current, known, strict=True)]
    )
    marks = [(at - float(series.time[0])) / 3600 for at in alarms]
    shapes = _row(0.0, worded("volts"), hours, few.voltage, wanted, marks)
    shapes += _row(ROW, worded("amperes"), hours, few.current, None, marks)
    foot, words = (WIDTH - _RIGHT, 2 * ROW + 8), worded("hours")
    shapes.append(svg.text(foot, words, size=8, anchor="end", colour=svg.GREY))
    title = worded("Volts and amperes of the run over its hours")
    return svg.drawing(WIDTH, 2 * ROW + 14, shapes, title=title)


def _row(
    top: float,
    words: str,
    hours: Floats,
    values: Floats,
    wanted: Floats | None,
    marks: Sequence[float],
) -> list[str]:
    most = float(max(values.max(), 0.0 if wanted is None else wanted.max(), 1e-6)) * 1.08
    last = max(float(hours[-1]), 1e-6)

    def x(hour: float) -> float:
        return _LEFT + hour / last * (WIDTH - _LEFT - _RIGHT)

    def y(value: float) -> float:
        return top + ROW - _BOTTOM - value / most * (ROW - _TOP - _BOTTOM)

    shapes = [svg.text((0, top + 11), words, size=8.5, bold=True)]
    shapes += _ladder(most, y) + _hours(last, x, top + ROW - _BOTTOM)
    if wanted is not None:
        shapes += [
            svg.polyline(run, colour=svg.ACCENT, width=0.9) for run in _runs(hours, wanted, x, y)
        ]
        beside = (max(_LEFT, 8.5 * 0.62 * len(words)) + 34, top + 11)
        shapes.append(svg.text(beside, worded("expected"), size=8, colour=svg.ACCENT))
    shapes += [svg.polyline(run, colour=svg.INK, width=1.0) for run in _runs(hours, values, x, y)]
    shapes += [
        svg.line((x(mark), top + _TOP), (x(mark), top + ROW - _BOTTOM), dash="2 2", width=0.9)
        for mark in marks
        if 0.0 <= mark <= last
    ]
    return shapes


Along = Callable[[float], float]


def _runs(hours: Floats, values: Floats, x: Along, y: Along) -> list[list[tuple[float, float]]]:
    """The line in pieces, broken at gaps."""
    cuts = np.flatnonzero(np.diff(hours) > _BREAK_S / 3600) + 1
    pieces = np.split(np.arange(len(hours)), cuts)
    return [
        [(x(float(hours[k])), y(float(values[k]))) for k in piece]
        for piece in pieces
        if len(piece) > 1
    ]


def _ladder(most: float, y: Along) -> list[str]:
    step = _step(most / 3)
    shapes = []
    for k in range(int(most / step) + 1):
        level = y(k * step)
        shapes.append(svg.line((_LEFT, level), (WIDTH - _RIGHT, level), colour=svg.PALE, width=0.5))
        words = rounded(k * step)
        shapes.append(
            svg.text((_LEFT - 4, level + 2.6), words, size=7.5, anchor="end", colour=svg.GREY)
        )
    return shapes


def _hours(last: float, x: Along, foot: float) -> list[str]:
    step = _step(last / 6)
    return [
        svg.text((x(k * step), foot + 11), rounded(k * step), size=7.5, anchor="middle",
                 colour=svg.GREY)
        for k in range(int(last / step) + 1)
    ]  # fmt: skip


def _step(about: float) -> float:
    """A round step near `about`: 1, 2 or 5 times a power of ten."""
    power = 10.0 ** np.floor(np.log10(about))
    return float(next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= about))
