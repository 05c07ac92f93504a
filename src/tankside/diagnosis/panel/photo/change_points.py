"""Where a profile changes: the best division of it into stretches that are even in themselves.

Each stretch costs the squares about its straight line, feature by feature, and each further
stretch a penalty. The best division is found exactly by dynamic programming over all columns. How
sure a change is follows from what it would cost to move it: the positions whose cost is within a
few units of the best hold it nine times in ten, widened by the person's corners and the blur.
"""

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Floats

Places = npt.NDArray[np.intp]

PENALTY = 60.0
"""Cost of a further stretch, in squared standard deviations: our choice, on rendered panels."""

LEAST = 0.05
"""Least length of a stretch, over the panel's [-]."""

FADING = 2
"""Bins at either end of a stretch that cost nothing: there one look fades into the next, and at the
panel's own ends a corner may be off."""


def best_division(profile: Floats, *, penalty: float = PENALTY) -> tuple[int, ...]:
    """Columns before which a new stretch begins, in order; empty where one stretch is best."""
    count = profile.shape[1]
    least = max(round(LEAST * count), 2 * FADING + 2)
    sums = _Sums(profile)
    best = np.full(count + 1, np.inf)
    best[0] = -penalty
    before = np.zeros(count + 1, dtype=np.intp)
    for end in range(least, count + 1):
        starts = np.arange(0, end - least + 1)
        ends = np.full(len(starts), end - FADING)
        cost = best[starts] + sums.cost(starts + FADING, ends) + penalty
        before[end] = starts[int(np.argmin(cost))]
        best[end] = cost.min()
    found = []
    end = count
    while before[end] > 0:
        end = int(before[end])
        found.append(end)
    return tuple(reversed(found))


def cost_around(profile: Floats, start: int, end: int) -> Floats:
    """Cost of a change at each column between `start` and `end` (end - start + 1,), least at the
    best; infinite within three columns of either."""
    sums = _Sums(profile)
    places = np.arange(start, end + 1)
    inner = places[3:-3]
    cost = np.full(len(places), np.inf)
    cost[3:-3] = sums.cost(np.full(len(inner), start), inner) + sums.cost(
        inner, np.full(len(inner), end)
    )
    return cost


class _Sums:
    """Running sums, from which the cost of any stretch follows at once."""

    def __init__(self, profile: Floats) -> None:
        x = np.arange(profile.shape[1], dtype=float)
        centred = profile - profile.mean(axis=1, keepdims=True)
        self.y = _running(centred)
        self.yy = _running(centred**2)
        self.xy = _running(centred * x)
        self.x = _running(x[None, :])
        self.xx = _running(x[None, :] ** 2)

    def cost(self, starts: Places, ends: Places) -> Floats:
        """Squares about the straight line of each stretch, summed over features."""
        n = (ends - starts).astype(float)
        x, xx = (self._over(one, starts, ends) for one in (self.x, self.xx))
        y, yy, xy = (self._over(one, starts, ends) for one in (self.y, self.yy, self.xy))
        spread = xx - x**2 / n
        shared = xy - x * y / n
        slope = np.where(spread > 1e-9, shared**2 / np.maximum(spread, 1e-9), 0.0)
        found: Floats = np.maximum(yy - y**2 / n - slope, 0.0).sum(axis=0)
        return found

    def _over(self, sums: Floats, starts: Places, ends: Places) -> Floats:
        found: Floats = sums[:, ends] - sums[:, starts]
        return found


def _running(values: Floats) -> Floats:
    zero = np.zeros((values.shape[0], 1))
    found: Floats = np.concatenate([zero, np.cumsum(values, axis=1)], axis=1)
    return found
