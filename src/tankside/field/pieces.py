"""The stored operators in pieces: near blocks, coded far blocks, and what corrections are left.

A piece covers a run of targets and gives its share of S flux - K potential there. The shares of
several pieces are added up by one thread, and those sums in the pieces' order, so that they come
out the same whatever the number of threads.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Floats, Ints
from tankside.field import products
from tankside.field.corrections import Corrections
from tankside.field.threads import in_threads

_Short = npt.NDArray[np.float32]

RUNS = 8
"""Parts that a product is handed out in: a few threads end at about the same time."""


@dataclass(frozen=True, kw_only=True)
class Fields:
    """What the operators are applied to, in the clusters' order: flux (n,), potential (n,)."""

    flux: _Short
    potential: _Short


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

    def add(self, fields: Fields, result: _Short) -> None:
        """Add its share of S flux - K potential to `result`, the run of its targets."""
        ...


@dataclass(frozen=True, kw_only=True)
class NearPiece:
    """Blocks (k, 4) of first and last target, first and last source, with the codes of all entries
    and the values of one step of their rows."""

    blocks: Ints
    codes: npt.NDArray[np.int16]
    steps: _Short

    @cached_property
    def targets(self) -> slice:
        return _span(self.blocks)

    @property
    def nbytes(self) -> int:
        return self.codes.nbytes + self.steps.nbytes + self.blocks.nbytes

    def add(self, fields: Fields, result: _Short) -> None:
        products.add_near(
            self.blocks,
            self.codes,
            self.steps,
            fields.flux,
            fields.potential,
            self.targets.start,
            result,
        )


@dataclass(frozen=True, kw_only=True)
class FarPiece:
    """Blocks (k, 4) with their ranks (k,), and the codes and factors of their terms."""

    blocks: Ints
    ranks: Ints
    codes: npt.NDArray[np.int16]
    factors: _Short

    @cached_property
    def targets(self) -> slice:
        return _span(self.blocks)

    @property
    def nbytes(self) -> int:
        return self.codes.nbytes + self.factors.nbytes + self.blocks.nbytes + self.ranks.nbytes

    def add(self, fields: Fields, result: _Short) -> None:
        products.add_far(
            self.blocks,
            self.ranks,
            self.codes,
            self.factors,
            fields.flux,
            fields.potential,
            self.targets.start,
            result,
        )


@dataclass(frozen=True, kw_only=True)
class CorrectionPiece:
    """Corrections outside the near blocks."""

    corrections: Corrections

    @property
    def targets(self) -> slice:
        return slice(self.corrections.start, self.corrections.stop)

    @property
    def nbytes(self) -> int:
        return self.corrections.nbytes

    def add(self, fields: Fields, result: _Short) -> None:
        c = self.corrections
        products.subtract_rows(c.row, c.panel, c.weight, fields.potential, result)


@dataclass(frozen=True, kw_only=True)
class Run:
    """Pieces that one thread adds up, one after the other, at the targets first..last."""

    pieces: tuple[Piece, ...]

    @cached_property
    def first(self) -> int:
        return min(int(piece.targets.start) for piece in self.pieces)

    @cached_property
    def last(self) -> int:
        return max(int(piece.targets.stop) for piece in self.pieces)


@dataclass(frozen=True, kw_only=True)
class Stored:
    """All pieces, with the panels' order (n,) in them."""

    order: Ints
    pieces: tuple[Piece, ...]

    @property
    def nbytes(self) -> int:
        """Memory of it all [B]."""
        return sum(piece.nbytes for piece in self.pieces)

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        """The pieces in RUNS runs of about as many bytes each."""
        reached = np.cumsum([piece.nbytes for piece in self.pieces])
        number = (reached - 1) * RUNS // reached[-1]
        return tuple(
            Run(pieces=tuple(self.pieces[k] for k in np.flatnonzero(number == run)))
            for run in np.unique(number)
        )

    def applied(self, flux: Floats, potential: Floats) -> Floats:
        """S flux - K potential (n,), in the panels' given order like its arguments."""
        fields = Fields(
            flux=flux[self.order].astype(np.float32),
            potential=potential[self.order].astype(np.float32),
        )

        def share(run: Run) -> _Short:
            result = np.zeros(run.last - run.first, dtype=np.float32)
            for piece in run.pieces:
                inside = piece.targets
                piece.add(fields, result[inside.start - run.first : inside.stop - run.first])
            return result

        total = np.zeros(len(self.order))
        for run, result in zip(self.runs, in_threads(share, self.runs), strict=True):
            total[run.first : run.last] += result
        product = np.zeros(len(total))
        product[self.order] = total
        return product


def _span(blocks: Ints) -> slice:
    return slice(int(blocks[:, 0].min()), int(blocks[:, 1].max()))
