"""The stored operators in pieces: near blocks, coded far blocks, and the slopes' sparse rows.

A piece covers a run of targets and gives its share of S flux - K potential there. Pieces are of
some megabytes, made one by one by a few threads in a small work space and copied to their exact
size, so that building needs hardly more memory than the result.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
import numpy.typing as npt

from tankside.field import compression, products, reconstruction
from tankside.field.clusters import Clusters

_Real = npt.NDArray[np.float64]
_Short = npt.NDArray[np.float32]
_Index = npt.NDArray[np.int64]

PIECE = 1 << 21
"""Entries of a piece, roughly."""

_CODES = 1 << 22
"""Codes that one far piece has room for: more than three times the largest block."""

_USUAL_RANK = 12


class Piece(Protocol):
    """A share of the operators."""

    @property
    def targets(self) -> slice:
        """The run of panels, in the clusters' order, whose results it adds to."""
        ...

    @property
    def nbytes(self) -> int:
        """Memory it holds [B]."""
        ...

    def add(self, flux: _Short, potential: _Short, result: _Short) -> None:
        """Add its share of S flux - K potential to `result`, the run of its targets."""
        ...


@dataclass(frozen=True, kw_only=True)
class NearPiece:
    """Blocks (k, 4) of first and last target, first and last source, in full."""

    blocks: _Index
    values: _Short

    @property
    def targets(self) -> slice:
        return slice(int(self.blocks[:, 0].min()), int(self.blocks[:, 1].max()))

    @property
    def nbytes(self) -> int:
        return self.values.nbytes + self.blocks.nbytes

    def add(self, flux: _Short, potential: _Short, result: _Short) -> None:
        products.add_near(self.blocks, self.values, flux, potential, self.targets.start, result)


@dataclass(frozen=True, kw_only=True)
class FarPiece:
    """Blocks (k, 4) with their ranks (k,), and the codes and factors of their terms."""

    blocks: _Index
    ranks: _Index
    codes: npt.NDArray[np.int16]
    factors: _Short

    @property
    def targets(self) -> slice:
        return slice(int(self.blocks[:, 0].min()), int(self.blocks[:, 1].max()))

    @property
    def nbytes(self) -> int:
        return self.codes.nbytes + self.factors.nbytes + self.blocks.nbytes + self.ranks.nbytes

    def add(self, flux: _Short, potential: _Short, result: _Short) -> None:
        products.add_far(
            self.blocks,
            self.ranks,
            self.codes,
            self.factors,
            flux,
            potential,
            self.targets.start,
            result,
        )


@dataclass(frozen=True, kw_only=True)
class SlopePiece:
    """Sparse rows of the linear reconstruction."""

    rows: reconstruction.NearSlopes

    @property
    def targets(self) -> slice:
        return slice(self.rows.start, self.rows.stop)

    @property
    def nbytes(self) -> int:
        return self.rows.value.nbytes + self.rows.panel.nbytes + self.rows.row.nbytes

    def add(self, flux: _Short, potential: _Short, result: _Short) -> None:
        products.add_sparse(self.rows.row, self.rows.panel, self.rows.value, potential, result)


def bounds(clusters: Clusters, pairs: _Index) -> _Index:
    """Pairs of nodes as (k, 4): first and last target, first and last source."""
    target, source = pairs.T
    columns = (
        clusters.first[target],
        clusters.last[target],
        clusters.first[source],
        clusters.last[source],
    )
    return np.ascontiguousarray(np.stack(columns, axis=-1))


def cut(blocks: _Index, cost: _Index, most: int, whole_targets: bool = False) -> list[slice]:
    """Runs of blocks of about `most` cost each; with whole_targets, all of a target in one run."""
    if not len(blocks):
        return []
    part = np.cumsum(cost) // most
    new = np.diff(part, prepend=part[0] - 1) > 0
    if whole_targets:
        first = np.diff(blocks[:, 0], prepend=blocks[0, 0] - 1) != 0
        # A run begins at the first target at or after each boundary.
        leader = np.maximum.accumulate(np.where(first, np.arange(len(blocks)), 0))
        part = part[leader]
        new = np.diff(part, prepend=part[0] - 1) > 0
    starts = np.flatnonzero(new)
    return [slice(int(a), int(b)) for a, b in zip(starts, [*starts[1:], len(blocks)], strict=True)]


def near_piece(geometry: _Real, mirrored: bool, blocks: _Index) -> NearPiece:
    """Near blocks in full."""
    sizes = (blocks[:, 1] - blocks[:, 0]) * (blocks[:, 3] - blocks[:, 2])
    values = np.zeros(2 * int(sizes.sum()), dtype=np.float32)
    products.fill_near(geometry, mirrored, blocks, values)
    return NearPiece(blocks=blocks, values=values)


def far_pieces(
    geometry: _Real,
    mirrored: bool,
    blocks: _Index,
    checks: tuple[_Index, _Index],
    scales: _Real,
    tolerance: float,
) -> tuple[list[FarPiece], _Index]:
    """Far blocks compressed, and those of them (k, 4) that are better kept whole.

    checks holds the checked targets and sources of each block, scales the length by which its
    double layer counts [m].
    """
    pieces: list[FarPiece] = []
    ranks = np.zeros(len(blocks), dtype=np.int64)
    begin = 0
    while begin < len(blocks):
        codes = np.zeros(_CODES, dtype=np.int16)
        factors = np.zeros(_CODES // 16, dtype=np.float32)
        end = compression.compressed(
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


def usual_codes(blocks: _Index) -> _Index:
    """About how many codes each far block will take."""
    m, n = blocks[:, 1] - blocks[:, 0], blocks[:, 3] - blocks[:, 2]
    return _USUAL_RANK * (m + 2 * n)


def entries(blocks: _Index) -> _Index:
    """Entries of each block of both layers in full."""
    return 2 * (blocks[:, 1] - blocks[:, 0]) * (blocks[:, 3] - blocks[:, 2])
