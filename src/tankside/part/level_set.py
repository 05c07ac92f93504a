"""The outer skin of a broken mesh: a level set of a signed distance.

Inside is where the generalised winding number (Jacobson, Kavan and Sorkine-Hornung 2013) exceeds
one half; the distance is to the nearest triangle, and over holes the winding number itself takes
its place, so that a hole is closed by a smooth cap. Sheets without thickness have no inside and
vanish; the share of the area that is lost is measured and said. Refuses what encloses nothing.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from tankside.base.arrays import Bools, Floats, Ints
from tankside.base.errors import MeshDefect
from tankside.base.messages import Quantity, said
from tankside.base.progress import Progress
from tankside.part.direct import Skin, outer_skin
from tankside.part.direct_shells import Broken, welded, wound_alike
from tankside.part.level_set_mesh import patches, surface
from tankside.part.mesh import TriangleMesh
from tankside.part.remesh_tree import Tree, nearest, tree_of
from tankside.part.surface_samples import spread_with_normals

FINER = 2.0
"""Wished edge lengths over the width of a cell [-]."""

MOST_CELLS = 360
"""Cells along the longest side of the box, at most [-]."""

AT_ONCE = 8192
"""Blocks whose distances are worked out at a time [-]."""

BLOCK = 4
"""Cells along the side of a block [-]; only blocks that the skin may pass are looked at closely."""

MARGIN = 3
"""Cells between the mesh and the border of the grid [-]."""

CRUMB = 100.0
"""Volume below which a piece is a crumb [cells]."""

MOST_LOST = 0.4
"""Share of the area that may be lost or doubtful before the mesh is refused [-]."""

WORTH_SAYING = 0.005
"""Share of the area from which a loss or doubt is noted [-]."""

THICKEN = "; close it, or give it a thickness, in the program that made it"


@dataclass(frozen=True, kw_only=True)
class _Grid:
    """origin (3,) [m], width of a cell [m], number of points along each axis (whole blocks)."""

    origin: Floats
    width: float
    points: tuple[int, int, int]

    def place(self, index: npt.ArrayLike) -> Floats:
        """Positions (n, 3) of points by index (n, 3)."""
        return np.asarray(self.origin + self.width * np.asarray(index))


def level_set_skin(mesh: TriangleMesh, reason: str, triangles: int, progress: Progress) -> Skin:
    """The skin of a mesh that is broken for this `reason`, fine enough for `triangles`."""
    vertices, corners = welded(mesh.vertices, mesh.triangles)
    corners = wound_alike(vertices, corners)
    grid = _grid(vertices, corners, triangles)
    tree = tree_of(vertices[corners])
    values = _signed_distance(vertices, corners, tree, grid, progress)
    progress("drawing the level set", 0.0)
    skin = _drawn(values, tree, grid)
    if isinstance(skin, Broken):
        raise MeshDefect(
            "the mesh {reason}, and the level set of it {skin}{thicken}",
            reason=reason,
            skin=skin.reason,
            thicken=THICKEN,
        )
    notes = [
        said(
            "The mesh {reason}. Its inside was found by winding number and its skin drawn "
            "on a grid of {width}; openings were closed by smooth caps.",
            reason=reason,
            width=Quantity(grid.width, "mm"),
        )
    ]
    lost, doubtful = _judged(vertices, corners, skin, grid.width)
    if max(lost, doubtful) > MOST_LOST:
        raise MeshDefect(
            "the mesh {reason}, and for {lost:.0f} % of its area it cannot be told which side is "
            "inside{thicken}",
            reason=reason,
            lost=100 * max(lost, doubtful),
            thicken=THICKEN,
        )
    if lost > WORTH_SAYING:
        notes.append(
            said(
                "{lost} % of the mesh's area stands outside of the skin and was lost: sheets "
                "without thickness, or walls thinner than the grid.",
                lost=f"{100 * lost:.1f}",
            )
        )
    if doubtful > WORTH_SAYING:
        notes.append(
            said(
                "For {doubtful} % of the area it is uncertain what is inside.",
                doubtful=f"{100 * doubtful:.1f}",
            )
        )
    return Skin(
        vertices=skin.vertices, triangles=skin.triangles, notes=tuple(notes), grain=grid.width
    )


def _grid(vertices: Floats, corners: Ints, triangles: int) -> _Grid:
    a, b, c = (vertices[corners[:, k]] for k in range(3))
    area = float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    wished = np.sqrt(area / triangles * 4 / np.sqrt(3)) / FINER
    width = float(max(wished, (high - low).max() / (MOST_CELLS - 2 * MARGIN)))
    blocks = np.ceil(((high - low) / width + 2 * MARGIN) / BLOCK).astype(int)
    spare = blocks * BLOCK - 1 - (high - low) / width
    x, y, z = (int(count) * BLOCK for count in blocks)
    return _Grid(origin=low - spare / 2 * width, width=width, points=(x, y, z))


def _signed_distance(
    vertices: Floats, corners: Ints, tree: Tree, grid: _Grid, progress: Progress
) -> Floats:
    """Signed distance to a mesh at the grid's points, positive inside, capped to a few cells; far
    from the skin only its sign means something."""
    progress("building a signed distance", 0.0)
    shape = tuple(count // BLOCK for count in grid.points)
    blocks = np.stack(np.meshgrid(*map(np.arange, shape), indexing="ij"), axis=-1).reshape(-1, 3)
    middles = grid.place(blocks * BLOCK + (BLOCK - 1) / 2)
    inside = (_windings(vertices, corners, middles) > 0.5).reshape(shape)
    _, away, _ = nearest(tree, middles)
    near = away.reshape(shape) < (np.sqrt(3) * (BLOCK - 1) / 2 + 1.5) * grid.width
    cap = MARGIN * grid.width
    values = np.repeat(np.repeat(np.repeat(inside, BLOCK, 0), BLOCK, 1), BLOCK, 2)
    values = np.where(values, cap, -cap)
    offsets = np.stack(np.meshgrid(*3 * [np.arange(BLOCK)], indexing="ij"), -1).reshape(-1, 3)
    chosen = np.argwhere(near | _changes(inside))
    for first in range(0, len(chosen), AT_ONCE):
        progress("building a signed distance", first / len(chosen))
        index = (chosen[first : first + AT_ONCE, None] * BLOCK + offsets).reshape(-1, 3)
        places = grid.place(index)
        certainty = 2 * (_windings(vertices, corners, places) - 0.5)
        _, distance, _ = nearest(tree, places)
        value = np.sign(certainty) * np.minimum(distance, np.abs(certainty) * cap)
        values[index[:, 0], index[:, 1], index[:, 2]] = np.clip(value, -cap, cap)
    return np.where(np.abs(values) < 1e-6 * grid.width, -1e-6 * grid.width, values)


def _windings(vertices: Floats, corners: Ints, places: Floats) -> Floats:
    """Generalised winding number of a mesh about each place (n,)."""
    import igl

    found = igl.fast_winding_number(
        np.ascontiguousarray(vertices), np.ascontiguousarray(corners), np.ascontiguousarray(places)
    )
    return np.asarray(found, dtype=np.float64).reshape(-1)


def _changes(inside: Bools) -> Bools:
    """Blocks that differ from one of their neighbours, and their neighbours."""
    from scipy.ndimage import binary_dilation, maximum_filter, minimum_filter

    numbers = inside.astype(np.uint8)
    differ = maximum_filter(numbers, 3) != minimum_filter(numbers, 3)
    return np.asarray(binary_dilation(differ, np.ones((3, 3, 3))))


def _drawn(values: Floats, tree: Tree, grid: _Grid) -> Skin | Broken:
    """The outer skin of the level set, crumbs left out."""
    if not (values > 0).any():
        return Broken(reason="encloses no volume")
    found = patches(np.pad(values, 1, constant_values=-MARGIN * grid.width))
    origin = grid.origin - grid.width
    vertices, corners = surface(found, tree, origin, grid.width)
    vertices, corners = _large_pieces(vertices, corners, CRUMB * grid.width**3)
    if not len(corners):
        return Broken(reason="encloses no volume")
    return outer_skin(TriangleMesh(vertices=vertices, triangles=corners))


def _large_pieces(vertices: Floats, corners: Ints, smallest: float) -> tuple[Floats, Ints]:
    """The pieces that enclose at least this volume; sealed hollows and crumbs are left out."""
    count = len(vertices)
    start, end = corners.reshape(-1), np.roll(corners, -1, axis=1).reshape(-1)
    graph = coo_array((np.ones(len(start)), (start, end)), shape=(count, count))
    number, label = connected_components(graph, directed=False)
    a, b, c = (vertices[corners[:, k]] - vertices.mean(axis=0) for k in range(3))
    share = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
    volume = np.bincount(label[corners[:, 0]], weights=share, minlength=number)
    kept = (volume > smallest)[label[corners[:, 0]]]
    return vertices, corners[kept]


def _judged(vertices: Floats, corners: Ints, skin: Skin, width: float) -> tuple[float, float]:
    """Shares of a mesh's area: what stands outside of the skin by more than two cells, and what has
    no clear outside before it."""
    mesh = TriangleMesh(vertices=vertices, triangles=corners)
    places, normals = spread_with_normals(mesh, 10_000)
    _, away, _ = nearest(tree_of(skin.vertices[skin.triangles]), places)
    outside = _windings(skin.vertices, skin.triangles, places) < 0.5
    before = _windings(vertices, corners, places + 0.01 * width * normals)
    doubtful = np.abs(before - np.round(before)) > 0.25
    return float((outside & (away > 2 * width)).mean()), float(doubtful.mean())
