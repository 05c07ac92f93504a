"""A panel against earlier ones of the same bath: has the range of use narrowed?

What the laws of the cell are unsure of is the same for every panel of one cell and current, so only
marks and meters count in the comparison. Panels of another cell or another current are refused: the
same limits would lie at other places, under other gradients.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, log10, sqrt

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.diagnosis.panel.reading import Boundary, PanelReading

SAME_CURRENT = 0.05
"""Panels plated at currents that differ by more than this are not compared [-]: our guess."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """This panel over the mean of the earlier ones; None where one of them shows no such end.

    panels        how many earlier ones there are
    burnt_ratio   of the current density above which deposits are spoilt [-]
    bright_ratio  of the width of the bright range, in decades of current density [-]
    sentences     what it comes to
    """

    panels: int
    burnt_ratio: Interval | None
    bright_ratio: Interval | None
    sentences: tuple[str, ...]


def compared(reading: PanelReading, earlier: Sequence[PanelReading]) -> Trend:
    """This panel against earlier ones; BadInput where they cannot be compared."""
    if not earlier:
        raise BadInput("there is no earlier panel to compare with")
    for one in earlier:
        _refuse_unlike(reading, one)
    burnt = _ratio(reading.burnt_above, [one.burnt_above for one in earlier])
    bright = _width_ratio(reading, earlier)
    told = [
        *_told(said("the current density above which deposits are spoilt"), burnt),
        *_told(said("the bright range, in decades,"), bright),
        *_new_or_gone(reading, earlier),
    ]
    return Trend(
        panels=len(earlier),
        burnt_ratio=burnt,
        bright_ratio=bright,
        sentences=tuple(told) or ("no end of a zone stands on this panel and on the earlier ones",),
    )


def _refuse_unlike(reading: PanelReading, other: PanelReading) -> None:
    test, before = reading.test, other.test
    if before.cell.name != test.cell.name:
        raise BadInput(
            "{before} is of the {cell} cell and cannot be compared with one of the {other} cell",
            before=before.name,
            cell=before.cell.name,
            other=test.cell.name,
        )
    if abs(before.current - test.current) > SAME_CURRENT * test.current:
        raise BadInput(
            "{before} was plated at {current:g} A and cannot be compared with {test:g} A; plate "
            "panels of one bath at one current",
            before=before.name,
            current=before.current,
            test=test.current,
        )


def _ratio(now: Boundary | None, before: Sequence[Boundary | None]) -> Interval | None:
    known = [one.by_mark for one in before if one is not None]
    if now is None or not known:
        return None
    mean = sum(log(one.best) for one in known) / len(known)
    spread = sqrt(
        _log_half(now.by_mark) ** 2 + sum(_log_half(one) ** 2 for one in known) / len(known) ** 2
    )
    best = log(now.by_mark.best) - mean
    return Interval(exp(best - spread), exp(best), exp(best + spread))


def _log_half(value: Interval) -> float:
    return 0.5 * log(value.high / value.low)


def _width_ratio(reading: PanelReading, earlier: Sequence[PanelReading]) -> Interval | None:
    before = [_width(one) for one in earlier]
    mean = sum(width for width, _ in before) / len(before)
    if mean <= 0.0:
        return None
    width, error = _width(reading)
    spread = sqrt(error**2 + sum(one**2 for _, one in before) / len(before) ** 2) / mean
    best = width / mean
    return Interval(max(best - spread, 0.0), best, best + spread)


def _width(reading: PanelReading) -> tuple[float, float]:
    """Of the bright range in decades, with its error; up to what the panel tells."""
    if not reading.has_bright:
        return 0.0, 0.0
    ends = (reading.bright_below, reading.bright_above)
    high, low = (
        shown if end is None else end.by_mark
        for end, shown in zip(ends, reading.shown, strict=True)
    )
    errors = [_log_half(end.by_mark) / log(10.0) for end in ends if end is not None]
    return log10(high.best / low.best), sqrt(sum(one**2 for one in errors))


def _told(what: str, ratio: Interval | None) -> list[str]:
    if ratio is None:
        return []
    low, best, high = (100 * end for end in (ratio.low, ratio.best, ratio.high))
    way = said("has not changed beyond the error of the marks")
    if ratio.high < 1.0:
        way = said("has shrunk")
    elif ratio.low > 1.0:
        way = said("has grown")
    return [
        said(
            "{what} {way}: {best} % of the earlier panels' ({low} to {high} %)",
            what=what,
            way=way,
            best=f"{best:.0f}",
            low=f"{low:.0f}",
            high=f"{high:.0f}",
        )
    ]


def _new_or_gone(reading: PanelReading, earlier: Sequence[PanelReading]) -> list[str]:
    were = [one for one in earlier if one.burnt_above is not None]
    if reading.burnt_above is not None and not were:
        return [said("deposits are spoilt at the high end, which no earlier panel showed")]
    if reading.burnt_above is None and were:
        return [said("deposits are no longer spoilt at the high end")]
    if not reading.has_bright and any(one.has_bright for one in earlier):
        return [said("no stretch is bright any more")]
    return []
