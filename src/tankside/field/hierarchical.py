"""The boundary operators of many panels, compressed: memory and time grow hardly faster than N.

Near blocks in full, far blocks as checked low-rank terms, the near double layer with linear
potential (`reconstruction.py`), and on a closed boundary a diagonal that makes K 1 = 1/2 exactly,
so that no constant potential drives a current. What that diagonal had to make good is `closure`,
the check on everything before it. Refused: a boundary with a hole, or with a body inside out.

Kernels are imported where they are used, so that importing this module compiles nothing.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.errors import BadInput, NotConverged
from tankside.base.progress import Progress, silent
from tankside.field.closure import closure_warnings
from tankside.field.clusters import Clusters, clustered
from tankside.field.panels import Panels
from tankside.field.threads import in_threads, quiet_linear_algebra

if TYPE_CHECKING:
    from tankside.field.pieces import Stored
    from tankside.field.preconditioner import LocalBlocks, Schwarz

LEAF = 32
"""Panels of a leaf: smaller leaves keep less in full, larger ones take fewer blocks."""

MISS = 2e-4
"""Largest difference between stored and exact sums of a row that passes for compressed [-]."""

_SAMPLED_ROWS = 32


@dataclass(frozen=True, kw_only=True)
class HierarchicalOperators:
    """Both layers of `panels` (see `operators.py` for the signs).

    clusters, geometry   the panels in the clusters' order, and packed for the kernels
    stored               the operators, in pieces
    defect               1/2 - K 1 at each panel before it was made good (n,), given order [-]
    closed               whether the panels close the solution off, and `defect` was made good
    sampled_miss         largest relative error of S 1, or error of K 1, on sampled rows [-]
    warnings             sentences on what not to rely on
    """

    panels: Panels
    clusters: Clusters
    geometry: Floats
    stored: "Stored"
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
        return self.stored.nbytes

    def applied(self, flux: Floats, potential: Floats) -> Floats:
        """S flux - K potential (n,)."""
        if not self.closed:
            return self.stored.applied(flux, potential)
        # The constant part is known exactly; what varies keeps its digits in float32.
        constant = float(potential.mean())
        rest = potential - constant
        return self.stored.applied(flux, rest) - self.defect * rest - 0.5 * constant

    def preconditioner(self, potential_weight: Floats, flux_weight: Floats) -> "Schwarz":
        """Approximate inverse of x -> (1/2 - K)(potential_weight x) + S (flux_weight x)."""
        from tankside.field.preconditioner import factored

        return factored(self._local, potential_weight, flux_weight)

    @cached_property
    def _local(self) -> "LocalBlocks":
        from tankside.field.preconditioner import local_blocks

        return local_blocks(self.clusters, self.geometry, self.panels.mirror_level is not None)


@quiet_linear_algebra()
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
        raise BadInput(
            "the operators' tolerance is {tolerance:g}; it must be 1e-7 to 1e-2",
            tolerance=tolerance,
        )
    from tankside.field.assembly import assembled
    from tankside.field.integrals import packed

    clusters = clustered(panels, LEAF)
    geometry = packed(panels, clusters.order)
    ones, zeros = np.ones(len(panels)), np.zeros(len(panels))
    for attempt in (tolerance, max(tolerance / 10, 1e-7)):
        stored = assembled(panels, clusters, geometry, attempt, progress)
        single, double = stored.applied(ones, zeros), -stored.applied(zeros, ones)
        miss = _missed(panels, clusters, geometry, single, double)
        if miss <= MISS:
            break
    else:
        raise NotConverged(
            "the compressed boundary operators miss the exact ones", residual=miss, iterations=2
        )
    defect = frozen_floats(0.5 - double)
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


def _missed(
    panels: Panels, clusters: Clusters, geometry: Floats, single: Floats, double: Floats
) -> float:
    """Largest error of S 1, relative, and of K 1, at sampled rows and where K 1 is farthest off."""
    from tankside.field.integrals import near_row

    count = len(panels)
    suspects = np.argsort(np.abs(double[clusters.order] - 0.5))[-_SAMPLED_ROWS:]
    rows = np.union1d(np.linspace(0, count - 1, _SAMPLED_ROWS).astype(np.int64), suspects)

    def miss(row: int) -> float:
        sums = np.zeros((2, count))
        near_row(geometry, row, panels.mirror_level is not None, 0, count, sums[0], sums[1])
        panel = clusters.order[row]
        of_single = abs(float(single[panel]) / float(sums[0].sum()) - 1.0)
        return max(of_single, abs(float(double[panel]) - float(sums[1].sum())))

    return max(in_threads(miss, rows.tolist()))
