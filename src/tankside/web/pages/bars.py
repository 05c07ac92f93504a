"""Intervals as bars on one scale, for a picture beside a table."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import log

from tankside.base.intervals import Interval

Ends = tuple[float, float, float]
ROOM = 0.06
"""Left free at either side of the picture, of its width."""


@dataclass(frozen=True, slots=True)
class Bar:
    """A row: its words, and where low, best and high lie, from 0 to 100; before, if there is one,
    and after. `one` is where no change lies."""

    words: str
    before: Ends | None
    after: Ends
    one: float


def bars(rows: Sequence[tuple[str, Interval | None, Interval]]) -> list[Bar]:
    """Factors as bars on one logarithmic scale."""
    ends = [x for _, before, after in rows for one in (before, after) if one for x in _ends(one)]
    low, high = min([*ends, 0.9]), max([*ends, 1.1])
    span = log(high / low)

    def place(value: float) -> float:
        return 100 * (ROOM + (1 - 2 * ROOM) * log(value / low) / span)

    return [
        Bar(words, None if before is None else _placed(before, place), _placed(after, place),
            place(1.0))
        for words, before, after in rows
    ]  # fmt: skip


def _ends(one: Interval) -> Ends:
    return one.low, one.best, one.high


def _placed(one: Interval, place: Callable[[float], float]) -> Ends:
    return place(one.low), place(one.best), place(one.high)
