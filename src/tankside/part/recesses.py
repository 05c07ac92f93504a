"""The deepest recesses of a part, as depth to width: where current and fresh solution reach least.

A recess is seen from its walls. From a point on the skin a ray goes out square to the surface;
where it meets the part again, the way is a gap of that *width*. From the middle of the gap, the
*mouth* is the nearest place in sight, in the plane along the wall, where the gap is twice as wide;
the way there is the axis. The *floor* is where the axis ends behind; where the gap opens behind as
well, it is a passage, which is fed from both ends, and its depth is half its length. Of all gaps
found in one recess the widest counts. So a drilled hole has its depth to its diameter, a groove its
depth to its width, and a V about three quarters of its depth to half its mouth. Holes deeper than
about eleven times their width and gaps without a mouth in sight are counted as hidden.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.part.gaps import OPENED, Gaps, opening, ways_to_mouth
from tankside.part.mesh import TriangleMesh
from tankside.part.rays import RayTree
from tankside.part.sampling import spread_points

_POINTS = 4_000
_SEEKERS = 800
_OPPOSED = 0.5
_SHALLOWEST = 0.5
_ALIKE, _PARALLEL, _SAME_WAY = 0.02, 0.9, 0.6


@dataclass(frozen=True, kw_only=True)
class Recess:
    """One recess: depth and width [m], their ratio [-], the middle of its floor (of a passage:
    its middle) and of its mouth (3,) [m], and whether it is a passage open at both ends."""

    depth: float
    width: float
    floor: Floats
    mouth: Floats
    passage: bool

    def __post_init__(self) -> None:
        object.__setattr__(self, "floor", frozen_floats(self.floor))
        object.__setattr__(self, "mouth", frozen_floats(self.mouth))

    @property
    def ratio(self) -> float:
        """Depth to width [-]."""
        return self.depth / self.width


@dataclass(frozen=True, kw_only=True)
class Recesses:
    """The recesses, the one with the largest ratio first, and the share of the skin that lies in
    gaps without a mouth in sight [-]."""

    recesses: tuple[Recess, ...]
    hidden_area_fraction: float


def deepest_recesses(mesh: TriangleMesh, *, count: int = 5) -> Recesses:
    """Up to `count` recesses deeper than half their width of a closed mesh that faces outwards."""
    rays = RayTree(mesh)
    low, high = mesh.box
    size = float(np.linalg.norm(high - low))
    gaps, weights, skin = _gaps(mesh, rays, size)
    axis, to_mouth = ways_to_mouth(rays, gaps, size)
    found = np.isfinite(to_mouth)
    hidden = float(weights[~found].sum() / skin) if skin else 0.0
    gaps, axis, to_mouth = gaps.where(found), axis[found], to_mouth[found]
    to_floor = rays.first_hits(gaps.middle, -axis)[1]
    to_back = opening(rays, gaps, -axis, to_floor, size)
    passage = np.isfinite(to_back)
    length = to_mouth + np.where(passage, to_back, np.minimum(to_floor, size))
    mouth = gaps.middle + to_mouth[:, None] * axis
    depth = _checked_depth(rays, gaps, axis, mouth, np.where(passage, length / 2, length), passage)
    floor = mouth - np.where(passage, length / 2, length)[:, None] * axis
    finds = _Finds(floor, mouth, gaps.across, depth, gaps.width, passage)
    return Recesses(
        recesses=tuple(finds.recess(one) for one in _distinct(rays, finds, count)),
        hidden_area_fraction=hidden,
    )


def _gaps(mesh: TriangleMesh, rays: RayTree, size: float) -> tuple[Gaps, Floats, float]:
    """(gaps, the area that each stands for, the area of the whole skin)."""
    skin = spread_points(mesh, np.arange(len(mesh.triangles)), _POINTS)
    start = skin.points + 1e-7 * size * skin.normals
    hit, width = rays.first_hits(start, skin.normals)
    facing = np.einsum("ij,ij->i", skin.normals, mesh.normals[hit])
    every = np.flatnonzero((hit >= 0) & (facing < -_OPPOSED) & (width > 1e-5 * size))
    gap = every
    if len(every) > _SEEKERS:
        gap = every[np.linspace(0, len(every) - 1, _SEEKERS).astype(np.int64)]
    middle = start[gap] + width[gap, None] / 2 * skin.normals[gap]
    weights = skin.weights[gap]
    if weights.any():
        weights = weights * (skin.weights[every].sum() / weights.sum())
    return Gaps(middle, skin.normals[gap], width[gap]), weights, float(skin.weights.sum())


def _checked_depth(
    rays: RayTree, gaps: Gaps, axis: Floats, mouth: Floats, depth: Floats, passage: Bools
) -> Floats:
    """The depth (n,), or less where the way from the deepest point to its own nearest opening, with
    the floor close behind it, is shorter, as in a groove whose end was found first. The point is
    taken half a width before the floor, in a passage at its middle."""
    back = np.where(passage, 0.0, np.minimum(gaps.width / 2, depth))
    deepest = mouth - (depth - back)[:, None] * axis
    deep = np.flatnonzero(depth >= _SHALLOWEST * gaps.width)
    there = Gaps(deepest, gaps.across, gaps.width).where(deep)
    way, nearest = ways_to_mouth(rays, there, float(depth.max(initial=0.0)))
    behind = np.minimum(back[deep], rays.first_hits(there.middle, -way)[1])
    checked = depth.copy()
    checked[deep] = np.minimum(depth[deep], nearest + behind)
    return checked


@dataclass(frozen=True)
class _Finds:
    """Floors and mouths (n, 3), directions across (n, 3), depths, widths, and whether they are
    passages (n,)."""

    floor: Floats
    mouth: Floats
    across: Floats
    depth: Floats
    width: Floats
    passage: Bools

    def recess(self, one: int) -> Recess:
        return Recess(
            depth=float(self.depth[one]),
            width=float(self.width[one]),
            floor=self.floor[one],
            mouth=self.mouth[one],
            passage=bool(self.passage[one]),
        )


def _distinct(rays: RayTree, finds: _Finds, count: int) -> list[int]:
    """Up to `count` finds, the deepest for their width first, none of them a recess twice."""
    ratio = finds.depth / finds.width
    chosen: list[int] = []
    for one in np.lexsort((-finds.depth, -np.round(ratio, 1))).tolist():
        if len(chosen) == 3 * count or ratio[one] < _SHALLOWEST:
            break
        if not any(_same(rays, finds, one, other) for other in chosen):
            chosen.append(_widest_beside(finds, one))
    deep = [one for one in dict.fromkeys(chosen) if ratio[one] >= _SHALLOWEST]
    return sorted(deep, key=lambda one: -ratio[one])[:count]


def _widest_beside(finds: _Finds, one: int) -> int:
    """The widest find of the same recess: as deep, measured the same way, its mouth beside it."""
    off = np.linalg.norm(finds.mouth - finds.mouth[one], axis=1)
    alike = np.abs(finds.depth - finds.depth[one]) <= _ALIKE * finds.depth[one]
    alike &= finds.passage == finds.passage[one]
    alike &= np.abs(finds.across @ finds.across[one]) > _PARALLEL
    alike &= finds.width <= OPENED * finds.width[one]
    beside = np.flatnonzero(alike & (off <= finds.width[one]))
    return int(beside[np.argmax(finds.width[beside])])


def _same(rays: RayTree, finds: _Finds, one: int, other: int) -> bool:
    """Whether two finds are one recess: one passage found from both ends, or the middle of one near
    the axis of the other, or in sight of it and measured much the same way."""
    wide = max(float(finds.width[one]), float(finds.width[other]))
    if finds.passage[one] and finds.passage[other]:
        if float(np.linalg.norm(finds.floor[one] - finds.floor[other])) <= wide:
            return True
    middle = (finds.floor[one] + finds.mouth[one]) / 2
    along = finds.mouth[other] - finds.floor[other]
    to_middle = middle - finds.floor[other]
    share = np.clip(to_middle @ along / max(float(along @ along), 1e-300), 0.0, 1.0)
    if float(np.linalg.norm(to_middle - share * along)) <= wide:
        return True
    other_middle = (finds.floor[other] + finds.mouth[other]) / 2
    alike = float(abs(finds.across[one] @ finds.across[other])) > _SAME_WAY
    return alike and _in_sight(rays, middle, other_middle)


def _in_sight(rays: RayTree, start: Floats, end: Floats) -> bool:
    return bool(rays.first_hits(start[None], (end - start)[None])[1][0] >= 1.0)
