"""From thickness to colour: one scale for every map and picture of a plan.

The scale is a curve in the OKLab colour space (Björn Ottosson, 2020, "A perceptual color space for
image processing"), from ink blue over copper to pale brass, walked at even pace: equal steps of
thickness are equal steps to the eye. Its lightness rises all the way, so it reads in grey print and
with any colour blindness. Bare and burning places never rest on colour alone: they get a pattern.
"""

from dataclasses import dataclass
from functools import cache
from math import ceil, floor, log10

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Bools, Floats
from tankside.cell.bodies import Role
from tankside.plan.current import BURNING_FROM
from tankside.plan.outcome import BARE_BELOW_M
from tankside.plan.plan import BodyResult, Plan
from tankside.sheets.wording import figure

_INK, _COPPER, _BRASS = (0.24, 0.01, -0.09), (0.56, 0.13, 0.06), (0.94, -0.008, 0.10)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThicknessScale:
    """Thickness from `low` to `high` [m] along the colours; `ticks` [m] for the legend.

    What lies beyond an end takes that end's colour; `above` and `below` tell whether any does.
    """

    low: float
    high: float
    ticks: tuple[float, ...]
    below: bool
    above: bool

    def colours(self, thickness: npt.ArrayLike) -> Floats:
        """sRGB colours (..., 3) from 0 to 1 of thicknesses [m]."""
        share = (np.asarray(thickness, float) - self.low) / (self.high - self.low)
        return ramp(np.clip(share, 0.0, 1.0))

    def colours_quickly(self, thickness: npt.NDArray[np.float32]) -> npt.NDArray[np.float32]:
        """The same for many values (m,), from a table of 512 steps, finer than print shows."""
        table = ramp(np.linspace(0.0, 1.0, 512)).astype(np.float32)
        share = (thickness - np.float32(self.low)) * np.float32(511 / (self.high - self.low))
        return np.asarray(table[np.clip(np.rint(share), 0, 511).astype(np.int16)])


def thickness_scale(plan: Plan) -> ThicknessScale:
    """A scale with round ends over all but the thickest hundredth of the parts' area, from zero
    where the thinnest place is far thinner than the thickest; ticks run from end to end."""
    parts = [result for result in plan.results if result.body.role is Role.PART]
    thickness = np.concatenate([result.thickness for result in parts])
    areas = np.concatenate([result.body.surface.areas for result in parts])
    return scale_over(thickness, areas, unit=1.0 / figure(1.0, "um"))


def scale_over(values: Floats, areas: Floats, *, unit: float = 1.0) -> ThicknessScale:
    """The same over any values (m,) on panels of these areas (m,); its ends and ticks are round in
    multiples of `unit`."""
    least, most = float(values.min()), float(values.max())
    usual = percentile_by_area(values, areas, 0.99)
    top = most if most <= 1.25 * usual else usual
    foot = 0.0 if 0 <= least <= 0.25 * top else least
    step = unit * _round_step(max(top - foot, 1e-3 * abs(top), 1e-9) / unit, 5)
    first = floor(foot / step + 1e-9)
    last = max(ceil(top / step - 1e-9), first + 1)
    low, high = step * first, step * last
    return ThicknessScale(
        low=low,
        high=high,
        ticks=tuple(step * k for k in range(first, last + 1)),
        below=least < low,
        above=most > high,
    )


def percentile_by_area(values: Floats, areas: Floats, share: float) -> float:
    """The value that `share` of the area [-] does not exceed."""
    order = np.argsort(values, kind="stable")
    filled = np.cumsum(areas[order])
    return float(values[order][np.searchsorted(filled, share * filled[-1])])


def burning(result: BodyResult) -> Bools:
    """Panels of a part at the limit of copper (n,)."""
    return np.asarray(result.fraction_of_limit >= BURNING_FROM)


def bare(result: BodyResult) -> Bools:
    """Panels of a part that copper does not cover (n,)."""
    return np.asarray(result.thickness < BARE_BELOW_M)


def ramp(share: Floats) -> Floats:
    """sRGB colours (..., 3) at shares from 0 (ink) to 1 (brass) of the scale."""
    pace, curve = _scale_curve()
    share = np.asarray(share)
    lab = np.stack([np.interp(share, pace, curve[:, k]) for k in range(3)], axis=-1)
    return np.clip(encoded(_linear_light(lab)), 0.0, 1.0)


@cache
def _scale_curve() -> tuple[Floats, Floats]:
    """Share of the way (m,) and OKLab points (m, 3) of the quadratic Bézier curve of the scale."""
    t = np.linspace(0.0, 1.0, 257)[:, None]
    ink, copper, brass = (np.array(end) for end in (_INK, _COPPER, _BRASS))
    curve = (1 - t) ** 2 * ink + 2 * (1 - t) * t * copper + t**2 * brass
    way = np.concatenate([[0.0], np.linalg.norm(np.diff(curve, axis=0), axis=1).cumsum()])
    return way / way[-1], curve


def encoded(light: Floats) -> Floats:
    """Linear light to sRGB values (IEC 61966-2-1)."""
    light = np.clip(light, 0.0, None)
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def decoded(colour: Floats) -> Floats:
    """sRGB values to linear light (IEC 61966-2-1)."""
    return np.where(colour <= 0.04045, colour / 12.92, ((colour + 0.055) / 1.055) ** 2.4)


def hexadecimal(colour: npt.ArrayLike) -> str:
    """A colour (3,) from 0 to 1 as text such as "#1f2a44"."""
    return "#" + "".join(f"{round(255 * float(part)):02x}" for part in np.asarray(colour))


def _linear_light(lab: Floats) -> Floats:
    """OKLab (..., 3) to linear sRGB."""
    cones = lab @ _LAB_TO_CONES.T
    return np.asarray(cones**3 @ _CONES_TO_RGB.T)


_LAB_TO_CONES = np.array(
    [
        [1.0, 0.3963377774, 0.2158037573],
        [1.0, -0.1055613458, -0.0638541728],
        [1.0, -0.0894841775, -1.2914855480],
    ]
)
_CONES_TO_RGB = np.array(
    [
        [4.0767416621, -3.3077115913, 0.2309699292],
        [-1.2684380046, 2.6097574011, -0.3413193965],
        [-0.0041960863, -0.7034186147, 1.7076147010],
    ]
)


def _round_step(span: float, about: int) -> float:
    """The step of 1, 2, 2.5 or 5 times a power of ten that cuts `span` into about that many."""
    rough = span / about
    power = 10.0 ** floor(log10(rough))
    return power * min(
        (1.0, 2.0, 2.5, 5.0, 10.0), key=lambda nice: abs(log10(nice * power / rough))
    )
