"""Gas that a part traps when it is hung in the bath, and bath that it carries out.

The part is cut into upright lines in its hanging pose. Gas stays under a roof down to the lowest
passage of the best way out (`flooding`); turned upside down, the same finds the liquid that stays
in its cups when it is lifted. Each volume is found on two grids, and the interval is the error
that their difference shows, as it shrinks in step with the spacing. What is shallower than half a
grid step is noise of the grid and is only added up.

Not counted: narrow openings hold a drop or a bubble against gravity; below about 3 mm (common
practice, no source) an opening may not drain or vent although it is reported as open.
"""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from tankside.base.arrays import Floats, Ints, frozen_floats
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.base.progress import Progress, silent
from tankside.part.columns import Columns, columns_of
from tankside.part.flooding import Roofed, roofed_air
from tankside.part.mesh import TriangleMesh
from tankside.part.ridges import ridges_of
from tankside.part.walls import walls_of

_LINES, _MOST_LINES = 256, 512
_COARSER = 1.4
_OFF_AXIS = 0.5535743588970452
_ASKEW = np.array(
    [
        [np.cos(_OFF_AXIS), -np.sin(_OFF_AXIS), 0.0],
        [np.sin(_OFF_AXIS), np.cos(_OFF_AXIS), 0.0],
        [0.0, 0.0, 1.0],
    ]
)
"""The grid is laid askew (31.7 degrees, half the golden angle of a square), so that walls along the
part's own axes do not fall between the same two lines over their whole length."""


class PocketKind(Enum):
    """What stays in a pocket."""

    GAS = "gas trapped when the part is in the bath"
    LIQUID = "bath carried out when the part is lifted"


@dataclass(frozen=True, kw_only=True)
class Pocket:
    """One pocket, in the mesh's own coordinates.

    kind    gas or liquid
    volume  with an interval from two grids [m³]
    depth   from its farthest point to its spill level, along up [m]
    tip     the highest point of gas, the lowest of liquid, (3,) [m]: where a vent or a drain helps
    centre  centre of the volume (3,) [m]
    """

    kind: PocketKind
    volume: Interval
    depth: float
    tip: Floats
    centre: Floats

    def __post_init__(self) -> None:
        object.__setattr__(self, "tip", frozen_floats(self.tip))
        object.__setattr__(self, "centre", frozen_floats(self.centre))


@dataclass(frozen=True, kw_only=True)
class Pockets:
    """All pockets of a part in one pose, the largest first.

    gas, liquid         pockets
    gas_volume          of all gas pockets [m³]
    liquid_volume       of all liquid pockets [m³]
    left_out            volume of what is too shallow for the grid to be sure of [m³]
    spacing             of the finer grid [m]
    notes               what makes the answer less sure
    """

    gas: tuple[Pocket, ...]
    liquid: tuple[Pocket, ...]
    gas_volume: Interval
    liquid_volume: Interval
    left_out: float
    spacing: float
    notes: tuple[str, ...] = ()


def pockets(
    mesh: TriangleMesh,
    up: tuple[float, float, float] = (0.0, 0.0, 1.0),
    spacing: float | None = None,
    *,
    progress: Progress = silent,
) -> Pockets:
    """The pockets of a closed mesh that faces outwards, hanging with `up` upwards.

    spacing of the finer grid [m]; left out, 1/256 of the part's width, finer where walls are thin.
    BadInput where `up` has no direction or the spacing is not above nought; MeshDefect where the
    mesh is not closed.
    """
    upright = mesh.moved(rotation_to_vertical(up), np.zeros(3))
    step, notes = _spacing(upright, spacing)
    turn = _ASKEW @ rotation_to_vertical(up)
    turned = mesh.moved(turn, np.zeros(3))
    progress("cutting the part into upright lines", 0.0)
    fine, coarse = columns_of(turned, step), columns_of(turned, _COARSER * step)
    progress("looking for trapped gas", 0.3)
    gas, gas_volume, gas_left = _found(fine, coarse, turned, PocketKind.GAS, turn)
    progress("looking for liquid carried out", 0.6)
    liquid, liquid_volume, liquid_left = _found(
        _upside_down(fine), _upside_down(coarse), _mirrored(turned), PocketKind.LIQUID, turn
    )
    return Pockets(
        gas=gas,
        liquid=liquid,
        gas_volume=gas_volume,
        liquid_volume=liquid_volume,
        left_out=gas_left + liquid_left,
        spacing=step,
        notes=notes,
    )


def rotation_to_vertical(up: tuple[float, float, float]) -> Floats:
    """A rotation (3, 3) that turns `up` to the z axis, the shortest way; BadInput where `up` has
    no direction."""
    axis = np.array(up, dtype=np.float64)
    length = float(np.linalg.norm(axis))
    if not np.isfinite(length) or length == 0.0:
        raise BadInput("up = {up} has no direction; give for example (0, 0, 1)", up=tuple(up))
    x, y, z = axis / length
    if z < -1 + 1e-12:
        return np.diag([1.0, -1.0, -1.0])
    return np.array(
        [
            [1 - x * x / (1 + z), -x * y / (1 + z), -x],
            [-x * y / (1 + z), 1 - y * y / (1 + z), -y],
            [x, y, z],
        ]
    )


def _spacing(mesh: TriangleMesh, asked: float | None) -> tuple[float, tuple[str, ...]]:
    low, high = mesh.box
    width = float((high - low)[:2].max())
    walls = walls_of(mesh, np.arange(len(mesh.triangles)))
    thinnest = np.inf if walls is None else walls.thinnest
    if asked is not None:
        if not 0 < asked < np.inf:
            raise BadInput(
                "a grid of {asked} m makes no sense; give a length above nought", asked=asked
            )
        step = asked
    else:
        step = min(width / _LINES, max(thinnest / 2, width / _MOST_LINES))
    if thinnest >= 1.5 * step:
        return step, ()
    return step, (
        said(
            "walls of {thinnest} are thin for the grid of {step}: a pocket behind them may "
            "be missed",
            thinnest=Quantity(thinnest, "mm", 2),
            step=Quantity(step, "mm", 2),
        ),
    )


def _upside_down(columns: Columns) -> Columns:
    order = np.lexsort((-columns.high, columns.line))
    return Columns(
        spacing=columns.spacing,
        corner=columns.corner,
        shape=columns.shape,
        line=columns.line[order],
        low=-columns.high[order],
        high=-columns.low[order],
    )


def _mirrored(mesh: TriangleMesh) -> TriangleMesh:
    """The mesh upside down, facing outwards still."""
    return TriangleMesh(
        vertices=mesh.vertices * (1.0, 1.0, -1.0), triangles=mesh.triangles[:, ::-1]
    )


def _found(
    fine: Columns, coarse: Columns, mesh: TriangleMesh, kind: PocketKind, turn: Floats
) -> tuple[tuple[Pocket, ...], Interval, float]:
    """(pockets, volume of all, volume of those left out) of one kind."""
    air = roofed_air(fine, ridges_of(mesh, fine.spacing))
    rough = roofed_air(coarse, ridges_of(mesh, coarse.spacing))
    count = int(air.pocket.max(initial=-1)) + 1
    volume = fine.spacing**2 * _sums(air.pocket, air.trapped, count)
    rough_volume = coarse.spacing**2 * _sums(
        _same_pocket(coarse, rough, fine, air), rough.trapped, count
    )
    depth = np.zeros(count)
    np.maximum.at(depth, air.pocket[air.pocket >= 0], (air.high - air.spill)[air.pocket >= 0])
    kept = np.flatnonzero((depth >= fine.spacing / 2) & (volume >= 4 * fine.spacing**3))
    kept = kept[np.argsort(-volume[kept], kind="stable")]
    found = tuple(
        _pocket(fine, air, number, kind, turn, _between(volume[number], rough_volume[number]))
        for number in kept.tolist()
    )
    total = _between(float(volume[kept].sum()), float(rough_volume[kept].sum()))
    return found, total, float(volume.sum() - volume[kept].sum())


def _sums(pocket: Ints, heights: Floats, count: int) -> Floats:
    inside = pocket >= 0
    return np.bincount(pocket[inside], heights[inside], minlength=count).astype(np.float64)


def _between(fine: float, coarse: float) -> Interval:
    spread = abs(fine - coarse) / (_COARSER - 1)
    return Interval(max(float(fine - spread), 0.0), float(fine), float(fine + spread))


def _same_pocket(coarse: Columns, rough: Roofed, fine: Columns, air: Roofed) -> Ints:
    """For each stretch of the coarse grid that holds gas, the pocket of the fine grid nearest to
    its middle; -1 where there is none within three steps."""
    from scipy.spatial import cKDTree

    same = np.full(len(rough.pocket), -1, dtype=np.int64)
    holds, knows = rough.pocket >= 0, np.flatnonzero(air.pocket >= 0)
    if holds.any() and len(knows):
        tree = cKDTree(_middles(fine, air)[knows])
        distance, place = tree.query(_middles(coarse, rough)[holds])
        near = distance <= 3 * coarse.spacing
        same[np.flatnonzero(holds)[near]] = air.pocket[knows[place[near]]]
    return same


def _middles(columns: Columns, air: Roofed) -> Floats:
    floor = np.maximum(air.low, np.where(air.pocket >= 0, air.spill, air.low))
    return np.column_stack([columns.places(air.line), (air.high + floor) / 2])


def _pocket(
    columns: Columns, air: Roofed, number: int, kind: PocketKind, turn: Floats, volume: Interval
) -> Pocket:
    own = np.flatnonzero(air.pocket == number)
    places, roof = columns.places(air.line[own]), air.high[own]
    weight = air.trapped[own]
    centre = np.average(_middles(columns, air)[own], axis=0, weights=weight)
    depth = float((roof - air.spill[own]).max())
    top = np.flatnonzero(roof >= roof.max() - 1e-3 * depth)
    middle = places[top].mean(axis=0)
    best = top[np.argmin(((places[top] - middle) ** 2).sum(axis=1))]
    tip = np.append(places[best], roof[best])
    if kind is PocketKind.LIQUID:
        tip, centre = tip * (1, 1, -1), centre * (1, 1, -1)
    return Pocket(kind=kind, volume=volume, depth=depth, tip=turn.T @ tip, centre=turn.T @ centre)
