"""Fills flat facets with well-shaped triangles whose size follows a law.

First the edges are divided, each once, by the smallest panel that any of its facets asks for; then
each facet is filled: a tree of squares offers inner points, those that keep their distance are
taken, constrained Delaunay joins them. So facets that share an edge share its points, and the
surface is closed wherever the facets were.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.cell.polyhedra import ON_PLANE, Facet
from tankside.cell.spacing import in_plane_axes
from tankside.cell.triangulation import triangulated
from tankside.cell.welding import welded
from tankside.part.mesh import TriangleMesh

SizeLaw = Callable[[Floats], Floats]
"""Panel edge [m] at places (n, 3) [m]."""

_WELD = 1e-8
"""Corners this close are one, and a corner this close to an edge lies on it [m]."""

_CLEAR = 0.62
"""Least distance of an inner point from the border over the panel edge there [-]."""

_APART = 0.83
"""Least distance between inner points over the panel edge there [-]."""

_ROUNDS = 4
"""Rounds of smoothing of a facet's inner points."""


def panelled(
    groups: Sequence[tuple[Sequence[Facet], SizeLaw]], level: float
) -> tuple[TriangleMesh, ...]:
    """One mesh per group of facets; groups that touch along edges share the points there."""
    facets = [(facet, number) for number, (facets, _) in enumerate(groups) for facet in facets]
    points, loops = _joined([facet for facet, _ in facets], level)
    owners: dict[tuple[int, int], set[int]] = {}
    for (_, number), rings in zip(facets, loops, strict=True):
        for edge in _edges(rings):
            owners.setdefault((min(edge), max(edge)), set()).add(number)
    laws = [law for _, law in groups]
    points, divided = _divided(points, owners, laws)
    pieces: list[list[tuple[Floats, Ints]]] = [[] for _ in groups]
    for (facet, number), rings in zip(facets, loops, strict=True):
        pieces[number].append(_filled(facet, rings, points, divided, laws[number]))
    return tuple(_one_mesh(rows) for rows in pieces)


def _joined(facets: Sequence[Facet], level: float) -> tuple[Floats, list[list[list[int]]]]:
    """All corners once, and every facet's loops as corner numbers, with the corners that lie on an
    edge of another facet put into it."""
    loops = [loop for facet in facets for loop in facet.loops]
    points, place = welded(np.concatenate(loops), _WELD)
    points = points.copy()
    points[np.abs(points[:, 2] - level) <= ON_PLANE, 2] = level
    starts = np.cumsum([0, *(len(loop) for loop in loops)])
    rings = iter(
        [
            point
            for a, b in pairwise([*ids, ids[0]])
            if a != b
            for point in (a, *_between(a, b, points))
        ]
        for ids in (place[low:high].tolist() for low, high in pairwise(starts))
    )
    return points, [[next(rings) for _ in facet.loops] for facet in facets]


def _between(a: int, b: int, points: Floats) -> list[int]:
    """Numbers of the points that lie inside the edge from a to b, in order."""
    along = points[b] - points[a]
    length = float(np.linalg.norm(along))
    share = (points - points[a]) @ along / length**2
    aside = np.linalg.norm(points - points[a] - share[:, None] * along, axis=1)
    margin = _WELD / length
    inside = np.flatnonzero((aside < _WELD) & (share > margin) & (share < 1 - margin))
    return [int(k) for k in inside[np.argsort(share[inside])]]


def _edges(rings: Sequence[Sequence[int]]) -> list[tuple[int, int]]:
    return [edge for ring in rings for edge in pairwise([*ring, ring[0]])]


def _divided(
    points: Floats, owners: dict[tuple[int, int], set[int]], laws: Sequence[SizeLaw]
) -> tuple[Floats, dict[tuple[int, int], list[int]]]:
    """All points with those that divide the edges, and the numbers of the latter by edge."""
    edges = np.array(list(owners))
    shares = np.linspace(0.0, 1.0, 33)
    ends = points[edges]
    places = ends[:, None, 0] + shares[None, :, None] * (ends[:, None, 1] - ends[:, None, 0])
    sizes = np.full(places.shape[:2], np.inf)
    for number, law in enumerate(laws):
        mine = [k for k, among in enumerate(owners.values()) if number in among]
        wanted = law(places[mine].reshape(-1, 3)).reshape(-1, len(shares))
        sizes[mine] = np.minimum(sizes[mine], wanted)
    lengths = np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1)
    new: list[Floats] = []
    divided: dict[tuple[int, int], list[int]] = {}
    first = len(points)
    for edge, place, size, length in zip(owners, places, sizes, lengths, strict=True):
        inside = _division(shares, size, length)
        new.append(place[0] + inside[:, None] * (place[-1] - place[0]))
        divided[edge] = list(range(first, first + len(inside)))
        first += len(inside)
    return np.concatenate([points, *new]), divided


def _division(shares: Floats, size: Floats, length: float) -> Floats:
    """Shares of an edge at which to divide it, so that each piece is about `size` long there."""
    steps = np.diff(shares) * length * (1 / size[1:] + 1 / size[:-1]) / 2
    count = np.concatenate([[0.0], np.cumsum(steps)])
    pieces = max(1, round(float(count[-1])))
    inside: Floats = np.interp(np.arange(1, pieces) / pieces * count[-1], count, shares)
    return inside


def _filled(
    facet: Facet,
    rings: Sequence[Sequence[int]],
    points: Floats,
    divided: dict[tuple[int, int], list[int]],
    law: SizeLaw,
) -> tuple[Floats, Ints]:
    """Places (n, 3) [m] and triangles of one facet; its border keeps the given points exactly."""
    axes, origin = in_plane_axes(facet), facet.outline[0]

    def flat(numbers: Sequence[int]) -> Floats:
        placed: Floats = (points[list(numbers)] - origin) @ axes.T
        return placed

    def in_space(places: Floats) -> Floats:
        spatial: Floats = origin + places @ axes
        return spatial

    inside = [[_in_order(edge, divided) for edge in _edges([ring])] for ring in rings]
    border = np.concatenate(
        [
            flat([n for a, row in zip(ring, rows, strict=True) for n in (a, *row)] + [ring[0]])
            for ring, rows in zip(rings, inside, strict=True)
        ]
    )
    breaks = np.cumsum([len(ring) + sum(map(len, rows)) + 1 for ring, rows in
                        zip(rings, inside, strict=True)])  # fmt: skip
    segments = np.delete(np.stack([border[:-1], border[1:]], axis=1), breaks[:-1] - 1, axis=0)
    inner = _inner_points(segments, lambda places: law(in_space(places)))
    loops = [flat(ring) for ring in rings]
    rows = [[flat(row) for row in rows] for rows in inside]
    placed, triangles = triangulated(loops, rows, inner, relaxations=_ROUNDS)
    known = [n for ring in rings for n in ring]
    known += [n for rows in inside for row in rows for n in row]
    return np.concatenate([points[known], in_space(placed[len(known) :])]), triangles


def _in_order(edge: tuple[int, int], divided: dict[tuple[int, int], list[int]]) -> list[int]:
    a, b = edge
    return divided[a, b] if a < b else divided[b, a][::-1]


def _inner_points(segments: Floats, law: SizeLaw) -> Floats:
    """Points inside the border and clear of it, as close to each other as the law asks."""
    low, high = segments.min(axis=(0, 1)), segments.max(axis=(0, 1))
    centres, size = _squares(low, high, lambda places: law(places) / 2)
    offsets = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) / 2
    places = (centres[:, None] + offsets[None] * size[:, None]).reshape(-1, 2)
    cells = np.round((places - low) / (float(size.min()) / 8)).astype(np.int64)
    places = places[np.unique(cells, axis=0, return_index=True)[1]]
    places = places[_is_inside(places, segments)]
    if not len(places):
        return places
    sizes = law(places)
    clear = _distance(places, segments) > _CLEAR * sizes
    return _thinned(places[clear], _APART * sizes[clear])


def _thinned(places: Floats, apart: Floats) -> Floats:
    """Places that keep their own distance (n,) [m] from those taken before, the densest first."""
    if not len(places):
        return places
    order = np.argsort(apart, kind="stable")
    places, apart = places[order], apart[order]
    from scipy.spatial import cKDTree  # a server's start need not wait for it

    near = cKDTree(places).query_ball_point(places, apart)
    free = np.ones(len(places), dtype=np.bool_)
    kept = []
    for number, around in enumerate(near):
        if free[number]:
            kept.append(number)
            free[around] = False
    return places[kept]


def _squares(low: Floats, high: Floats, law: SizeLaw) -> tuple[Floats, Floats]:
    """Centres (n, 2) and sides (n, 2) of near-squares that fill the box, each under the law."""
    extent = high - low
    grid = low + (np.stack(np.meshgrid(range(9), range(9)), axis=-1).reshape(-1, 2) / 8) * extent
    counts = np.maximum(1, np.round(extent / _root_square(law(grid)))).astype(np.int64)
    side = extent / counts
    cells = np.stack(np.meshgrid(*map(np.arange, counts), indexing="ij"), axis=-1).reshape(-1, 2)
    centres = low + (cells + 0.5) * side
    done, sides = [], []
    while len(centres):
        large = side.max() > 1.3 * law(centres)
        done.append(centres[~large])
        sides.append(np.tile(side, (int((~large).sum()), 1)))
        side = side / 2
        quarters = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) / 2 * side
        centres = (centres[large][:, None] + quarters[None]).reshape(-1, 2)
    return np.concatenate(done), np.concatenate(sides)


def _root_square(sizes: Floats) -> float:
    """The largest square of the tree; halved a few times, it fits where most panels are."""
    sizes = np.sort(sizes)
    panels = np.cumsum(1 / sizes**2)
    usual = float(sizes[np.searchsorted(panels, panels[-1] / 2)])
    return float(usual * 2.0 ** np.floor(np.log2(float(sizes[-1]) / usual)))


def _is_inside(places: Floats, segments: Floats) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """By the number of borders to the right."""
    x, y = places[:, :1], places[:, 1:]
    (x1, y1), (x2, y2) = segments[:, 0].T, segments[:, 1].T
    spans = (y1 > y) != (y2 > y)
    rise = np.where(y2 == y1, 1.0, y2 - y1)
    crosses = spans & (x < x1 + (y - y1) / rise * (x2 - x1))
    inside: np.ndarray[tuple[int], np.dtype[np.bool_]] = crosses.sum(axis=1) % 2 == 1
    return inside


def _distance(places: Floats, segments: Floats) -> Floats:
    """Distance of each place from the border (n,) [m]."""
    start, along = segments[:, 0], segments[:, 1] - segments[:, 0]
    squared = np.maximum((along**2).sum(axis=1), 1e-300)
    share = np.einsum("nsk,sk->ns", places[:, None] - start, along) / squared
    nearest = start + np.clip(share, 0, 1)[..., None] * along
    distance: Floats = np.linalg.norm(places[:, None] - nearest, axis=2).min(axis=1)
    return distance


def _one_mesh(pieces: Sequence[tuple[Floats, Ints]]) -> TriangleMesh:
    """The facets of one group as one mesh, shared points once."""
    starts = np.cumsum([0, *(len(places) for places, _ in pieces)])
    stacked = np.concatenate([places for places, _ in pieces])
    triangles = np.concatenate(
        [triangles + start for (_, triangles), start in zip(pieces, starts, strict=False)]
    )
    places, number = np.unique(stacked, axis=0, return_inverse=True)
    return TriangleMesh(vertices=places, triangles=number.reshape(-1)[triangles])
