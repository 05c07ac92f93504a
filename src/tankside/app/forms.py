"""The form that replies take intervals in as JSON; units stand in the names."""

from tankside.base.intervals import Interval


def ends(value: Interval) -> dict[str, float]:
    """An interval."""
    return {"low": value.low, "best": value.best, "high": value.high}


def ends_or_none(value: Interval | None) -> dict[str, float] | None:
    """An interval, or nothing."""
    return None if value is None else ends(value)
