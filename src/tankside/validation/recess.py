"""How much current finds its way into a recess: blind trenches and blind holes.

A flat cathode with a recess in its middle faces an anode across an insulated cell. The trench is a
plane problem, solved as a prism; the hole one of revolution, solved as a half body. The expected
values are those of quadratic finite elements in the plane, an independent discretisation that the
tests compute anew.
"""

from functools import cache
from math import pi

from tankside.validation.cases import quantity
from tankside.validation.cells import (
    ANODE,
    CATHODE,
    CONDUCTIVITY,
    WALL,
    DrawnCell,
    Electrolysis,
    disc,
    electrodes_of,
    floor,
    spaced,
    turned,
    upright,
)

WIDTH = 10e-3
"""Of the trench, or the hole's diameter [m]."""
HALF_CELL = 15e-3
"""From the middle of the recess to the side wall [m]."""
GAP = 30e-3
"""From the cathode's flat to the anode [m]."""
MEAN_ON_OPENING = 200.0
"""Total current over the cell's cross-section [A m⁻²]."""
_PANEL, _EDGE = 1.25e-3, 0.3e-3


@quantity("recess: relative current")
def relative_current(shape: str, depth_to_width: float, kinetics: str, where: str) -> float:
    """Current density averaged over the recess's bottom, its wall, its mouth (all that enters, over
    the area of the mouth) or the flat around it, over the mean on the whole cathode [-]."""
    field = _field(shape, depth_to_width, kinetics)
    whole = field.mean("bottom", "wall", "flat")
    if where == "mouth":
        return field.current("bottom", "wall") / field.area("bottom") / whole
    return field.mean(where) / whole


@cache
def _field(shape: str, depth_to_width: float, kinetics: str) -> Electrolysis:
    depth = depth_to_width * WIDTH
    cell, section = {"trench": _trench, "hole": _hole}[shape](depth)
    return cell.electrolysed(
        electrodes_of(kinetics), conductivity=CONDUCTIVITY, total_current=MEAN_ON_OPENING * section
    )


def _trench(depth: float) -> tuple[DrawnCell, float]:
    """Half of the trench, x from its middle plane; y to the anode; 6 mm of liquid."""
    half, height = WIDTH / 2, 6e-3
    across, land = spaced(half, _PANEL, end=_EDGE), spaced(HALF_CELL - half, 2e-3, start=_EDGE)
    down = spaced(depth, _PANEL, start=_EDGE, end=_EDGE)
    up = spaced(GAP, 3e-3, start=_EDGE, end=2e-3)
    plain = spaced(GAP, 3e-3, start=1e-3, end=2e-3)
    whole = spaced(HALF_CELL, 2e-3)
    z = -height + height * spaced(height, _PANEL)
    faces = (
        upright("bottom", CATHODE, (half, -depth), (0.0, -depth), 1 - across[::-1], z),
        upright("wall", CATHODE, (half, 0.0), (half, -depth), down, z),
        upright("flat", CATHODE, (HALF_CELL, 0.0), (half, 0.0), 1 - land[::-1], z),
        upright("anode", ANODE, (0.0, GAP), (HALF_CELL, GAP), whole, z),
        upright("side", WALL, (HALF_CELL, GAP), (HALF_CELL, 0.0), 1 - plain[::-1], z),
        upright("side", WALL, (0.0, 0.0), (0.0, GAP), plain, z),
        upright("side", WALL, (0.0, -depth), (0.0, 0.0), down, z),
        floor(((0, -depth), (half, -depth), (half, 0), (0, 0)), across, down, height),
        floor(((0, 0), (half, 0), (half, GAP), (0, GAP)), across, up, height),
        floor(((half, 0), (HALF_CELL, 0), (HALF_CELL, GAP), (half, GAP)), land, up, height),
    )
    return DrawnCell(faces=faces, mirror_level=0.0), HALF_CELL * height


def _hole(depth: float) -> tuple[DrawnCell, float]:
    """A blind hole along x, its mouth at x = 0, the anode at x = GAP; the lower half."""
    radius, sides = WIDTH / 2, 48
    down = spaced(depth, _PANEL, start=_EDGE, end=_EDGE)
    land = spaced(HALF_CELL - radius, 2e-3, start=_EDGE)
    along = spaced(GAP, 3e-3, start=1e-3, end=2e-3)
    faces = (
        disc("bottom", CATHODE, -depth, radius, sides, upstream=False),
        turned("wall", CATHODE, (-depth, radius), (0.0, radius), down, sides),
        turned("flat", CATHODE, (0.0, radius), (0.0, HALF_CELL), land, sides),
        turned("side", WALL, (0.0, HALF_CELL), (GAP, HALF_CELL), along, sides),
        disc("anode", ANODE, GAP, HALF_CELL, sides, upstream=True),
    )
    return DrawnCell(faces=faces, mirror_level=0.0), pi * HALF_CELL**2 / 2
