"""Where a titration ends, from typed pairs of volume and millivolts.

Two readings of the same curve: the zero of its second derivative, by differences between neighbours
(sharp, needs points at the jump), and Gran's lines (zellmer1997), (V0 + V) 10^(±E/s), straight
before and beyond the end and zero at it (needs points away from it; evens out noise). Where they
disagree, the answer says so. Refuses too few points, volumes that do not rise, and curves without
a jump.
"""

from dataclasses import dataclass, replace
from math import isfinite, log, sqrt

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.constants import FARADAY_C_PER_MOL, GAS_CONSTANT_J_PER_MOL_K
from tankside.base.errors import BadInput
from tankside.base.messages import Quantity
from tankside.bath.analysis.propagation import Measured

FEWEST_POINTS = 6
"""Pairs below which no end is looked for [-]: our choice."""

LEAST_JUMP = 3.0
"""How many times steeper than its median the curve must be at the end [-]: our choice."""

CROOKED = 0.01
"""Deviation of Gran's end as a share of the volume from which an electrode is doubted [-]: ours."""

_ML = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """Burette volumes [m³], rising, and potentials [V] read at them."""

    volumes: Floats
    potentials: Floats

    def __post_init__(self) -> None:
        object.__setattr__(self, "volumes", frozen_floats(self.volumes))
        object.__setattr__(self, "potentials", frozen_floats(self.potentials))
        count = len(self.volumes)
        if count != len(self.potentials):
            raise BadInput(
                "{count} volumes but {other} potentials",
                count=count,
                other=len(self.potentials),
            )
        if count < FEWEST_POINTS:
            raise BadInput(
                "{count} pairs are too few to find an end in; read {fewest_points} or more, "
                "closest together where the reading runs",
                count=count,
                fewest_points=FEWEST_POINTS,
            )
        if not (np.isfinite(self.volumes).all() and np.isfinite(self.potentials).all()):
            raise BadInput("a volume or a potential is not a finite number")
        self._check_order()
        if np.abs(self.potentials).max() > 2.0:
            raise BadInput(
                "potentials above 2 V are no electrode's; were millivolts typed as volts?"
            )

    def _check_order(self) -> None:
        falls = np.flatnonzero(np.diff(self.volumes) <= 0.0)
        if len(falls):
            first = int(falls[0])
            raise BadInput(
                "volume {number} of the curve ({volume}) is not above the one before it "
                "({before}); were two digits swapped?",
                number=first + 2,
                volume=Quantity(self.volumes[first + 1], "mL", 6),
                before=Quantity(self.volumes[first], "mL", 6),
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class EndPoint:
    """Where a curve ends [m³], by which reading, with what to know of it."""

    volume: Measured
    by: str
    notes: tuple[str, ...] = ()


def end_point(
    curve: Curve, *, initial_volume: float | None = None, temperature: float = 298.15
) -> EndPoint:
    """The end by the second derivative, checked against Gran's lines where `initial_volume` [m³]
    of liquid in the beaker is given."""
    sharp = second_derivative_end(curve)
    if initial_volume is None:
        return sharp
    try:
        lines = gran_end(curve, initial_volume, sharp.volume.value, temperature)
    except BadInput:
        return EndPoint(
            volume=sharp.volume,
            by=sharp.by,
            notes=("Too few points away from the end to check it by Gran's lines.",),
        )
    return _agreed(sharp, lines)


def second_derivative_end(curve: Curve) -> EndPoint:
    """The zero of the second difference at the steepest place, by a straight line between."""
    volumes, slopes = _slopes(curve)
    steepness = np.abs(slopes)
    peak = int(np.argmax(steepness))
    if steepness[peak] < LEAST_JUMP * np.median(steepness):
        raise BadInput("this curve has no jump; titrate further, or look to the electrode")
    if peak in (0, len(slopes) - 1):
        raise BadInput("the jump is at the edge of the readings; read further on both sides of it")
    bends = np.diff(slopes) / np.diff(volumes)
    places = (volumes[1:] + volumes[:-1]) / 2.0
    before, after = bends[peak - 1], bends[peak]
    left, right = float(places[peak - 1]), float(places[peak])
    end = left + (right - left) * float(before / (before - after))
    width = float(curve.volumes[peak + 1] - curve.volumes[peak])
    return EndPoint(
        volume=Measured(value=end, std=width / sqrt(12.0)),
        by="the zero of the second derivative",
    )


def gran_end(
    curve: Curve, initial_volume: float, guess: float, temperature: float = 298.15
) -> EndPoint:
    """The end by Gran's lines through the points from half to nine tenths of the way, and, where
    there are three or more, those from 1.1 times `guess` on; volumes in m³."""
    slope = GAS_CONSTANT_J_PER_MOL_K * temperature / FARADAY_C_PER_MOL * log(10.0)
    ends: list[Measured] = []
    sign = 1.0 if curve.potentials[-1] > curve.potentials[0] else -1.0
    for low, high, direction in ((0.5, 0.92, -sign), (1.08, np.inf, sign)):
        chosen = (curve.volumes >= low * guess) & (curve.volumes <= high * guess)
        if int(chosen.sum()) < 3:
            continue
        volumes, potentials = curve.volumes[chosen], curve.potentials[chosen]
        shifted = direction * (potentials - potentials[0])
        heights = (initial_volume + volumes) * 10.0 ** (shifted / slope)
        ends.append(_zero_of_line(volumes, heights))
    if not ends:
        raise BadInput("Gran's lines need three points before the end or three beyond it")
    weights = [1.0 / max(end.std, 1e-12) ** 2 for end in ends]
    mean = sum(w * e.value for w, e in zip(weights, ends, strict=True)) / sum(weights)
    apart = max(end.value for end in ends) - min(end.value for end in ends)
    deviation = max(sqrt(1.0 / sum(weights)), apart / 2.0)
    return EndPoint(volume=Measured(value=mean, std=deviation), by="Gran's lines")


def _agreed(sharp: EndPoint, lines: EndPoint) -> EndPoint:
    """The sharper of two readings, with the deviation that their distance calls for."""
    apart = abs(sharp.volume.value - lines.volume.value)
    allowed = 2.0 * sqrt(sharp.volume.std**2 + lines.volume.std**2)
    note = (
        f"Gran's lines end at {lines.volume.value / _ML:.2f} mL give or take "
        f"{lines.volume.std / _ML:.2f}, the jump stands at {sharp.volume.value / _ML:.2f} mL: the "
        "electrode may be slow or not follow its law."
    )
    if apart > allowed:
        doubt = Measured(value=sharp.volume.value, std=max(sharp.volume.std, apart / 2.0))
        return replace(sharp, volume=doubt, notes=(note,))
    if lines.volume.std > CROOKED * sharp.volume.value:
        return replace(sharp, notes=(note,))
    return sharp if sharp.volume.std <= lines.volume.std else lines


def _slopes(curve: Curve) -> tuple[Floats, Floats]:
    middles = (curve.volumes[1:] + curve.volumes[:-1]) / 2.0
    return middles, np.diff(curve.potentials) / np.diff(curve.volumes)


def _zero_of_line(volumes: Floats, heights: Floats) -> Measured:
    """Where a straight line through the points is zero, with its deviation by the residuals."""
    centre = float(volumes.mean())
    spread = volumes - centre
    sxx = float((spread**2).sum())
    slope = float((spread * heights).sum()) / sxx
    level = float(heights.mean())
    zero = centre - level / slope
    count = len(volumes)
    left = heights - level - slope * spread
    noise = sqrt(float((left**2).sum()) / max(count - 2, 1))
    deviation = noise / abs(slope) * sqrt(1.0 / count + (zero - centre) ** 2 / sxx)
    if not isfinite(zero):
        raise BadInput("Gran's line through these points never reaches zero")
    return Measured(value=zero, std=deviation)
