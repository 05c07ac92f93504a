"""Unpolarised plane cells with exact answers: flush strips, and a wire in a round anode.

Strips: two equal strips of length L face each other, flush in opposite insulating walls h apart.
With e = pi L / 2 h, K the complete elliptic integral of parameter m, and x from the middle,
    i / mean = e cosh e / (K(tanh² e) sqrt(sinh² e - sinh²(2 e x / L))),
    conductivity x resistance x width = K(sech² e) / K(tanh² e).
The current is singular at the strips' ends: what is compared are resistance and the middle.

Wire: a round wire of radius r off the axis of a round anode of radius R, their axes e apart, is two
circles of a bipolar family: 2 pi x conductivity x height x resistance is the arcosh of
(R² + r² - e²) / 2 R r, and current is spread evenly over the bipolar angle.
"""

from functools import cache
from math import pi

import numpy as np

from tankside.field.kinetics import fixed_potential
from tankside.field.problem import Electrode
from tankside.validation.cases import quantity
from tankside.validation.cells import (
    ANODE,
    CATHODE,
    WALL,
    DrawnCell,
    Electrolysis,
    floor,
    polygon,
    rectangle,
    spaced,
    upright,
)

CONDUCTIVITY = 20.0
"""[S m⁻¹]"""
APART = 20e-3
"""The strips' walls [m]."""
ANODE_RADIUS, WIRE_RADIUS, WIRE_HEIGHT = 20e-3, 2e-3, 10e-3
"""[m]"""


@quantity("flush strips: resistance")
def resistance(length_to_gap: float) -> float:
    """Conductivity x resistance x width of the two strips [-]."""
    field = _strips(length_to_gap)
    current_a_metre = 2 * field.current("strip") / _height(length_to_gap)
    return CONDUCTIVITY * field.solution.cell_voltage / current_a_metre


@quantity("flush strips: relative current")
def relative_current(length_to_gap: float, from_share: float, to_share: float) -> float:
    """Current density over the mean [-], averaged from one to another share of the half length,
    counted from the strip's middle."""
    field = _strips(length_to_gap)
    return field.mean_between("strip", 1 - to_share, 1 - from_share) / field.mean("strip")


@quantity("eccentric wire: resistance")
def wire_resistance(offset_m: float) -> float:
    """2 pi x conductivity x height x resistance [-]."""
    field = _wire(offset_m)
    drop = field.solution.cell_voltage
    return 2 * pi * CONDUCTIVITY * WIRE_HEIGHT * drop / field.current("near half", "far half")


@quantity("eccentric wire: share of the near half")
def wire_near_share(offset_m: float) -> float:
    """Share of the wire's current that enters the half that faces the nearer side [-]."""
    field = _wire(offset_m)
    return field.current("near half") / field.current("near half", "far half")


def _height(length_to_gap: float) -> float:
    return 0.5 * APART * min(1.0, 2 * length_to_gap)


@cache
def _strips(length_to_gap: float) -> Electrolysis:
    half = length_to_gap * APART / 2
    return _both(_strip_cell(half, _height(length_to_gap)), 400.0 * half * _height(length_to_gap))


@cache
def _wire(offset: float) -> Electrolysis:
    return _both(_wire_cell(offset), 400.0 * 2 * pi * WIRE_RADIUS * WIRE_HEIGHT)


def _both(cell: DrawnCell, total_current: float) -> Electrolysis:
    law = fixed_potential(conductivity=CONDUCTIVITY, length=APART)
    electrodes = (
        Electrode(group=ANODE, anode=True, law=law),
        Electrode(group=CATHODE, anode=False, law=law),
    )
    return cell.electrolysed(electrodes, conductivity=CONDUCTIVITY, total_current=total_current)


def _strip_cell(half: float, height: float) -> DrawnCell:
    """Half of the cell, x from the middle plane; walls 1.5 h beyond the strips' ends."""
    end, coarse = half + 1.5 * APART, APART / 8
    fine = min(half, APART) / 80
    z = -height + height * spaced(height, min(half / 3, coarse))
    inner = spaced(half, min(coarse, half / 6), end=fine)
    outer = spaced(end - half, 1.5 * coarse, start=fine)
    beside = min(coarse / 2, half / 6)
    across = spaced(APART, coarse, start=beside, end=beside)
    corners = (0.0, half), (half, end)
    faces = [
        upright("strip", CATHODE, (half, 0), (0, 0), 1 - inner[::-1], z),
        upright("side", WALL, (0, 0), (0, APART), across, z),
        upright("anode", ANODE, (0, APART), (half, APART), inner, z),
        upright("side", WALL, (half, APART), (end, APART), outer, z),
        upright("side", WALL, (end, APART), (end, 0), across, z),
        upright("side", WALL, (end, 0), (half, 0), 1 - outer[::-1], z),
    ]
    for (left, right), along in zip(corners, (inner, outer), strict=True):
        faces.append(floor(rectangle(left, right, 0, APART), along, across, height))
    return DrawnCell(faces=tuple(faces))


def _wire_cell(offset: float) -> DrawnCell:
    """The anode about the origin, the wire at x = offset; 64 flat sides each, of equal area."""
    sides = 64
    anode, wire = (
        polygon(radius, sides) + np.array([shift, 0.0])
        for radius, shift in ((ANODE_RADIUS, 0.0), (WIRE_RADIUS, offset))
    )
    outward = spaced(ANODE_RADIUS - WIRE_RADIUS, 4e-3, start=0.4e-3)
    one = np.array([0.0, 1.0])
    heights = -WIRE_HEIGHT + WIRE_HEIGHT * spaced(WIRE_HEIGHT, 1.25e-3)
    coarse = -WIRE_HEIGHT + WIRE_HEIGHT * spaced(WIRE_HEIGHT, 2.5e-3)
    faces = []
    for k in range(sides):
        a, b, c, d = wire[k], wire[(k + 1) % sides], anode[(k + 1) % sides], anode[k]
        name = "near half" if (a + b)[0] > 2 * offset else "far half"
        faces += [
            upright(name, CATHODE, a, b, one, heights),
            upright("anode", ANODE, c, d, one, coarse),
            floor((a, d, c, b), outward, one, WIRE_HEIGHT),
        ]
    return DrawnCell(faces=tuple(faces))
