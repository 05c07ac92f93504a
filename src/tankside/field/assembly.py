"""Builds the stored operators piece by piece.

Pieces are of some megabytes. A few threads make them one by one, each in a work space that is then
copied to its exact size, so that building needs hardly more memory than the result. How the work is
cut depends on the panels alone, and never on the number of threads.
"""

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import TypeVar

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints
from tankside.base.progress import Progress
from tankside.field.checks import check_panels
from tankside.field.clusters import Clusters, all_near, far_and_near, leaves_within
from tankside.field.compression import compressed
from tankside.field.corrections import Corrections, near_corrections
from tankside.field.discretisation import REACH
from tankside.field.panels import Panels
from tankside.field.pieces import CorrectionPiece, FarPiece, NearPiece, Stored
from tankside.field.products import fill_near
from tankside.field.reconstruction import Reconstruction, reconstruction
from tankside.field.threads import in_threads, meanwhile

_Result = TypeVar("_Result")

FEW = 1000
"""Up to this many panels none are compressed, which then costs more than it saves."""

_PIECE = 1 << 21
"""Entries of a piece, roughly, at most."""

_PIECES = 12
"""Pieces that a stage is cut in at least, so that a few threads end at about the same time."""

_SMALLEST_PIECE = 1 << 14
"""Entries of a piece, roughly, below which handing it out costs more than it saves."""

_CODES = 1 << 22
"""Codes that one far piece has room for: more than three times the largest block."""

_USUAL_RANK = 12
_CORRECTED_SHARE = 8
"""Of this many pairs of panels in leaves within reach, about one is itself within reach."""


def assembled(
    panels: Panels, clusters: Clusters, geometry: Floats, tolerance: float, progress: Progress
) -> Stored:
    """The operators of the packed panels, each far block within `tolerance` at its worst row."""
    mirrored = panels.mirror_level is not None
    reached = meanwhile(lambda: _reached(clusters, panels.mirror_level))
    found = meanwhile(lambda: reconstruction(geometry, panels.group[clusters.order]))
    far, near = (far_and_near if len(panels) > FEW else all_near)(clusters)
    far_parts, whole = _far_pieces(geometry, mirrored, clusters, far, tolerance, progress)
    corrections = _corrections(geometry, *reached(), found(), progress)
    near_blocks = np.concatenate([_bounds(clusters, near), whole])
    near_parts = list(_near_pieces(geometry, mirrored, near_blocks, corrections, progress))
    left = CorrectionPiece(corrections=corrections.kept())
    return Stored(order=clusters.order, pieces=(*far_parts, *near_parts, left))


def _far_pieces(
    geometry: Floats,
    mirrored: bool,
    clusters: Clusters,
    pairs: Ints,
    tolerance: float,
    progress: Progress,
) -> tuple[list[FarPiece], Ints]:
    """The far pairs compressed, and those blocks (k, 4) that are better kept whole."""
    blocks = _bounds(clusters, pairs)
    targets, sources = check_panels(geometry, clusters.first, clusters.last)
    rows, columns, scales = (
        targets[pairs[:, 0]],
        sources[pairs[:, 1]],
        clusters.diagonal[pairs[:, 1]],
    )

    def work(run: slice) -> tuple[list[FarPiece], Ints]:
        checks = rows[run], columns[run]
        return _compressed_run(geometry, mirrored, blocks[run], checks, scales[run], tolerance)

    sizes = _USUAL_RANK * (blocks[:, 1] - blocks[:, 0] + 2 * (blocks[:, 3] - blocks[:, 2]))
    results = list(_told(work, _cut(blocks, sizes), "compressing far panels", progress))
    pieces = [piece for part, _ in results for piece in part]
    return pieces, np.concatenate([blocks[:0], *(whole for _, whole in results)])


def _compressed_run(
    geometry: Floats,
    mirrored: bool,
    blocks: Ints,
    checks: tuple[Ints, Ints],
    scales: Floats,
    tolerance: float,
) -> tuple[list[FarPiece], Ints]:
    """Blocks compressed, and those better kept whole; `checks` are the checked targets and sources
    of each, `scales` the length by which its double layer counts [m]."""
    pieces: list[FarPiece] = []
    ranks = np.zeros(len(blocks), dtype=np.int64)
    begin = 0
    while begin < len(blocks):
        codes = np.empty(_CODES, dtype=np.int16)
        factors = np.empty(_CODES // 16, dtype=np.float32)
        end = compressed(
            geometry, mirrored, blocks, *checks, scales, tolerance, begin, ranks, codes, factors
        )
        kept = np.arange(begin, end)[ranks[begin:end] > 0]
        m, n = (blocks[kept, 2 * side + 1] - blocks[kept, 2 * side] for side in range(2))
        if len(kept):
            pieces.append(
                FarPiece(
                    blocks=blocks[kept],
                    ranks=ranks[kept],
                    codes=codes[: int((ranks[kept] * (m + 2 * n)).sum())].copy(),
                    factors=factors[: 2 * int(ranks[kept].sum())].copy(),
                )
            )
        begin = end
    return pieces, blocks[ranks < 0]


def _near_pieces(
    geometry: Floats, mirrored: bool, blocks: Ints, corrections: Corrections, progress: Progress
) -> Iterator[NearPiece]:
    """The near blocks in full, with the corrections that they take up and make zero."""
    sizes = 2 * (blocks[:, 1] - blocks[:, 0]) * (blocks[:, 3] - blocks[:, 2])
    rows = corrections.row, corrections.panel, corrections.weight

    def work(run: slice) -> NearPiece:
        part = blocks[run]
        codes = np.empty(int(sizes[run].sum()), dtype=np.int16)
        steps = np.empty(2 * int((part[:, 1] - part[:, 0]).sum()), dtype=np.float32)
        fill_near(geometry, mirrored, part, *rows, codes, steps)
        return NearPiece(blocks=part, codes=codes, steps=steps)

    return _told(work, _cut(blocks, sizes), "integrating near panels", progress)


def _reached(clusters: Clusters, level: float | None) -> tuple[Ints, Bools]:
    """Blocks (k, 4) of panels within reach of each other, sorted by target, and whether it is the
    target's image in the liquid's surface."""
    pairs = [leaves_within(clusters, REACH)]
    if level is not None:
        pairs.append(leaves_within(clusters, REACH, level))
    blocks = np.concatenate([_bounds(clusters, part) for part in pairs])
    image = np.repeat([False, True][: len(pairs)], [len(part) for part in pairs])
    order = np.argsort(blocks[:, 0], kind="stable")
    return blocks[order], image[order]


def _corrections(
    geometry: Floats, blocks: Ints, image: Bools, found: Reconstruction, progress: Progress
) -> Corrections:
    """All rows of what the reconstruction adds."""
    sizes = (blocks[:, 1] - blocks[:, 0]) * (blocks[:, 3] - blocks[:, 2]) // _CORRECTED_SHARE

    def work(run: slice) -> list[Corrections]:
        return near_corrections(geometry, blocks[run], image[run], found)

    runs = _cut(blocks, sizes, whole_targets=True)
    pieces = [piece for part in _told(work, runs, "integrating slopes", progress) for piece in part]
    return Corrections.joined(pieces)


def _bounds(clusters: Clusters, pairs: Ints) -> Ints:
    """Pairs of nodes as (k, 4): first and last target, first and last source."""
    target, source = pairs.T
    first, last = clusters.first, clusters.last
    return np.stack([first[target], last[target], first[source], last[source]], axis=-1)


def _cut(blocks: Ints, sizes: Ints, whole_targets: bool = False) -> list[slice]:
    """Runs of blocks of about the same size; with whole_targets, all of a target in one run."""
    size = min(max(int(sizes.sum()) // _PIECES, _SMALLEST_PIECE), _PIECE)
    part = np.cumsum(sizes) // size
    if whole_targets and len(blocks):
        first = np.diff(blocks[:, 0], prepend=blocks[0, 0] - 1) != 0
        part = part[np.maximum.accumulate(np.where(first, np.arange(len(blocks)), 0))]
    starts: Bools = np.diff(part, prepend=-1) > 0
    edges = [*np.flatnonzero(starts), len(blocks)]
    return [slice(int(a), int(b)) for a, b in pairwise(edges)]


def _told(
    work: Callable[[slice], _Result], runs: list[slice], stage: str, progress: Progress
) -> Iterator[_Result]:
    """The results of the runs in order, telling how far the stage has come."""
    progress(stage, 0.0)
    for count, result in enumerate(in_threads(work, runs)):
        progress(stage, (count + 1) / len(runs))
        yield result
