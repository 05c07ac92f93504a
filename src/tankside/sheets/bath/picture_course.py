"""How a bath went over time: for each quantity what the ledger makes of it as a band, what was
measured as dots, and the window as a pale stripe."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime

from tankside.base.units import shown
from tankside.bath.inventory import BathEstimate
from tankside.bath.inventory.bath_estimate import Surprise
from tankside.sheets import svg
from tankside.sheets.bath.answer_sheet import quantity_name
from tankside.sheets.wording import plain, worded

WIDTH, ROW = 500.0, 92.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 46.0, 10.0, 16.0, 16.0
_SHOWN = {
    "copper": "g/L",
    "sulfuric_acid": "g/L",
    "chloride": "mg/L",
    "volume": "L",
}


def course_picture(
    course: Sequence[BathEstimate], windows: Mapping[str, tuple[float, float]]
) -> str:
    """One row a quantity, over the times of `course`, which are in order; SVG text. The last
    estimate's surprises are the measurements."""
    shapes: list[str] = []
    for number, name in enumerate(_SHOWN):
        shapes += _row(name, number * ROW, course, windows.get(name))
    shapes += _dates(course, len(_SHOWN) * ROW)
    title = worded("What the bath held over time, with its window and what was measured")
    return svg.drawing(WIDTH, len(_SHOWN) * ROW + 14, shapes, title=title)


def _row(
    name: str, top: float, course: Sequence[BathEstimate], window: tuple[float, float] | None
) -> list[str]:
    unit = _SHOWN[name]
    bands = [one.interval(name) for one in course]
    read = [one for one in course[-1].surprises if one.quantity == name]
    values = [end for band in bands for end in (band.low, band.high)]
    values += [one.value for one in read] + list(window or ())
    low, high = _padded(min(values), max(values))
    start, end = course[0].at, course[-1].at

    def x(at: float) -> float:
        share = (at - start) / (end - start) if end > start else 0.5
        return _LEFT + share * (WIDTH - _LEFT - _RIGHT)

    def y(value: float) -> float:
        return top + ROW - _BOTTOM - (value - low) / (high - low) * (ROW - _TOP - _BOTTOM)

    shapes = [svg.text((0, top + 11), f"{quantity_name(name)}, {unit}", size=8.5, bold=True)]
    if window is not None:
        shapes.append(
            svg.rectangle(
                (_LEFT, y(window[1])), WIDTH - _LEFT - _RIGHT, y(window[0]) - y(window[1]),
                fill=svg.PALE,
            )
        )  # fmt: skip
    for value in (low, high) if window is None else window:
        level = svg.text(
            (_LEFT - 4, y(value) + 2.6), _figure(value, unit), size=7.5, anchor="end",
            colour=svg.GREY,
        )  # fmt: skip
        shapes.append(level)
    times = [x(one.at) for one in course]
    upper = [(at, y(band.high)) for at, band in zip(times, bands, strict=True)]
    lower = [(at, y(band.low)) for at, band in zip(times, bands, strict=True)]
    middle = [(at, y(one.best(name))) for at, one in zip(times, course, strict=True)]
    shapes += [svg.polyline(upper, colour=svg.GREY), svg.polyline(lower, colour=svg.GREY)]
    shapes.append(svg.polyline(middle, colour=svg.INK, width=1.3))
    shapes += [_dot(x(one.at), y(one.value), one) for one in read if start <= one.at <= end]
    return shapes


def _dot(x: float, y: float, one: Surprise) -> str:
    """A measurement; a cross where it was set aside as grossly wrong."""
    if one.gross:
        arms = ((-3.0, -3.0), (3.0, 3.0)), ((-3.0, 3.0), (3.0, -3.0))
        return "".join(
            svg.line((x + a[0], y + a[1]), (x + b[0], y + b[1]), colour=svg.ACCENT, width=1.4)
            for a, b in arms
        )
    return svg.circle((x, y), 2.4, fill=svg.PAPER, stroke=svg.INK)


def _dates(course: Sequence[BathEstimate], y: float) -> list[str]:
    ends = ((_LEFT, course[0].at, "start"), (WIDTH - _RIGHT, course[-1].at, "end"))
    return [
        svg.text((x, y + 8), day(at), size=8, anchor="start" if side == "start" else "end",
                 colour=svg.GREY)
        for x, at, side in ends
    ]  # fmt: skip


def day(at: float) -> str:
    """The date of a moment [s since 1970], universal time."""
    return datetime.fromtimestamp(at, UTC).strftime("%Y-%m-%d")


def _padded(low: float, high: float) -> tuple[float, float]:
    room = 0.08 * (high - low) or 0.05 * abs(high) or 1.0
    return max(0.0, low - room), high + room


def _figure(value: float, unit: str) -> str:
    return plain(float(shown(value, unit, 3).split()[0]), 3)
