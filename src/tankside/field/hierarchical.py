"""The boundary operators of many panels, compressed: memory and time grow hardly faster than N.

Near blocks in full, far blocks as checked low-rank terms, the near double layer with linear
potential (`reconstruction.py`), and on a closed boundary a diagonal that makes K 1 = 1/2 exactly,
so that no constant potential drives a current. What that diagonal had to make good is `closure`,
the check on everything before it. Refused: a boundary with a hole, or with a body inside out.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Floats, Ints, frozen_floats
from tankside.base.errors import BadInput, NotConverged
from tankside.base.progress import Progress, silent
from tankside.field.checks import check_panels
from tankside.field.closure import closure_warnings
from tankside.field.clusters import Clusters, clustered, far_and_near, leaves_within
from tankside.field.discretisation import REACH
from tankside.field.integrals import near_row, packed
from tankside.field.panels import Panels
from tankside.field.pieces import (
    PIECE,
    FarPiece,
    Piece,
    SlopePiece,
    bounds,
    cut,
    entries,
    far_pieces,
    near_piece,
    usual_codes,
)
from tankside.field.preconditioner import LocalBlocks, Schwarz, factored, local_blocks
from tankside.field.reconstruction import fitted_slopes, near_slopes
from tankside.field.threads import in_threads

_Result = TypeVar("_Result")

LEAF = 32
"""Panels of a leaf: smaller leaves keep less in full, larger ones take fewer blocks."""


MISS = 2e-4
"""Largest difference between stored and exact sums of a row that passes for compressed [-]."""

_SAMPLED_ROWS = 32
_STAGES = ("compressing far panels", "integrating near panels", "fitting slopes")


@dataclass(frozen=True, kw_only=True)
class HierarchicalOperators:
    """Both layers of `panels` (see `operators.py` for the signs).

    clusters, geometry   the panels in the clusters' order, and packed for the kernels
    stored               the pieces of the operators
    defect               1/2 - K 1 at each panel before it was made good (n,), given order [-]
    closed               whether the panels close the solution off, and `defect` was made good
    sampled_miss         largest relative error of S 1, or error of K 1, on sampled rows [-]
    warnings             sentences on what not to rely on
    """

    panels: Panels
    clusters: Clusters
    geometry: Floats
    stored: tuple[Piece, ...]
    defect: Floats
    closed: bool
    sampled_miss: float
    warnings: tuple[str, ...]

    @property
    def closure(self) -> float:
        """max |1/2 - K 1| over the panels, before it was made good [-]."""
        return float(np.abs(self.defect).max())

    @property
    def closure_panel(self) -> int:
        """The panel where the closure is worst."""
        return int(np.abs(self.defect).argmax())

    @property
    def nbytes(self) -> int:
        """Memory of the stored operators [B]."""
        return sum(piece.nbytes for piece in self.stored)

    def applied(self, flux: Floats, potential: Floats) -> Floats:
        """S flux - K potential (n,)."""
        if not self.closed:
            return _product(self.clusters, self.stored, flux, potential)
        # The constant part is known exactly; what varies keeps its digits in float32.
        constant = float(potential.mean())
        rest = potential - constant
        product = _product(self.clusters, self.stored, flux, rest)
        return product - self.defect * rest - 0.5 * constant

    def preconditioner(self, potential_weight: Floats, flux_weight: Floats) -> Schwarz:
        """Approximate inverse of x -> (1/2 - K)(potential_weight x) + S (flux_weight x)."""
        return factored(self._local, potential_weight, flux_weight)

    @cached_property
    def _local(self) -> LocalBlocks:
        return local_blocks(self.clusters, self.geometry, self.panels.mirror_level is not None)


def build_operators(
    panels: Panels, *, tolerance: float = 1e-4, closed: bool = True, progress: Progress = silent
) -> HierarchicalOperators:
    """The operators of `panels`, each far block within `tolerance` at its worst row.

    closed=False is for boundaries that leave the solution open to infinity, such as a disc in the
    liquid's surface: there K 1 is not 1/2, and nothing is made good.

    Raises MeshDefect where the boundary is said to be closed and is not, and NotConverged where the
    compression failed its check twice.
    """
    if not len(panels):
        raise BadInput("there are no panels to build the operators of")
    if not 1e-7 <= tolerance <= 1e-2:
        raise BadInput(f"the operators' tolerance is {tolerance:g}; it must be 1e-7 to 1e-2")
    clusters = clustered(panels, LEAF)
    geometry = packed(panels, clusters.order)
    for attempt in (tolerance, max(tolerance / 10, 1e-7)):
        stored = _stored(panels, clusters, geometry, attempt, progress)
        sums = _product_pair(panels, clusters, stored)
        miss = _missed(panels, clusters, geometry, *sums)
        if miss <= MISS:
            break
    else:
        raise NotConverged(
            "the compressed boundary operators miss the exact ones", residual=miss, iterations=2
        )
    defect = frozen_floats(0.5 - sums[1])
    return HierarchicalOperators(
        panels=panels,
        clusters=clusters,
        geometry=geometry,
        stored=stored,
        defect=defect,
        closed=closed,
        sampled_miss=miss,
        warnings=closure_warnings(panels, defect) if closed else (),
    )


def _stored(
    panels: Panels, clusters: Clusters, geometry: Floats, tolerance: float, progress: Progress
) -> tuple[Piece, ...]:
    """All pieces, in an order that does not depend on the number of threads."""
    mirrored = panels.mirror_level is not None
    far, near = far_and_near(clusters)
    blocks = bounds(clusters, far)
    targets, sources = check_panels(geometry, clusters.first, clusters.last)
    rows, columns, scales = targets[far[:, 0]], sources[far[:, 1]], clusters.diagonal[far[:, 1]]

    def compressed(run: slice) -> tuple[list[FarPiece], Ints]:
        checks = rows[run], columns[run]
        return far_pieces(geometry, mirrored, blocks[run], checks, scales[run], tolerance)

    runs = cut(blocks, usual_codes(blocks), PIECE)
    far_parts = list(_told(compressed, runs, _STAGES[0], progress))
    near_blocks = np.concatenate([bounds(clusters, near), *(whole for _, whole in far_parts)])
    near_parts = _told(
        lambda run: near_piece(geometry, mirrored, near_blocks[run]),
        cut(near_blocks, entries(near_blocks), PIECE),
        _STAGES[1],
        progress,
    )
    slopes = _slopes(panels, clusters, geometry, progress)
    return (*(piece for part, _ in far_parts for piece in part), *near_parts, *slopes)


def _slopes(
    panels: Panels, clusters: Clusters, geometry: Floats, progress: Progress
) -> list[SlopePiece]:
    """The pieces of the linear reconstruction."""
    fitted = fitted_slopes(geometry, panels.group[clusters.order])
    levels = (None,) if panels.mirror_level is None else (None, panels.mirror_level)
    pairs = [bounds(clusters, leaves_within(clusters, REACH, level)) for level in levels]
    blocks = np.concatenate(pairs)
    image = np.repeat([False, True][: len(pairs)], [len(part) for part in pairs])
    order = np.argsort(blocks[:, 0], kind="stable")
    blocks, image = blocks[order], image[order]
    parts = _told(
        lambda run: near_slopes(geometry, fitted, blocks[run], image[run]),
        cut(blocks, entries(blocks), 4 * PIECE, whole_targets=True),
        _STAGES[2],
        progress,
    )
    return [SlopePiece(rows=rows) for part in parts for rows in part]


def _told(
    work: Callable[[slice], _Result], runs: list[slice], stage: str, progress: Progress
) -> Iterator[_Result]:
    """The results of the runs in order, telling how far the stage has come."""
    progress(stage, 0.0)
    for count, result in enumerate(in_threads(work, runs)):
        progress(stage, (count + 1) / len(runs))
        yield result


def _product(
    clusters: Clusters, stored: tuple[Piece, ...], flux: Floats, potential: Floats
) -> Floats:
    """S flux - K potential of the pieces alone."""
    order = clusters.order
    q, phi = flux[order].astype(np.float32), potential[order].astype(np.float32)

    def share(piece: Piece) -> npt.NDArray[np.float32]:
        result = np.zeros(piece.targets.stop - piece.targets.start, dtype=np.float32)
        piece.add(q, phi, result)
        return result

    total = np.zeros(len(order))
    for piece, result in zip(stored, in_threads(share, stored), strict=True):
        total[piece.targets] += result
    product = np.zeros(len(order))
    product[order] = total
    return product


def _product_pair(
    panels: Panels, clusters: Clusters, stored: tuple[Piece, ...]
) -> tuple[Floats, Floats]:
    """S 1 [m] and K 1 [-] of the pieces (n,)."""
    ones, zeros = np.ones(len(panels)), np.zeros(len(panels))
    return _product(clusters, stored, ones, zeros), -_product(clusters, stored, zeros, ones)


def _missed(
    panels: Panels, clusters: Clusters, geometry: Floats, single: Floats, double: Floats
) -> float:
    """Largest error of S 1, relative, and of K 1, at sampled rows and where K 1 is farthest off."""
    count = len(panels)
    suspects = np.argsort(np.abs(double[clusters.order] - 0.5))[-_SAMPLED_ROWS:]
    rows = np.union1d(np.linspace(0, count - 1, _SAMPLED_ROWS).astype(np.int64), suspects)
    work = np.zeros((4, count))
    worst = 0.0
    for row in rows:
        near_row(geometry, row, panels.mirror_level is not None, 0, count, *work)
        panel = clusters.order[row]
        worst = max(
            worst, abs(single[panel] / work[0].sum() - 1), abs(double[panel] - work[1].sum())
        )
    return worst
