"""A place of a part in words, as somebody beside the tank would point at it."""

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.messages import said
from tankside.cell.bodies import Cell, Role

_STEEP = 0.8
"""Upward part of a normal from which a face looks up or down rather than sideways [-]."""
_TOWARDS = 0.5
"""Cosine of the angle to an anode's direction up to which a face looks at it [-]."""


def place_words(place: Floats, normal: Floats, cell: Cell) -> str:
    """How high on the parts a place (3,) [m] is, and what its face looks at: "near the bottom,
    facing away from the anodes". `normal` (3,) points into the solution."""
    return said(
        "{height}, {facing}", height=_height(place, cell), facing=_facing(place, normal, cell)
    )


def _height(place: Floats, cell: Cell) -> str:
    parts = [body.surface.box for body in cell.bodies if body.role is Role.PART]
    low = min(float(box[0][2]) for box in parts)
    high = max(float(box[1][2]) for box in parts)
    share = (float(place[2]) - low) / max(high - low, 1e-9)
    if share > 2 / 3:
        return said("near the top")
    return said("near the bottom") if share < 1 / 3 else said("half way up")


def _facing(place: Floats, normal: Floats, cell: Cell) -> str:
    if abs(normal[2]) > _STEEP:
        return said("facing up") if normal[2] > 0 else said("facing down")
    looks = {}
    for body in cell.bodies:
        if body.role is Role.ANODE:
            low, high = body.surface.box
            nearest = np.clip(place, low, high) - place
            length = float(np.linalg.norm(nearest))
            looks[body.number] = float(nearest @ normal) / length if length > 0 else 1.0
    if not looks:
        return said("on a side")
    number = max(looks, key=lambda one: looks[one])
    if looks[number] > _TOWARDS:
        return said("facing anode {number}", number=number)
    if looks[number] < 0:
        return said("facing away from the anodes")
    return said("side-on to the anodes")
