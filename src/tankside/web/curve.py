"""The curve of rigs that none beats, as places in a picture: hours across, another cost upwards."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tankside.web.axis import round_ticks

WIDTH, HEIGHT = 640.0, 360.0
LEFT, RIGHT, TOP, BOTTOM = 64.0, 20.0, 18.0, 52.0
TICKS = 5
"""About so many marks along an axis."""


@dataclass(frozen=True, slots=True)
class Dot:
    """A rig in the picture: its place there, its words, its hours and its other cost."""

    x: float
    y: float
    words: str
    hours: float
    cost: float


@dataclass(frozen=True, slots=True)
class Curve:
    """The front's dots, the person's own rig (None where it has no such cost), the proposals, and
    marks of both axes as pairs of place and value."""

    front: tuple[Dot, ...]
    own: Dot | None
    proposals: tuple[Dot, ...]
    across: tuple[tuple[float, float], ...]
    upwards: tuple[tuple[float, float], ...]


def curve_of(
    front: Sequence[Mapping[str, Any]],
    own: Mapping[str, Any],
    proposals: Sequence[Mapping[str, Any]],
    cost: str = "spread",
) -> Curve:
    """Lays the picture out, upwards the numbers by the name `cost`; own rig and proposals are told
    in hours until the thinnest place has its thickness, as the front is."""
    every = [one for one in (*front, own, *proposals) if one[cost] is not None]
    hours = _ends([one["hours"] for one in every])
    costs = _ends([one[cost] for one in every])

    def dot(one: Mapping[str, Any], words: str) -> Dot:
        h, s = float(one["hours"]), float(one[cost])
        return Dot(_x(h, hours), _y(s, costs), words, h, s)

    return Curve(
        front=tuple(dot(one, "") for one in front),
        own=None if own[cost] is None else dot(own, ""),
        proposals=tuple(dot(one, str(number)) for number, one in enumerate(proposals, 1)),
        across=tuple((_x(tick, hours), tick) for tick in round_ticks(*hours, TICKS)),
        upwards=tuple((_y(tick, costs), tick) for tick in round_ticks(*costs, TICKS)),
    )


def _ends(values: Sequence[float]) -> tuple[float, float]:
    low, high = min(values), max(values)
    margin = 0.08 * (high - low) or 0.1 * high or 1.0
    return max(0.0, low - margin), high + margin


def _x(value: float, ends: tuple[float, float]) -> float:
    return round(LEFT + (value - ends[0]) / (ends[1] - ends[0]) * (WIDTH - LEFT - RIGHT), 1)


def _y(value: float, ends: tuple[float, float]) -> float:
    return round(
        HEIGHT - BOTTOM - (value - ends[0]) / (ends[1] - ends[0]) * (HEIGHT - TOP - BOTTOM), 1
    )
