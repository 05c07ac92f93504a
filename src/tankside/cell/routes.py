"""The way of a wire from its contact to the liquid's surface.

It starts with a flat end one wire radius off the part. Without points of its own it goes straight
up; where the part is in the way, it first leads out along the normal, or along the normal leaning
up, or level, or off the surface and then level aside, just as far as it must. A way is clear where
the wire keeps off its own part by about half its radius and, where it can, off everything else by
the least gap. A wire that finds no way is refused.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import Impossible
from tankside.cell.contacts import Place
from tankside.cell.description import ContactSpec
from tankside.cell.nearness import Nearness
from tankside.cell.placing import unit
from tankside.cell.tubes import Tube, rounded
from tankside.cell.wording import length

_UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, kw_only=True)
class Surroundings:
    """What a wire must keep off: its part, with the diagonal of its box [m], and everything else;
    the liquid's level [m]. The walls are left to later checks."""

    part: Nearness
    part_size: float
    others: Nearness
    least_gap: float
    level: float


def routed(spec: ContactSpec, name: str, place: Place, around: Surroundings) -> Tube:
    """The wire of one contact."""
    thin = Tube(axis=np.zeros((2, 3)), diameter=spec.wire_diameter, open_end=True)
    if spec.via:
        line = _through(np.array(spec.via, dtype=np.float64), name, place, around, thin)
        if not _keeps_off(line, around, thin):
            raise Impossible(
                "the wire of {name} passes through part {part} or within {thin} of it; move its "
                "via points outwards",
                name=name,
                part=place.part,
                thin=length(_clearance(thin) - thin.reach),
            )
        return Tube(axis=line, diameter=thin.diameter, open_end=True)
    for strict in (True, False):
        for line in _ways(place, around, thin):
            smooth = rounded(line, thin.diameter, f"the wire of {name}")
            if _keeps_off(smooth, around, thin) and (not strict or _is_free(smooth, around, thin)):
                return Tube(axis=smooth, diameter=thin.diameter, open_end=True)
    raise Impossible(
        "the wire of {name} finds no way up past part {part} from a place {depth} under the "
        "liquid; lead it by via points or hold the part elsewhere",
        name=name,
        part=place.part,
        depth=length(around.level - float(place.position[2])),
    )


def _through(via: Floats, name: str, place: Place, around: Surroundings, wire: Tube) -> Floats:
    """The line over the points that were given, then straight up."""
    if via[:, 2].max() >= around.level - 4 * wire.diameter:
        over = float(via[:, 2].max()) - around.level
        if over >= 0:
            raise Impossible(
                "a via point of {name} lies {over} above the liquid; the wire goes straight up "
                "from the last point, so leave that one away",
                name=name,
                over=length(over),
            )
        raise Impossible(
            "a via point of {name} lies only {under} under the liquid; the wire goes straight up "
            "from the last point, so leave it away",
            name=name,
            under=length(-over),
        )
    towards = unit(via[0] - place.position)
    if towards @ place.normal < 0.05:
        raise Impossible(
            "the first via point of {name} lies behind the surface of part {part}, {distance} from "
            "the contact; lead the wire off the part first",
            name=name,
            part=place.part,
            distance=length(float(np.linalg.norm(via[0] - place.position))),
        )
    line = [_start(place, towards, wire), *via, np.array([*via[-1, :2], around.level])]
    return rounded(np.array(line), wire.diameter, f"the wire of {name}")


def _ways(place: Place, around: Surroundings, wire: Tube) -> Iterator[Floats]:
    """Lines to try, the simplest first."""
    if place.normal[2] > -0.5:
        yield from _upwards([_start(place, _UP, wire)], around.level, wire)
    lengths = [wire.diameter * 4 * 1.5**k for k in range(60)]
    lengths = [step for step in lengths if step < 1.2 * around.part_size]
    for step in lengths:
        for way in _ways_out(place.normal):
            start = _start(place, way, wire)
            yield from _upwards([start, start + step * way], around.level, wire)
    yield from _ways_aside(place, around.level, wire, lengths)


def _ways_out(normal: Floats) -> Iterator[Floats]:
    """Leaning up, along the normal, level: as far as each leads off the surface."""
    if normal[2] > -0.7:
        yield unit(normal + _UP)
    if abs(normal[2]) < 0.999:
        yield unit(normal * [1, 1, 0])
    if abs(normal[2]) < 0.7:
        yield normal


def _ways_aside(
    place: Place, level: float, wire: Tube, lengths: Sequence[float]
) -> Iterator[Floats]:
    """Off the surface by a little, then level in one of eight directions, then up."""
    start = _start(place, place.normal, wire)
    for step in lengths:
        for off in (6 * wire.diameter, 24 * wire.diameter):
            for angle in np.arange(8) * np.pi / 4:
                away = start + off * place.normal
                aside = np.array([np.cos(angle), np.sin(angle), 0.0])
                yield from _upwards([start, away, away + step * aside], level, wire)


def _upwards(points: list[Floats], level: float, wire: Tube) -> Iterator[Floats]:
    """The line with its upright end, where there is room for one."""
    last = points[-1]
    room = wire.diameter * (1 if len(points) == 1 else 4)
    if last[2] < level - room:
        yield np.array([*points, [last[0], last[1], level]])


def _start(place: Place, way: Floats, wire: Tube) -> Floats:
    """Middle of the wire's end: square to the way, all of it a radius off the surface."""
    cosine = min(1.0, float(place.normal @ way))
    tilt = np.sqrt(max(0.0, 1 - cosine**2))
    start: Floats = place.position + (wire.diameter / 2 + wire.reach * tilt) * place.normal
    return start


def _clearance(wire: Tube) -> float:
    """Distance of the axis from the own part, beside the wire."""
    return wire.reach + 0.2 * wire.diameter


def _keeps_off(line: Floats, around: Surroundings, wire: Tube) -> bool:
    points, way = _along(line, wire.reach)
    needed = np.where(way < 2 * wire.reach, 0.45 * wire.diameter, _clearance(wire))
    return around.part.all_beyond(points, needed)


def _is_free(line: Floats, around: Surroundings, wire: Tube) -> bool:
    points, _ = _along(line, 2 * wire.reach)
    return around.others.all_beyond(points, np.full(len(points), around.least_gap + wire.reach))


def _along(line: Floats, step: float) -> tuple[Floats, Floats]:
    """Points along a line no more than `step` apart, and their way from the start [m]."""
    rows, ways, way = [], [], 0.0
    for a, b in pairwise(line):
        whole = float(np.linalg.norm(b - a))
        share = np.linspace(0, 1, 2 + int(whole / step))
        rows.append(a + share[:, None] * (b - a))
        ways.append(way + share * whole)
        way += whole
    return np.concatenate(rows), np.concatenate(ways)
