"""Zones proposed from a photo, for a person to name, move, add or take away.

The program finds where the look changes and describes each stretch by what it measured (dark,
light, rough, smooth, how red); it proposes a look only where the description leaves little choice,
and never decides: what goes on to the diagnosis is what the person confirms.
"""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.diagnosis.panel.cell import SlantedCell
from tankside.diagnosis.panel.photo.change_points import best_division, cost_around
from tankside.diagnosis.panel.photo.picture import laid_flat
from tankside.diagnosis.panel.photo.profile import BIN, as_seen, profile_along
from tankside.diagnosis.panel.zones import Look, Zone, checked_zones

CORNER_ERROR = 3.0
"""How far a clicked corner may be off [pixels], nine times in ten: our guess."""

COST_WITHIN = 12.0
"""A position whose cost lies within this of the best may be the boundary: our choice, on rendered
panels; for independent noise 2.7 would do, and columns of a photo are not independent."""

BLUR = 0.004
"""Least half-width of a boundary, over the panel's length [-]: looks fade into each other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of even look.

    start, end  from the high-current edge, each where it may lie [m]
    lightness   0 black to 100 white
    redness     of the colour, about 0 grey
    yellowness  likewise
    roughness   scatter of the lightness about its slow course
    proposed    a look, where the description leaves little choice; else None
    """

    start: Interval
    end: Interval
    lightness: float
    redness: float
    yellowness: float
    roughness: float
    proposed: Look | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposed:
    """What a photo proposes: the stretches in order from the high-current edge."""

    cell: SlantedCell
    stretches: tuple[Stretch, ...]

    def moved(self, number: int, position: float, error: float) -> "Proposed":
        """With the boundary after stretch `number` (from 0) at `position` [m], `error` [m] wide."""
        if not 0 <= number < len(self.stretches) - 1:
            raise BadInput(
                "there is no boundary {number}; there are {count}",
                number=number,
                count=len(self.stretches) - 1,
            )
        first, second = self.stretches[number : number + 2]
        if not first.start.best < position < second.end.best:
            raise BadInput("a boundary stays between its neighbours")
        place = Interval(max(position - error, 0.0), position, position + error)
        changed = list(self.stretches)
        changed[number] = replace(first, end=place)
        changed[number + 1] = replace(second, start=place)
        return replace(self, stretches=tuple(changed))

    def merged(self, number: int) -> "Proposed":
        """Without the boundary after stretch `number`."""
        if not 0 <= number < len(self.stretches) - 1:
            raise BadInput(
                "there is no boundary {number}; there are {count}",
                number=number,
                count=len(self.stretches) - 1,
            )
        first, second = self.stretches[number : number + 2]
        one = replace(first, end=second.end)
        kept = (*self.stretches[:number], one, *self.stretches[number + 2 :])
        return replace(self, stretches=kept)

    def named(self, looks: tuple[Look | None, ...]) -> tuple[Zone, ...]:
        """The zones as a person names the stretches, None for what is to be left out; neighbours of
        one look become one zone."""
        if len(looks) != len(self.stretches):
            raise BadInput(
                "{count} stretches need as many looks, not {looks}",
                count=len(self.stretches),
                looks=len(looks),
            )
        zones: list[Zone] = []
        for look, one in zip(looks, self.stretches, strict=True):
            if look is None:
                continue
            last = zones[-1] if zones else None
            if last is not None and last.look is look and last.end == one.start:
                zones[-1] = replace(last, end=one.end)
            else:
                zones.append(Zone(look=look, start=one.start, end=one.end))
        return checked_zones(tuple(zones), self.cell)


def proposed_zones(
    picture: Floats, corners: Floats, cell: SlantedCell, *, corner_error: float = CORNER_ERROR
) -> Proposed:
    """Stretches of even look on a panel in a photo (rows, columns, 3), its corners (4, 2) [pixels]
    as `picture.laid_flat` takes them."""
    flat = laid_flat(picture, corners)
    profile = profile_along(flat)
    columns = profile.shape[1]
    coarse = (0, *(BIN * one for one in best_division(as_seen(profile))), columns)
    off = corner_error / float(np.linalg.norm(np.diff(np.asarray(corners)[:2], axis=0)))
    places = [Interval.exact(0.0)]
    for before, here, after in zip(coarse, coarse[1:], coarse[2:], strict=False):
        places.append(_place(profile, before, here, after, off).scaled(cell.length))
    places.append(Interval.exact(cell.length))
    ends = [round(one.best / cell.length * columns) for one in places]
    return Proposed(
        cell=cell,
        stretches=tuple(
            _stretch(flat[:, first:last], start, end)
            for (first, last), (start, end) in zip(pairwise(ends), pairwise(places), strict=True)
        ),
    )


def _place(profile: Floats, before: int, here: int, after: int, off: float) -> Interval:
    """Where a boundary may lie, over the panel's length [-], sought about the column `here`."""
    columns = profile.shape[1]
    scaled = profile / _scatter(profile, before, here, after)[:, None]
    cost = cost_around(scaled, before, after)
    first = max(here - _SOUGHT, before + 3) - before
    cost = cost[first : min(here + _SOUGHT, after - 3) - before + 1]
    best = int(np.argmin(cost))
    near = np.flatnonzero(cost <= cost[best] + COST_WITHIN)
    wide = float(np.hypot(off, BLUR))
    low, mid, high = (
        float(before + first + one) / columns for one in (near.min(), best, near.max())
    )
    return Interval(max(low - wide, 0.0), mid, min(high + wide, 1.0))


_SOUGHT = 3 * BIN
"""How far from the bins' boundary the columns' is sought [columns]."""


def _scatter(profile: Floats, before: int, here: int, after: int) -> Floats:
    """How each feature scatters about its straight lines on both sides of a boundary."""
    sides = (profile[:, before : here - BIN], profile[:, here + BIN : after])
    left = [_about_line(side) for side in sides if side.shape[1] > 4]
    found: Floats = np.maximum(np.sqrt(np.mean(np.square(left), axis=0)), _LEAST_SCATTER)
    return found


_LEAST_SCATTER = np.array([0.1, 0.1, 0.1, 0.02, 0.02])


def _about_line(side: Floats) -> Floats:
    x = np.linspace(-1.0, 1.0, side.shape[1])
    lines = np.polynomial.polynomial.polyfit(x, side.T, 1)
    found: Floats = (side - np.polynomial.polynomial.polyval(x, lines)).std(axis=1)
    return found


def _stretch(flat: Floats, start: Interval, end: Interval) -> Stretch:
    from skimage.color import rgb2lab

    lab = rgb2lab(flat)
    middles = np.median(lab.reshape(-1, 3), axis=0)
    columns = lab[:, :, 0] - np.median(lab[:, :, 0], axis=0)
    found = Stretch(
        start=start,
        end=end,
        lightness=float(middles[0]),
        redness=float(middles[1]),
        yellowness=float(middles[2]),
        roughness=float(np.median(np.abs(columns))),
        proposed=None,
    )
    return replace(found, proposed=_look(found))


_DARK, _RED = 26.0, 8.0
"""Lightness below which only burnt copper is, and redness below which there is no copper: brass and
steel have less, dull copper twice as much (our guess, on rendered panels and common colours)."""


def _look(one: Stretch) -> Look | None:
    """Dark is burnt; light without red is the bare plate; the rest is the person's to say."""
    if one.lightness < _DARK:
        return Look.BURNT
    if one.redness < _RED and one.lightness > 1.3 * _DARK:
        return Look.BARE
    return None
