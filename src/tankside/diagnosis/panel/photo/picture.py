"""A photo of a panel as an array, and the panel in it laid flat.

A picture is (rows, columns, 3) of red, green and blue as a camera's file has them, 0 to 1. Four
corners, clicked by a person, fix the perspective: a plane seen by a camera without distortion is
brought back by one projective map.
"""

from typing import Any

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Floats
from tankside.base.errors import BadInput

COLUMNS, ROWS = 512, 160
"""Size of the panel laid flat, along and across."""

LEAST_PIXELS = 100
"""Length of a panel in a photo below which zones cannot be told [pixels]: our guess."""


def as_picture(pixels: npt.NDArray[np.generic]) -> Floats:
    """An array as read from a file as a picture; BadInput where it is none.

    Takes grey (rows, columns), colour (.., 3) or with transparency (.., 4), of whole numbers or 0
    to 1.
    """
    array = np.asarray(pixels)
    if array.ndim == 2:
        array = np.repeat(array[:, :, None], 3, axis=2)
    if array.ndim != 3 or array.shape[2] not in (3, 4):
        raise BadInput(
            "a photo has rows, columns and colours, not the shape {shape}", shape=array.shape
        )
    full = float(np.iinfo(array.dtype).max) if np.issubdtype(array.dtype, np.integer) else 1.0
    picture: Floats = array[:, :, :3].astype(float) / full
    if not np.isfinite(picture).all() or picture.min() < 0.0 or picture.max() > 1.0:
        raise BadInput("a photo's colours lie from 0 to 1; this one has others")
    return picture


def laid_flat(picture: Floats, corners: Floats) -> Floats:
    """The panel (ROWS, COLUMNS, 3), its high-current edge on the left.

    corners (4, 2): column and row [pixels] of the panel's corners: high-current edge top,
    low-current edge top, low-current edge bottom, high-current edge bottom. BadInput where they
    enclose no panel.
    """
    from skimage import transform

    library: Any = transform
    checked_corners(picture, corners)
    flat = np.array([[0.0, 0.0], [COLUMNS, 0.0], [COLUMNS, ROWS], [0.0, ROWS]]) - 0.5
    back = library.estimate_transform("projective", flat, np.asarray(corners, dtype=float))
    found: Floats = library.warp(picture, back, output_shape=(ROWS, COLUMNS), order=1, mode="edge")
    return found


def checked_corners(picture: Floats, corners: Floats) -> Floats:
    """The corners (4, 2); BadInput where they are outside, cross, turn inward or lie too close."""
    points = np.asarray(corners, dtype=float)
    if points.shape != (4, 2) or not np.isfinite(points).all():
        raise BadInput("a panel has four corners, each with a column and a row")
    rows, columns = picture.shape[:2]
    if (points < -0.5).any() or (points > np.array([columns, rows]) - 0.5).any():
        raise BadInput(
            "a corner lies outside the photo of {columns} by {rows} pixels",
            columns=columns,
            rows=rows,
        )
    sides = np.roll(points, -1, axis=0) - points
    turns = sides[:, 0] * np.roll(sides[:, 1], -1) - sides[:, 1] * np.roll(sides[:, 0], -1)
    if not ((turns > 0.0).all() or (turns < 0.0).all()):
        raise BadInput(
            "the four corners do not go round a panel; click high-current top, low-current top, "
            "low-current bottom, high-current bottom"
        )
    longest = float(np.linalg.norm(sides[[0, 2]], axis=1).min())
    if longest < LEAST_PIXELS:
        raise BadInput(
            "the panel is {longest:.0f} pixels long in this photo; go nearer, until it is at "
            "least {least_pixels}",
            longest=longest,
            least_pixels=LEAST_PIXELS,
        )
    return points
