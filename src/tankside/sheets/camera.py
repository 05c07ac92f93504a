"""From where a part is looked at: an orthographic eye, and the choice of two opposite views.

Directions are given by the eye's azimuth about the vertical (from the x axis) and its elevation
over the horizon. The two views are the pair, of a fixed set, that together show most of the
thinnest places and most of the surface.
"""

from dataclasses import dataclass, replace
from itertools import product
from math import cos, pi, sin

import numpy as np

from tankside.base.arrays import Bools, Floats
from tankside.sheets.raster import seen

View = tuple[float, float]
"""Azimuth and elevation of an eye [rad]."""
_FRONT_RIGHT = -55 * pi / 180
_ELEVATIONS = (24 * pi / 180, -24 * pi / 180)
_SCOUT_WIDTH = 220


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Eye direction [rad], the picture's middle [m], scale [pixel m⁻¹], picture size [pixel]."""

    azimuth: float
    elevation: float
    middle: tuple[float, float, float]
    scale: float
    width: int
    height: int

    def axes(self) -> Floats:
        """Unit vectors rightwards, upwards and towards the eye, as rows (3, 3)."""
        return view_axes(self.azimuth, self.elevation)

    def at_scale(self, scale: float) -> "Camera":
        """The same camera at another scale [pixel m⁻¹]."""
        return replace(self, scale=scale)

    def enlarged(self, factor: int) -> "Camera":
        """The same view with `factor` times as many pixels each way."""
        return replace(
            self,
            scale=self.scale * factor,
            width=self.width * factor,
            height=self.height * factor,
        )

    def projected(self, points: Floats) -> Floats:
        """Points (..., 3) [m] to x rightwards, y downwards, depth towards the eye [pixel]."""
        along = (np.asarray(points) - np.array(self.middle)) @ self.axes().T * self.scale
        x, y, depth = np.moveaxis(along, -1, 0)
        return np.stack([self.width / 2 + x, self.height / 2 - y, depth], axis=-1)


def view_axes(azimuth: float, elevation: float) -> Floats:
    """Unit vectors to the right, upwards in the picture, and towards the eye, as rows (3, 3)."""
    towards = np.array(
        [cos(elevation) * cos(azimuth), cos(elevation) * sin(azimuth), sin(elevation)]
    )
    right = np.array([-sin(azimuth), cos(azimuth), 0.0])
    return np.stack([right, np.cross(towards, right), towards])


def fitted_camera(
    points: Floats,
    azimuth: float,
    elevation: float,
    *,
    width: int,
    height: int,
    margin: tuple[float, float],
) -> Camera:
    """A camera whose picture just holds `points` (n, 3) [m] inside margins [pixel]."""
    axes = view_axes(azimuth, elevation)
    along = points @ axes.T
    low, high = along.min(axis=0), along.max(axis=0)
    span = np.maximum(high - low, 1e-12)
    scale = min((width - 2 * margin[0]) / span[0], (height - 2 * margin[1]) / span[1])
    middle = (low + high) / 2 @ axes
    return Camera(
        azimuth=azimuth,
        elevation=elevation,
        middle=(float(middle[0]), float(middle[1]), float(middle[2])),
        scale=float(scale),
        width=width,
        height=height,
    )


def two_views(corners: Floats, areas: Floats, wanted: Bools) -> tuple[View, View]:
    """Two opposite views of triangles (n, 3, 3) [m], the first from above.

    Scored by the share of the `wanted` triangles' area that either eye sees, plus half the share of
    all area; the second eye stands opposite, above or below. Among equals the view from the front
    right wins, as one stands before a tank with anodes at its sides.
    """
    turns = [(_FRONT_RIGHT + k * pi / 12) % (2 * pi) for k in range(24)]
    sights = {
        (k, elevation): _sight(corners, turns[k], elevation)
        for k, elevation in product(range(24), _ELEVATIONS)
    }

    def score(choice: tuple[int, float]) -> float:
        k, elevation = choice
        both = sights[k, _ELEVATIONS[0]] | sights[(k + 12) % 24, elevation]
        shown = areas * both
        return round(
            float(shown[wanted].sum() / areas[wanted].sum() + 0.5 * shown.sum() / areas.sum()), 2
        )

    k, elevation = max(product(range(24), _ELEVATIONS), key=score)
    return (turns[k], _ELEVATIONS[0]), (turns[(k + 12) % 24], elevation)


def _sight(corners: Floats, azimuth: float, elevation: float) -> Bools:
    """Triangles that an eye sees, judged on a small picture (n,)."""
    camera = fitted_camera(
        corners.reshape(-1, 3),
        azimuth,
        elevation,
        width=_SCOUT_WIDTH,
        height=_SCOUT_WIDTH,
        margin=(1, 1),
    )
    sight = seen(camera.projected(corners), width=_SCOUT_WIDTH, height=_SCOUT_WIDTH)
    visible = np.zeros(len(corners), dtype=np.bool_)
    visible[sight.triangle[sight.covered]] = True
    return visible
