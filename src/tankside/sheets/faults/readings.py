"""Looks of what is read: a meter's course over time, and the colour of the bath."""

from collections.abc import Callable
from math import sin

from tankside.sheets import svg
from tankside.sheets.faults import palette as p
from tankside.sheets.faults.looks import Look
from tankside.sheets.faults.region import Region
from tankside.sheets.faults.scene import filled

Level = Callable[[float], float]


def falling(region: Region) -> list[str]:
    """A reading that sinks."""
    return _course(region, lambda t: 0.85 - 0.65 * t**1.2)


def climbing(region: Region) -> list[str]:
    """A reading that climbs."""
    return _course(region, lambda t: 0.2 + 0.65 * t**1.2)


def jumping(region: Region) -> list[str]:
    """A reading that jumps about."""
    return _course(region, lambda t: 0.5 + 0.36 * sin(71.0 * t) * sin(23.0 * t + 1.0))


def steady(region: Region) -> list[str]:
    """A reading that stays, high."""
    return _course(region, lambda t: 0.8)


def nothing(region: Region) -> list[str]:
    """A reading of nothing."""
    return _course(region, lambda t: 0.06)


def _course(region: Region, level: Level) -> list[str]:
    left, top, right, bottom = region.box
    points = [
        (left + t * (right - left), bottom - level(t) * (bottom - top))
        for t in (k / 60 for k in range(61))
    ]
    return [
        svg.line((left, bottom), (right, bottom), colour=svg.GREY, width=0.6),
        svg.polyline(points, colour=svg.ACCENT, width=1.8),
    ]


def mid_blue(region: Region) -> list[str]:
    """The bath as it should be."""
    return [filled(region, p.LIQUID, stroke="none")]


def pale_blue(region: Region) -> list[str]:
    """Little copper."""
    return [filled(region, p.LIQUID_PALE, stroke="none")]


def deep_blue(region: Region) -> list[str]:
    """Much copper."""
    return [filled(region, p.LIQUID_DEEP, stroke="none")]


def green_liquid(region: Region) -> list[str]:
    """A green bath."""
    return [filled(region, p.LIQUID_GREEN, stroke="none")]


READINGS: tuple[Look, ...] = (
    *(falling, climbing, jumping, steady, nothing),
    *(mid_blue, pale_blue, deep_blue, green_liquid),
)
