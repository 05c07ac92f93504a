"""Surface meshes of the benchmark's two cells, the same for every contender (runs beside NGSolve).

    spheres  a cathode of 30 mm radius in an anode of 100 mm radius; every answer is known
    bracket  an L of 60 x 40 x 50 mm, 3 mm thick, with a gusset and six holes, in 11 litres between
             two plates; its surface is cut along planes, so that averages over the same patches
             can be compared from meshes of any size

Size is that of triangles on the cathode [m]; along its sharp edges it is multiplied by the second
number, as Tankside's own analysis surfaces are finer there.

Writes an .npz with points [m], triangles (normals into the solution), body (0 wall, 1 anode,
2 cathode, 3 lid), patch, mirror level and seconds taken.

    python shapes.py bracket 0.003 0.33 1 out.npz
"""

import sys
import time
from itertools import pairwise

import numpy as np
from netgen.meshing import MeshingStep
from netgen.occ import Box, Cylinder, Glue, OCCGeometry, Pnt, Vertex, X, Y, Z

WALL, ANODE, CATHODE, LID = 0, 1, 2, 3
RADIUS, DEPTH, SEGMENTS = 0.12, 0.24, 40
PLATES = ((-0.085, 0.08, 0.16, 0.002, -0.11), (0.085, 0.08, 0.16, 0.002, -0.11))
HANGS_AT = np.array([0.0, 0.0, -0.12])


def main() -> None:
    name, target = sys.argv[1], sys.argv[5]
    size, edges, rest = float(sys.argv[2]), float(sys.argv[3]), int(sys.argv[4])
    started = time.perf_counter()
    cell = {"spheres": spheres, "bracket": bracket_in_tank}[name](size, edges, rest)
    np.savez(target, seconds=time.perf_counter() - started, **cell)


def spheres(size: float, _edges: float, _rest: int) -> dict[str, object]:
    """Spheres by repeated halving of icosahedra, of a sphere's volume each."""
    parts = []
    for radius, body, coarser in ((0.03, CATHODE, 1.0), (0.1, ANODE, 2.5)):
        points, triangles = icosphere(radius, size * coarser)
        inward = body == ANODE
        parts.append((points, triangles[:, ::-1] if inward else triangles, body))
    cell = together(parts)
    return cell | {"mirror": np.nan, "patch": np.arange(len(cell["triangles"]))}


def icosphere(radius: float, size: float) -> tuple[np.ndarray, np.ndarray]:
    """Subdivided icosahedron with edges of about `size`; each edge cut in equally many parts."""
    g = (1 + 5**0.5) / 2
    corners = np.array(
        [[-1, g, 0], [1, g, 0], [-1, -g, 0], [1, -g, 0], [0, -1, g], [0, 1, g],
         [0, -1, -g], [0, 1, -g], [g, 0, -1], [g, 0, 1], [-g, 0, -1], [-g, 0, 1]]
    ) / np.hypot(1, g)  # fmt: skip
    faces = np.array(
        [[0, 11, 5], [0, 5, 1], [0, 1, 7], [0, 7, 10], [0, 10, 11], [1, 5, 9], [5, 11, 4],
         [11, 10, 2], [10, 7, 6], [7, 1, 8], [3, 9, 4], [3, 4, 2], [3, 2, 6], [3, 6, 8],
         [3, 8, 9], [4, 9, 5], [2, 4, 11], [6, 2, 10], [8, 6, 7], [9, 8, 1]]
    )  # fmt: skip
    parts = max(1, round(1.05 * radius / size))
    points, triangles = [], []
    for a, b, c in corners[faces]:
        number = {}
        for i in range(parts + 1):
            for j in range(parts + 1 - i):
                number[i, j] = len(points)
                points.append(a + (b - a) * i / parts + (c - a) * j / parts)
        for i in range(parts):
            for j in range(parts - i):
                triangles.append([number[i, j], number[i + 1, j], number[i, j + 1]])
                if i + j < parts - 1:
                    triangles.append([number[i + 1, j], number[i + 1, j + 1], number[i, j + 1]])
    points = np.array(points)
    points /= np.linalg.norm(points, axis=1)[:, None]
    points, triangles = welded(points, np.array(triangles))
    volume = np.einsum("ij,ij->", points[triangles[:, 0]],
                       np.cross(points[triangles[:, 1]], points[triangles[:, 2]])) / 6  # fmt: skip
    return points * radius * (4 / 3 * np.pi / volume) ** (1 / 3), triangles


def bracket_in_tank(size: float, edges: float, rest: int) -> dict[str, object]:
    """The bracket at `size`, at its sharp edges `edges` times that; tank and plates coarse."""
    points, triangles, patch = bracket(size, edges)
    side, sheet = tank(rest, lid=False), tank(rest, lid=True)
    parts = [(points + HANGS_AT, triangles, CATHODE), (*side, WALL), (*sheet, LID)]
    for across, width, height, thickness, middle in PLATES:
        low = np.array([across - thickness / 2, -width / 2, middle - height / 2])
        high = np.array([across + thickness / 2, width / 2, middle + height / 2])
        parts.append((*box(low, high, (rest, 10 * rest, 20 * rest)), ANODE))
    cell = together(parts)
    others = np.full(len(cell["triangles"]) - len(patch), -1)
    return cell | {"mirror": 0.0, "patch": np.concatenate([patch, others])}


def bracket(size: float, edges: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Points [m] about its middle, triangles with outward normals, patch numbers."""
    thick = 3.0
    solid = Box(Pnt(0, 0, 0), Pnt(60, 40, thick)) + Box(Pnt(0, 0, 0), Pnt(thick, 40, 50))
    gusset = Box(Pnt(thick, 18.5, thick), Pnt(28, 21.5, 28))
    solid = solid + (gusset - Cylinder(Pnt(28 + thick, 10, 28 + thick), Y, r=25, h=20))
    for x, y, radius in ((50, 10, 3), (50, 30, 3), (35, 10, 2), (35, 30, 2)):
        solid = solid - Cylinder(Pnt(x, y, -1), Z, r=radius, h=thick + 2)
    for y, z, radius in ((10, 40, 4), (30, 40, 4)):
        solid = solid - Cylinder(Pnt(-1, y, z), X, r=radius, h=thick + 2)
    pieces = [solid]
    for axis, cuts in enumerate(((20.0, 40.0), (15.0, 25.0), (20.0, 35.0))):
        pieces = [part for piece in pieces for part in slabs(piece, axis, cuts)]
    whole = Glue(pieces)
    for edge in whole.edges:
        start, end = edge.parameter_interval
        middle = Vertex(edge.Value((start + end) / 2))
        if min(middle.Distance(sharp) for sharp in solid.edges) < 1e-6:
            edge.maxh = 1e3 * size * edges
    mesh = OCCGeometry(whole).GenerateMesh(
        maxh=1e3 * size, perfstepsend=MeshingStep.MESHSURFACE, grading=0.5, optsteps2d=4
    )
    outside = {
        number for number in range(1, mesh.GetNFaceDescriptors() + 1)
        if 0 in (mesh.FaceDescriptor(number).domin, mesh.FaceDescriptor(number).domout)
    }  # fmt: skip
    points = np.array([list(point.p) for point in mesh.Points()])
    elements = [(e.index, [v.nr - 1 for v in e.vertices]) for e in mesh.Elements2D()]
    kept = [(index, corners) for index, corners in elements if index in outside]
    patch = np.array([index for index, _ in kept])
    points, triangles = compact(points, np.array([corners for _, corners in kept]))
    flip = np.array([mesh.FaceDescriptor(int(k)).domin == 0 for k in patch])
    triangles[flip] = triangles[flip][:, ::-1]
    return (points - np.array([30.0, 20.0, 25.0])) * 1e-3, triangles, patch


def slabs(piece: object, axis: int, cuts: tuple[float, ...]) -> list[object]:
    """A solid cut along planes across an axis; what is empty is left out."""
    edges, out = (-10.0, *cuts, 80.0), []
    for low, high in pairwise(edges):
        start, end = [-10.0] * 3, [80.0] * 3
        start[axis], end[axis] = low, high
        part = piece * Box(Pnt(*start), Pnt(*end))
        out += [solid for solid in part.solids if solid.mass > 1e-6]
    return out


def tank(rest: int, *, lid: bool) -> tuple[np.ndarray, np.ndarray]:
    """Side and floor of the tank, a prism of SEGMENTS sides, or its lid; normals into the solution.
    `rest` times as many triangles each way."""
    sector, count = 2 * np.pi / SEGMENTS, SEGMENTS * rest
    angles = np.arange(count) * 2 * np.pi / count
    corner = RADIUS * np.sqrt(sector / np.sin(sector))
    radius = corner * np.cos(sector / 2) / np.cos(angles % sector - sector / 2)
    outline = radius[:, None] * np.stack([np.cos(angles), np.sin(angles)], 1)
    level = 0.0 if lid else -DEPTH
    rings = [(scale, level) for scale in np.linspace(1.0, 0.0, 5 * rest + 1)[:-1]]
    if not lid:
        rings = [(1.0, z) for z in np.linspace(0.0, -DEPTH, 14 * rest + 1)[:-1]] + rings
    points = [np.column_stack([scale * outline, np.full(count, z)]) for scale, z in rings]
    i = np.arange(count)
    j = (i + 1) % count
    triangles = []
    for k in range(len(rings) - 1):
        a, b, c, d = k * count + i, k * count + j, (k + 1) * count + j, (k + 1) * count + i
        odd = ((i + k) % 2 == 1)[:, None]
        triangles.append(np.where(odd, np.stack([a, b, c], 1), np.stack([a, b, d], 1)))
        triangles.append(np.where(odd, np.stack([a, c, d], 1), np.stack([b, c, d], 1)))
    last = (len(rings) - 1) * count
    triangles.append(np.stack([last + i, last + j, np.full(count, len(rings) * count)], 1))
    ordered = np.concatenate(triangles)
    return np.concatenate([*points, [[0.0, 0.0, level]]]), ordered[:, ::-1] if lid else ordered


def box(
    low: np.ndarray, high: np.ndarray, counts: tuple[int, int, int]
) -> tuple[np.ndarray, np.ndarray]:
    """A box of rectangles cut in two, normals outward."""
    points, triangles, start = [], [], 0
    for axis in range(3):
        u, v = (axis + 1) % 3, (axis + 2) % 3
        for at in (0, 1):
            grid = [spread(counts[u]), spread(counts[v])]
            s, t = (part.ravel() for part in np.meshgrid(*grid, indexing="ij"))
            corner = np.zeros((len(s), 3))
            corner[:, axis] = at
            corner[:, u], corner[:, v] = s, t
            points.append(low + corner * (high - low))
            for i in range(counts[u]):
                for j in range(counts[v]):
                    a = start + i * (counts[v] + 1) + j
                    b = a + counts[v] + 1
                    two = [[a, b, b + 1], [a, b + 1, a + 1]]
                    triangles += two if at else [one[::-1] for one in two]
            start += len(s)
    return welded(np.concatenate(points), np.array(triangles))


def spread(count: int) -> np.ndarray:
    """From 0 to 1, denser at both ends."""
    return (1 - np.cos(np.linspace(0, np.pi, count + 1))) / 2


def together(parts: list[tuple[np.ndarray, np.ndarray, int]]) -> dict[str, np.ndarray]:
    starts = np.cumsum([0] + [len(points) for points, _, _ in parts])
    triangles = np.concatenate([t + start for (_, t, _), start in zip(parts, starts, strict=False)])
    body = np.concatenate([np.full(len(t), kind) for _, t, kind in parts])
    points, triangles = welded(np.concatenate([points for points, _, _ in parts]), triangles)
    return {"points": points, "triangles": triangles, "body": body}


def welded(points: np.ndarray, triangles: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Points that coincide to 1e-9 of the extent made one."""
    grid = np.round(points / (1e-9 * np.abs(points).max())).astype(np.int64)
    _, first, number = np.unique(grid, axis=0, return_index=True, return_inverse=True)
    return points[first], number.reshape(-1)[triangles]


def compact(points: np.ndarray, triangles: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    used, number = np.unique(triangles, return_inverse=True)
    return points[used], number.reshape(triangles.shape)


if __name__ == "__main__":
    main()
