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

from tankside.base.arrays import Bools, Floats, Ints, frozen_floats
from tankside.part.mesh import TriangleMesh
from tankside.part.rays import RayTree
from tankside.part.sampling import spread_points

_POINTS = 4_000
_SEEKERS = 800
_LOOKS = (
    (0.0, np.radians(15.0), 24),
    (np.radians(5.0), np.radians(15.0), 24),
    (np.radians(10.0), np.radians(15.0), 24),
)
_BESIDE = np.radians([-7.5, -5.0, -2.5, 0.0, 2.5, 5.0, 7.5])
_OPPOSED = 0.5
_OPENED = 2.0
_FIRST_STEP, _GROWTH, _HALVINGS = 0.5, 1.6, 12
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


@dataclass(frozen=True)
class _Gaps:
    """Middles (n, 3), unit directions across (n, 3) and widths (n,) of gaps."""

    middle: Floats
    across: Floats
    width: Floats

    def where(self, keep: Bools | Ints) -> "_Gaps":
        return _Gaps(self.middle[keep], self.across[keep], self.width[keep])


def deepest_recesses(mesh: TriangleMesh, *, count: int = 5) -> Recesses:
    """Up to `count` recesses deeper than half their width of a closed mesh that faces outwards."""
    rays = RayTree(mesh)
    low, high = mesh.box
    size = float(np.linalg.norm(high - low))
    gaps, weights, skin = _gaps(mesh, rays, size)
    axis, to_mouth = _ways_to_mouth(rays, gaps, size)
    found = np.isfinite(to_mouth)
    hidden = float(weights[~found].sum() / skin) if skin else 0.0
    gaps, axis, to_mouth = gaps.where(found), axis[found], to_mouth[found]
    floor_hit, to_floor = rays.first_hits(gaps.middle, -axis)
    squareness = np.abs(np.einsum("ij,ij->i", mesh.normals[floor_hit], axis))
    to_back = _opening(rays, gaps, -axis, to_floor, size)
    passage = np.isfinite(to_back)
    length = to_mouth + np.where(passage, to_back, np.minimum(to_floor, size))
    mouth = gaps.middle + to_mouth[:, None] * axis
    half_width = np.where(passage, 0.0, squareness * gaps.width / 2)
    depth = _checked_depth(
        rays, gaps, axis, mouth, np.where(passage, length / 2, length), half_width
    )
    floor = mouth - np.where(passage, length / 2, length)[:, None] * axis
    finds = _Finds(floor, mouth, gaps.across, depth, gaps.width, passage)
    return Recesses(
        recesses=tuple(finds.recess(one) for one in _distinct(rays, finds, count)),
        hidden_area_fraction=hidden,
    )


def _gaps(mesh: TriangleMesh, rays: RayTree, size: float) -> tuple[_Gaps, Floats, float]:
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
    return _Gaps(middle, skin.normals[gap], width[gap]), weights, float(skin.weights.sum())


def _ways_to_mouth(rays: RayTree, gaps: _Gaps, size: float) -> tuple[Floats, Floats]:
    """(axis (n, 3), distance (n,)) of the nearest place in sight where each gap has opened: coarse
    looks round, the next where one finds nothing, and a last one beside what was found."""
    angle, distance = np.zeros(len(gaps.width)), np.full(len(gaps.width), np.inf)
    for start, step, count in _LOOKS:
        which = np.flatnonzero(np.isinf(distance))
        fan = np.broadcast_to(start + step * np.arange(count), (len(which), count))
        angle[which], distance[which] = _best_of(rays, gaps.where(which), fan, size)
    which = np.flatnonzero(np.isfinite(distance))
    fan = angle[which, None] + _BESIDE
    angle[which], distance[which] = _best_of(rays, gaps.where(which), fan, size)
    return _ways(gaps.across, angle[:, None])[:, 0], distance


def _checked_depth(
    rays: RayTree, gaps: _Gaps, axis: Floats, mouth: Floats, depth: Floats, off_floor: Floats
) -> Floats:
    """The depth (n,), or less where the deepest point, taken `off_floor` before the floor (n,) [m],
    has an opening nearer than its mouth, as in a groove whose end was found first."""
    above_floor = np.minimum(off_floor, depth)
    deepest = mouth - (depth - above_floor)[:, None] * axis
    deep = np.flatnonzero(depth >= _SHALLOWEST * gaps.width)
    there = _Gaps(deepest, gaps.across, gaps.width).where(deep)
    nearest = _ways_to_mouth(rays, there, float(depth.max(initial=0.0)))[1]
    checked = depth.copy()
    checked[deep] = np.minimum(depth[deep], nearest + above_floor[deep])
    return checked


def _best_of(rays: RayTree, gaps: _Gaps, fan: Floats, size: float) -> tuple[Floats, Floats]:
    """(angle, distance) of the nearest opening on ways at the angles `fan` (n, k)."""
    if not len(fan):
        return np.zeros(0), np.zeros(0)
    every = np.repeat(np.arange(len(fan)), fan.shape[1])
    ways = _ways(gaps.across, fan).reshape(-1, 3)
    free = rays.first_hits(gaps.middle[every], ways)[1]
    table = _opening(rays, gaps.where(every), ways, free, size, together=every).reshape(fan.shape)
    best = np.argmin(table, axis=1)
    rows = np.arange(len(fan))
    return fan[rows, best], table[rows, best]


def _ways(across: Floats, fan: Floats) -> Floats:
    """Directions square to `across` (n, 3), at angles (n, k): (n, k, 3)."""
    first = np.cross(across, np.eye(3)[np.argmin(np.abs(across), axis=1)])
    first /= np.linalg.norm(first, axis=1)[:, None]
    second = np.cross(across, first)
    ways = np.cos(fan)[..., None] * first[:, None] + np.sin(fan)[..., None] * second[:, None]
    return np.asarray(ways)


def _opening(
    rays: RayTree,
    gaps: _Gaps,
    ways: Floats,
    free: Floats,
    size: float,
    together: Ints | None = None,
) -> Floats:
    """Distance along each way to where its gap has opened (n,); infinite where the way is blocked
    at `free` before. Of the ways of one group in `together`, only the first that open are found."""
    distance = np.full(len(ways), np.inf)
    active = np.arange(len(ways))
    before = np.zeros(len(ways))
    place = gaps.width * _FIRST_STEP
    while len(active):
        active = active[(place[active] < free[active]) & (before[active] < size)]
        opened = _opened(rays, gaps, ways, place, active)
        distance[active[opened]] = place[active[opened]]
        left = active[~opened]
        if together is not None:
            left = left[~np.isin(together[left], together[active[opened]])]
        before[left] = place[left]
        place[left] *= _GROWTH
        active = left
    return _sharpened(rays, gaps, ways, before, distance)


def _sharpened(
    rays: RayTree, gaps: _Gaps, ways: Floats, before: Floats, distance: Floats
) -> Floats:
    """Distances between the last shut place and the first open one, halved down."""
    found = np.flatnonzero(np.isfinite(distance))
    for _ in range(_HALVINGS):
        middle = np.where(np.isfinite(distance), (before + distance) / 2, 0.0)
        opened = _opened(rays, gaps, ways, middle, found)
        distance[found[opened]] = middle[found[opened]]
        before[found[~opened]] = middle[found[~opened]]
    return distance


def _opened(rays: RayTree, gaps: _Gaps, ways: Floats, place: Floats, which: Ints) -> Bools:
    """Whether the gap has opened at `place` along the ways `which`."""
    points = gaps.middle[which] + place[which, None] * ways[which]
    across, limit = gaps.across[which], _OPENED * gaps.width[which]
    gap = rays.first_hits(points, across)[1]
    unsure = gap <= limit
    gap[unsure] += rays.first_hits(points[unsure], -across[unsure])[1]
    return np.asarray(gap > limit)


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
    alike &= finds.width <= _OPENED * finds.width[one]
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
