"""The stored operators in pieces: near blocks, coded far blocks, and what corrections are left.

A piece covers a run of targets and gives its share of S flux - K potential there. The shares are
worked out by a few threads and added in the pieces' order, so that sums come out the same whatever
the number of threads.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Floats, Ints
from tankside.field import products
from tankside.field.corrections import Corrections
from tankside.field.threads import in_threads

_Short = npt.NDArray[np.float32]


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

    @property
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

    @property
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
class Stored:
    """All pieces, with the panels' order (n,) in them."""

    order: Ints
    pieces: tuple[Piece, ...]

    @property
    def nbytes(self) -> int:
        """Memory of it all [B]."""
        return sum(piece.nbytes for piece in self.pieces)

    def applied(self, flux: Floats, potential: Floats) -> Floats:
        """S flux - K potential (n,), in the panels' given order like its arguments."""
        fields = Fields(
            flux=flux[self.order].astype(np.float32),
            potential=potential[self.order].astype(np.float32),
        )

        def share(piece: Piece) -> _Short:
            result = np.zeros(piece.targets.stop - piece.targets.start, dtype=np.float32)
            piece.add(fields, result)
            return result

        total = np.zeros(len(self.order))
        for piece, result in zip(self.pieces, in_threads(share, self.pieces), strict=True):
            total[piece.targets] += result
        product = np.zeros(len(total))
        product[self.order] = total
        return product


def _span(blocks: Ints) -> slice:
    return slice(int(blocks[:, 0].min()), int(blocks[:, 1].max()))
