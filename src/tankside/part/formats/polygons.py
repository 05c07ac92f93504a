"""Polygons with any number of corners, cut into triangles.

Triangles pass as they are. A quadrilateral is cut along the diagonal that leaves both halves facing
the same way, the shorter one where both do. Longer polygons are projected along their area vector
and cut by ear clipping, so that hollow outlines come out right; no corner is added or moved.
"""

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints


def triangulated(vertices: Floats, corners: Ints, sizes: Ints) -> tuple[Ints, Ints]:
    """(triangles (nt, 3), polygon (nt,)) of polygons given as one run of corner numbers `corners`
    and the number of corners of each, `sizes` (all at least 3)."""
    starts = np.cumsum(sizes) - sizes
    threes = np.flatnonzero(sizes == 3)
    fours = np.flatnonzero(sizes == 4)
    pieces = [corners[starts[threes, None] + np.arange(3)]]
    owners = [threes]
    if len(fours):
        pieces.append(_cut_quads(vertices, corners[starts[fours, None] + np.arange(4)]))
        owners.append(np.repeat(fours, 2))
    for polygon in np.flatnonzero(sizes > 4):
        outline = corners[starts[polygon] : starts[polygon] + sizes[polygon]]
        ears = outline[clipped_ears(vertices[outline])]
        pieces.append(ears)
        owners.append(np.full(len(ears), polygon))
    triangles, owner = np.concatenate(pieces), np.concatenate(owners)
    order = np.argsort(owner, kind="stable")
    return triangles[order], owner[order]


def _cut_quads(vertices: Floats, quads: Ints) -> Ints:
    across_02 = _both_halves_agree(vertices, quads)
    across_13 = _both_halves_agree(vertices, np.roll(quads, -1, axis=1))
    corner = vertices[quads]
    length_02 = np.linalg.norm(corner[:, 2] - corner[:, 0], axis=1)
    length_13 = np.linalg.norm(corner[:, 3] - corner[:, 1], axis=1)
    use_13 = np.where(across_02 == across_13, length_13 < length_02, across_13)
    turned = np.where(use_13[:, None], np.roll(quads, -1, axis=1), quads)
    return np.stack([turned[:, [0, 1, 2]], turned[:, [0, 2, 3]]], axis=1).reshape(-1, 3)


def _both_halves_agree(vertices: Floats, quads: Ints) -> Bools:
    a, b, c, d = (vertices[quads[:, k]] for k in range(4))
    first, second = np.cross(b - a, c - a), np.cross(c - a, d - a)
    return np.asarray(np.einsum("ij,ij->i", first, second) > 0)


def clipped_ears(outline: Floats) -> Ints:
    """Triangles (n - 2, 3), indices into `outline` (n, 3), of one polygon of any shape.

    Where the outline crosses itself no cut is right; the rest is then closed as a fan.
    """
    flat = _projected(outline)
    left = list(range(len(outline)))
    triangles: list[tuple[int, int, int]] = []
    while len(left) > 3:
        place = _best_ear(flat, left)
        before, after = left[place - 1], left[(place + 1) % len(left)]
        triangles.append((before, left[place], after))
        del left[place]
    triangles.append((left[0], left[1], left[2]))
    return np.array(triangles, dtype=np.int64)


def _projected(outline: Floats) -> Floats:
    """The outline in its own plane (n, 2), anticlockwise."""
    spokes = outline - outline.mean(axis=0)
    normal = np.cross(spokes, np.roll(spokes, -1, axis=0)).sum(axis=0)
    length = float(np.linalg.norm(normal))
    if length == 0.0:
        return np.asarray(spokes[:, :2])
    normal /= length
    first = np.cross(normal, np.eye(3)[np.argmin(np.abs(normal))])
    first /= np.linalg.norm(first)
    return np.stack([spokes @ first, spokes @ np.cross(normal, first)], axis=1)


def _best_ear(flat: Floats, left: list[int]) -> int:
    """The place in `left` of the ear with the widest smallest angle, 0 where there is none."""
    here = flat[left]
    before, after = np.roll(here, 1, axis=0), np.roll(here, -1, axis=0)
    turn = _cross(here - before, after - here)
    best, best_shape = 0, -np.inf
    for place in np.flatnonzero(turn > 0):
        corners = (before[place], here[place], after[place])
        shape = turn[place] / max(_length2(corners[k], corners[k - 1]) for k in range(3))
        if shape > best_shape and not _holds_any(corners, here, turn <= 0):
            best, best_shape = int(place), shape
    return best


def _holds_any(corners: tuple[Floats, Floats, Floats], points: Floats, hollow: Bools) -> bool:
    a, b, c = corners
    others = points[hollow]
    inside = (
        (_cross(b - a, others - a) >= 0)
        & (_cross(c - b, others - b) >= 0)
        & (_cross(a - c, others - c) >= 0)
    )
    is_corner = np.zeros(len(others), dtype=np.bool_)
    for corner in corners:
        is_corner |= (others == corner).all(axis=1)
    return bool((inside & ~is_corner).any())


def _cross(first: Floats, second: Floats) -> Floats:
    return np.asarray(first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0])


def _length2(first: Floats, second: Floats) -> float:
    return float(((first - second) ** 2).sum())
