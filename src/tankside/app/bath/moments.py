"""Dates and times as people type them, and as they are read back.

"2026-03-01 18:30" is taken in the zone of the machine, "2026-03-01" at noon; a zone may be typed.
Events lie in the past: what is to come is for the forecast.
"""

from datetime import datetime, timedelta

from tankside.base.errors import BadInput

_SLACK_S = 86400.0
"""How far ahead of the clock an event may lie [s]: a clock set wrong, another zone."""


_LAST_YEAR = 2999
"""Beyond it some machines' clocks do not reckon."""


def moment(text: str, *, now: float, where: str) -> float:
    """A time [s since 1970-01-01 UTC]; BadInput where it is none, or lies in the future."""
    try:
        read = datetime.fromisoformat(text.strip())
    except ValueError as error:
        raise BadInput(
            "{text!r} is no date; write it as '2026-03-01 18:30' or '2026-03-01'",
            text=text,
            where=where,
        ) from error
    if len(text.strip()) <= len("2026-03-01"):
        read += timedelta(hours=12)
    if read.year < 1971:
        raise BadInput(
            "{text!r} is before anyone here plated; check the year", text=text, where=where
        )
    if read.year > _LAST_YEAR or (at := read.timestamp()) > now + _SLACK_S:
        raise BadInput("{text!r} lies in the future; check the year", text=text, where=where)
    return at


def told_moment(at: float) -> str:
    """A time [s since 1970-01-01 UTC] as "2026-03-01 18:30" in the machine's zone."""
    return datetime.fromtimestamp(at).strftime("%Y-%m-%d %H:%M")


def told_day(at: float) -> str:
    """Its day, "2026-03-01"."""
    return datetime.fromtimestamp(at).strftime("%Y-%m-%d")
