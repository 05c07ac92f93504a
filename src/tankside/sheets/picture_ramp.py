"""The start's ramp: the settings of the knob as a staircase under the fastest safe rise, the volts
across the cell, and how much of the coat copper covers meanwhile."""

from collections.abc import Callable
from math import floor, log10

import numpy as np

from tankside.plan.start import SeedStart
from tankside.sheets import svg
from tankside.sheets.wording import marked, rounded, worded

WIDTH, HEIGHT = 490.0, 150.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 34.0, 40.0, 22.0, 24.0
Along = Callable[[float], float]


def ramp_picture(start: SeedStart) -> str:
    """Current, voltage and covered share against minutes, as SVG text."""
    covering = start.covering
    covered_by = covering.time_of(0.99)
    end = 1.2 * max(start.table[-1].start, start.ramp_end, 60.0)
    end = max(end, 1.08 * covered_by) if np.isfinite(covered_by) else end
    most = 1.1 * max(entry.current for entry in start.table)

    def x(time: float) -> float:
        return _LEFT + min(time, end) / end * (WIDTH - _LEFT - _RIGHT)

    def y(current: float) -> float:
        return HEIGHT - _BOTTOM - min(current, most) / most * (HEIGHT - _TOP - _BOTTOM)

    shown = covering.times <= end
    times = [*covering.times[shown], end]
    rise = [*covering.current[shown], float(covering.current[-1])]
    fastest = [(x(t), y(float(i))) for t, i in zip(times, rise, strict=True)]
    covered = [
        (x(t), HEIGHT - _BOTTOM - covering.covered_share(t) * (HEIGHT - _TOP - _BOTTOM))
        for t in np.linspace(0.0, end, 120)
    ]
    shapes = [*_axes(end, most, x, y)]
    shapes.append(svg.polyline(covered, colour=svg.GREY, width=0.9))
    shapes.append(svg.polyline(fastest, colour=svg.ACCENT, width=0.9))
    volts = [*covering.voltage[shown], float(covering.voltage[-1])]
    highest = max(volts)
    tall = HEIGHT - _TOP - _BOTTOM
    course = [
        (x(t), HEIGHT - _BOTTOM - float(v) / (1.1 * highest) * tall)
        for t, v in zip(times, volts, strict=True)
    ]
    shapes.append(svg.polyline(course, colour=svg.INK, width=0.7, dash="3 2"))
    shapes.append(svg.polyline(_stairs(start, end, x, y), colour=svg.INK, width=1.5))
    shapes += _legend(highest)
    title = worded("Current and volts against time at the start, and the share that copper covers")
    return svg.drawing(WIDTH, HEIGHT, shapes, title=title)


def _stairs(start: SeedStart, end: float, x: Along, y: Along) -> list[svg.Point]:
    points: list[svg.Point] = []
    for number, entry in enumerate(start.table):
        last = number == len(start.table) - 1
        until = end if last else entry.start + entry.duration
        points += [(x(entry.start), y(entry.current)), (x(until), y(entry.current))]
    return points


def _axes(end: float, most: float, x: Along, y: Along) -> list[str]:
    shapes = []
    for value in _rungs(most):
        level = y(value)
        shapes.append(svg.line((_LEFT, level), (WIDTH - _RIGHT, level), colour=svg.PALE, width=0.5))
        shapes.append(
            svg.text((_LEFT - 4, level + 2.6), rounded(value), size=7.5, anchor="end",
                     colour=svg.GREY)
        )  # fmt: skip
    for share in (0.0, 0.5, 1.0):
        level = HEIGHT - _BOTTOM - share * (HEIGHT - _TOP - _BOTTOM)
        shapes.append(
            svg.text((WIDTH - _RIGHT + 4, level + 2.6), f"{100 * share:.0f} %", size=7.5,
                     colour=svg.GREY)
        )  # fmt: skip
    for minutes in _rungs(end / 60):
        shapes.append(
            svg.text((x(60 * minutes), HEIGHT - _BOTTOM + 11), rounded(minutes), size=7.5,
                     anchor="middle", colour=svg.GREY)
        )  # fmt: skip
    shapes.append(
        svg.text(
            (WIDTH - _RIGHT, HEIGHT - 3), worded("minutes"), size=7.5, anchor="end", colour=svg.GREY
        )
    )
    return shapes


def _legend(highest: float) -> list[str]:
    """What each line is; that of the volts says its highest, as they have no axis."""
    entries = (
        (worded("amperes, as set"), svg.INK, 1.5, ""),
        (worded("the fastest safe rise"), svg.ACCENT, 0.9, ""),
        (worded("covered by copper"), svg.GREY, 0.9, ""),
        (
            worded("the cell's volts, up to {volts}", volts=marked(f"{highest:.2f}")),
            svg.INK,
            0.7,
            "3 2",
        ),
    )
    shapes, left = [], _LEFT
    for words, colour, width, dash in entries:
        shapes.append(svg.line((left, 8), (left + 16, 8), colour=colour, width=width, dash=dash))
        shapes.append(svg.text((left + 20, 10.8), words, size=8, colour=svg.INK))
        left += 28 + 3.9 * len(words)
    return shapes


def _rungs(most: float) -> list[float]:
    """Round values from zero to at most `most`, about four of them."""
    about = most / 4
    power = 10.0 ** floor(log10(about))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= about)
    return [k * step for k in range(int(most / step + 1e-9) + 1)]
