"""The stored operators in pieces: near blocks, coded far blocks, and moments of near panels.

A piece covers a run of targets and gives its share of S flux - K potential there. The shares are
worked out by a few threads and added in the pieces' order, so that sums come out the same whatever
the number of threads.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Floats, Ints
from tankside.field import products
from tankside.field.moments import NearMoments
from tankside.field.reconstruction import Reconstruction
from tankside.field.threads import in_threads

_Short = npt.NDArray[np.float32]

_RUN = 8192


@dataclass(frozen=True, kw_only=True)
class Fields:
    """What the operators are applied to, in the clusters' order: flux (n,), potential (n,), and the
    potential at the panels' corners over that at their centroids (n, 3)."""

    flux: _Short
    potential: _Short
    rise: _Short


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
class MomentPiece:
    """Moments of near panels, for the reconstruction between centroids and corners."""

    moments: NearMoments

    @property
    def targets(self) -> slice:
        return slice(self.moments.start, self.moments.stop)

    @property
    def nbytes(self) -> int:
        return self.moments.moment.nbytes + self.moments.panel.nbytes + self.moments.row.nbytes

    def add(self, fields: Fields, result: _Short) -> None:
        m = self.moments
        products.subtract_moments(m.row, m.panel, m.moment, fields.rise, result)


@dataclass(frozen=True, kw_only=True)
class Stored:
    """All pieces, with the panels' order (n,) in them and what gives the corners' potentials."""

    order: Ints
    reconstruction: Reconstruction
    pieces: tuple[Piece, ...]

    @property
    def nbytes(self) -> int:
        """Memory of it all [B]."""
        return sum(piece.nbytes for piece in self.pieces) + self.reconstruction.nbytes

    def applied(self, flux: Floats, potential: Floats) -> Floats:
        """S flux - K potential (n,), in the panels' given order like its arguments."""
        phi = potential[self.order].astype(np.float32)
        fields = Fields(
            flux=flux[self.order].astype(np.float32), potential=phi, rise=self.rise(phi)
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

    def rise(self, potential: _Short) -> _Short:
        """From each panel's potential to that at its corners (n, 3), in the stored order."""
        s, c = self.reconstruction.slopes, self.reconstruction.corners
        count, corners = len(potential), len(c.start) - 1
        gradient = np.zeros((count, 2), dtype=np.float32)
        at_corner = np.zeros(corners, dtype=np.float32)
        rise = np.zeros((count, 3), dtype=np.float32)
        _in_runs(
            count,
            lambda a, b: products.set_gradients(
                s.start, s.count, s.panel, s.weight, potential, a, b, gradient
            ),
        )
        _in_runs(
            corners,
            lambda a, b: products.set_corners(
                c.start, c.panel, c.weight, potential, gradient, a, b, at_corner
            ),
        )
        _in_runs(
            count,
            lambda a, b: products.set_rises(
                c.number, c.part, at_corner, potential, gradient, a, b, rise
            ),
        )
        return rise


def _in_runs(count: int, work: Callable[[int, int], None]) -> None:
    """work(first, last) over runs that together are `count` long."""
    starts = range(0, count, _RUN)
    for _ in in_threads(lambda first: work(first, min(first + _RUN, count)), starts):
        pass


def _span(blocks: Ints) -> slice:
    return slice(int(blocks[:, 0].min()), int(blocks[:, 1].max()))
