"""Gaps between the walls of a part, and the nearest place where each has opened.

A gap has opened where it is twice as wide as where it was found. Ways out are looked for in the
plane square to the gap, by rays: coarse looks all round, finer ones where those find nothing.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints
from tankside.part.rays import RayTree

OPENED = 2.0
"""A gap has opened where it is this many times as wide [-]."""

_LOOKS = (
    (0.0, np.radians(15.0), 24),
    (np.radians(5.0), np.radians(15.0), 24),
    (np.radians(10.0), np.radians(15.0), 24),
)
_BESIDE = np.radians([-7.5, -5.0, -2.5, 0.0, 2.5, 5.0, 7.5])
_FIRST_STEP, _GROWTH, _HALVINGS = 0.45, 1.6, 16


@dataclass(frozen=True)
class Gaps:
    """Middles (n, 3), unit directions across (n, 3) and widths (n,) of gaps."""

    middle: Floats
    across: Floats
    width: Floats

    def where(self, keep: Bools | Ints) -> "Gaps":
        """Some of the gaps."""
        return Gaps(self.middle[keep], self.across[keep], self.width[keep])


def ways_to_mouth(rays: RayTree, gaps: Gaps, size: float) -> tuple[Floats, Floats]:
    """(axis (n, 3), distance (n,)) of the nearest place in sight where each gap has opened: coarse
    looks round, the next where one finds nothing, and a last one beside what was found."""
    angle, distance = np.zeros(len(gaps.width)), np.full(len(gaps.width), np.inf)
    for start, step, count in _LOOKS:
        which = np.flatnonzero(np.isinf(distance))
        fan = np.broadcast_to(start + step * np.arange(count), (len(which), count))
        angle[which], distance[which] = _best_of(rays, gaps.where(which), fan, size)
    which = np.flatnonzero(np.isfinite(distance))
    fan = angle[which, None] + _BESIDE
    angle[which], distance[which] = _best_of(rays, gaps.where(which), fan, size)
    return _ways(gaps.across, angle[:, None])[:, 0], distance


def _best_of(rays: RayTree, gaps: Gaps, fan: Floats, size: float) -> tuple[Floats, Floats]:
    """(angle, distance) of the nearest opening on ways at the angles `fan` (n, k)."""
    if not len(fan):
        return np.zeros(0), np.zeros(0)
    every = np.repeat(np.arange(len(fan)), fan.shape[1])
    ways = _ways(gaps.across, fan).reshape(-1, 3)
    free = rays.first_hits(gaps.middle[every], ways)[1]
    table = opening(rays, gaps.where(every), ways, free, size, together=every).reshape(fan.shape)
    best = np.argmin(table, axis=1)
    rows = np.arange(len(fan))
    return fan[rows, best], table[rows, best]


def _ways(across: Floats, fan: Floats) -> Floats:
    """Directions square to `across` (n, 3), at angles (n, k): (n, k, 3)."""
    first = np.cross(across, np.eye(3)[np.argmin(np.abs(across), axis=1)])
    first /= np.linalg.norm(first, axis=1)[:, None]
    second = np.cross(across, first)
    ways = np.cos(fan)[..., None] * first[:, None] + np.sin(fan)[..., None] * second[:, None]
    return np.asarray(ways)


def opening(
    rays: RayTree,
    gaps: Gaps,
    ways: Floats,
    free: Floats,
    size: float,
    together: Ints | None = None,
) -> Floats:
    """Distance along each way to where its gap has opened (n,); infinite where the way is blocked
    at `free` before. Of the ways of one group in `together`, only the first that open are found."""
    distance = np.full(len(ways), np.inf)
    active = np.arange(len(ways))
    before = np.zeros(len(ways))
    place = gaps.width * _FIRST_STEP
    while len(active):
        active = active[(place[active] < free[active]) & (before[active] < size)]
        opened = _opened(rays, gaps, ways, place, active)
        distance[active[opened]] = place[active[opened]]
        left = active[~opened]
        if together is not None:
            left = left[~np.isin(together[left], together[active[opened]])]
        before[left] = place[left]
        place[left] *= _GROWTH
        active = left
    return _sharpened(rays, gaps, ways, before, distance)


def _sharpened(rays: RayTree, gaps: Gaps, ways: Floats, before: Floats, distance: Floats) -> Floats:
    """Distances between the last shut place and the first open one, halved down."""
    found = np.flatnonzero(np.isfinite(distance))
    for _ in range(_HALVINGS):
        middle = np.where(np.isfinite(distance), (before + distance) / 2, 0.0)
        opened = _opened(rays, gaps, ways, middle, found)
        distance[found[opened]] = middle[found[opened]]
        before[found[~opened]] = middle[found[~opened]]
    return distance


def _opened(rays: RayTree, gaps: Gaps, ways: Floats, place: Floats, which: Ints) -> Bools:
    """Whether the gap has opened at `place` along the ways `which`."""
    points = gaps.middle[which] + place[which, None] * ways[which]
    across, limit = gaps.across[which], OPENED * gaps.width[which]
    gap = rays.first_hits(points, across)[1]
    unsure = gap <= limit
    gap[unsure] += rays.first_hits(points[unsure], -across[unsure])[1]
    return np.asarray(gap > limit)
