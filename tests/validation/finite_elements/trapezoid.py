"""The exact primary current on a trapezoid's slanted side, by Schwarz-Christoffel mapping.

The upper half plane is mapped on the trapezoid, and also on the rectangle in which current runs
straight from one electrode to the other; the current between two points of the slanted side is the
length between their images in the rectangle. On the real axis stand the anode's corners (w0, 0)
and the slanted side's (1, w3); w0 and w3 follow from the proportions of the trapezoid's sides.
"""

from dataclasses import dataclass
from math import atan2, hypot, pi

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import quad
from scipy.optimize import brentq, least_squares

Floats = NDArray[np.float64]
_RECTANGLE = np.full(4, -0.5)


@dataclass(frozen=True)
class SlantedCell:
    """Parallel sides `near` and `far`, `apart` [m]; the anode at right angles to them."""

    near: float
    far: float
    apart: float
    stations: Floats
    powers: Floats

    @classmethod
    def of(cls, near: float, far: float, apart: float) -> "SlantedCell":
        acute = atan2(apart, far - near) / pi
        powers = np.array([-0.5, -0.5, -acute, acute - 1.0])
        slant = hypot(far - near, apart)

        def missed(logarithms: Floats) -> list[float]:
            stations = _stations(logarithms)
            anode, bottom, cathode = (_between(stations, powers, k) for k in range(3))
            return [np.log(anode / bottom * near / apart), np.log(cathode / bottom * near / slant)]

        found = least_squares(missed, [0.5, 0.5], bounds=(-6.0, 8.0), xtol=1e-15, ftol=1e-15)
        return cls(near, far, apart, _stations(found.x), powers)

    def relative_current(self, start: float, end: float) -> float:
        """Current density from `start` to `end` along the slanted side, over its mean [-]."""
        slant = hypot(self.far - self.near, self.apart)
        return (self._share(end / slant) - self._share(start / slant)) / ((end - start) / slant)

    def resistance(self) -> float:
        """Conductivity x depth x resistance between the electrodes [-]."""
        gap, electrode = (_between(self.stations, _RECTANGLE, k) for k in (1, 2))
        return gap / electrode

    def _share(self, along: float) -> float:
        """Of the current that enters within a share of the slanted side from its near end."""
        if along in (0.0, 1.0):
            return along
        whole = _between(self.stations, self.powers, 2)

        def missed(station: float) -> float:
            return _from_near_end(self.stations, self.powers, station) / whole - along

        last = self.stations[3]
        station = brentq(missed, 1.0 + 1e-12, last - 1e-6 * (last - 1.0), xtol=1e-14)
        current = _from_near_end(self.stations, _RECTANGLE, station)
        return current / _between(self.stations, _RECTANGLE, 2)


def _stations(logarithms: Floats) -> Floats:
    return np.array([-np.exp(logarithms[0]), 0.0, 1.0, 1.0 + np.exp(logarithms[1])])


def _between(stations: Floats, powers: Floats, k: int) -> float:
    """Length of the image of the real axis between stations k and k + 1."""
    others = [m for m in range(4) if m not in (k, k + 1)]
    ends = (powers[k], powers[k + 1])
    return _integral(stations, powers, others, stations[k], stations[k + 1], ends)


def _from_near_end(stations: Floats, powers: Floats, to: float) -> float:
    return _integral(stations, powers, [0, 1, 3], 1.0, to, (powers[2], 0.0))


def _integral(
    stations: Floats, powers: Floats, others: list[int], low: float, high: float,
    ends: tuple[float, float],
) -> float:  # fmt: skip
    """Of the product of |w - station|^power, with the end points' powers as weights."""

    def smooth(w: float) -> float:
        return float(np.prod(np.abs(w - stations[others]) ** powers[others]))

    return float(quad(smooth, low, high, weight="alg", wvar=ends, epsabs=1e-13, epsrel=1e-11)[0])
