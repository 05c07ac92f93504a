"""A part off the middle of its tank: no closed form gives its field, but laws bind it.

A mirrored cell has the mirrored field; with every length and the polarisation scaled, the shares of
the current stay; at high Wagner number the current becomes uniform, at low the primary one.
"""

from functools import cache

import numpy as np

from tankside.field.hierarchical import build_operators
from tankside.field.kinetics import fixed_potential
from tankside.field.operators import Operators
from tankside.validation import closed_shapes
from tankside.validation.cases import quantity
from tankside.validation.closed_forms import (
    ANODE,
    CATHODE,
    KAPPA,
    WALL,
    Cell,
    linear,
    panelled,
    rms,
    solved,
)
from tankside.validation.closed_shapes import turned


@cache
def _tank(size: float, mirrored: bool) -> Operators:
    """A box-shaped part away from the middle of a box; the anode is the box's end at x = 0. All
    lengths go with `size`; `mirrored` is the mirror image in the plane across y."""
    n = 6
    length, width = 0.2 * size, 0.12 * size
    across = np.linspace(0, width, n + 1)
    tank = closed_shapes.box(np.linspace(0, length, 2 * n + 1), across, across)
    part = closed_shapes.box(
        size * np.linspace(0.09, 0.12, n + 1),
        size * np.linspace(0.03, 0.05, n - 1),
        size * np.linspace(0.04, 0.08, n + 2),
    )
    pieces = {
        CATHODE: [turned(face) for face in part.values()],
        ANODE: [tank["x-"]],
        WALL: [tank[name] for name in ("x+", "y-", "y+", "z-", "z+")],
    }
    if mirrored:
        flip, shift = np.array([1, -1, 1]), np.array([0, width, 0])
        pieces = {
            group: [turned(face * flip + shift) for face in faces]
            for group, faces in pieces.items()
        }
    return build_operators(panelled(pieces))


def _tank_solved(wagner: float, *, size: float = 1.0, mirrored: bool = False) -> Cell:
    """`wagner` by the part's height, 0.04 m times `size`; 0 for the primary distribution."""
    operators = _tank(size, mirrored)
    if wagner == 0.0:
        law = fixed_potential(conductivity=KAPPA, length=0.04 * size)
        return solved(operators, law, law)
    return solved(operators, linear(wagner * 0.04 * size / KAPPA), linear(0.0))


@quantity("tank: largest change of current in a mirrored cell")
def tank_mirrored(wagner: float) -> float:
    """Largest change of i / i_mean between a cell and its mirror image [-]."""
    change = _tank_solved(wagner).cathode - _tank_solved(wagner, mirrored=True).cathode
    return float(np.abs(change).max())


@quantity("tank: largest change of current in a scaled cell")
def tank_scaled(wagner: float, size: float) -> float:
    """Largest change of i / i_mean when every length and the polarisation go with `size` [-]."""
    change = _tank_solved(wagner).cathode - _tank_solved(wagner, size=size).cathode
    return float(np.abs(change).max())


@quantity("tank: resistance in a scaled cell")
def tank_scaled_resistance(size: float) -> float:
    """Primary resistance times size, over that of size 1 [-]."""
    scaled, plain = (_tank_solved(0.0, size=s).solution for s in (size, 1.0))
    return (
        size
        * (scaled.cell_voltage / scaled.supply_current)
        / (plain.cell_voltage / plain.supply_current)
    )


@quantity("tank: unevenness at high Wagner number")
def tank_uniform(wagner: float) -> float:
    """Largest |i / i_mean - 1| times Wa, over the same at ten times that Wa [-]."""
    uneven = [float(np.abs(_tank_solved(w).cathode - 1).max()) * w for w in (wagner, 10 * wagner)]
    return uneven[0] / uneven[1]


@quantity("tank: change from the primary distribution")
def tank_primary(wagner: float) -> float:
    """Area-weighted rms change of i / i_mean from the primary distribution [-]."""
    primary, cell = _tank_solved(0.0), _tank_solved(wagner)
    return rms(cell.cathode - primary.cathode, cell.areas)
