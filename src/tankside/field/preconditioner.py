"""Approximate inverse of the boundary operator by overlapping blocks (restricted additive Schwarz).

Each block is a cluster of panels, its core, with the panels that lie closest around it. The local
part of (1/2 - K) diag(a) + S diag(b) is inverted densely, and of its answer only the core's share
is used. The parts of S and K are kept, so that new weights cost only the factorisations; and of
those only the blocks are done anew whose weights changed by more than a factor common to both
layers, which costs nothing. After Cai and Sarkis, SIAM J. Sci. Comput. 21 (1999) 792.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Floats, Ints
from tankside.field.clusters import Clusters, of_runs
from tankside.field.preconditioner_kernels import fill_local, surround
from tankside.field.threads import in_threads

_Short = npt.NDArray[np.float32]

CORE = 32
"""Panels of a block's core, at most; no fewer than of a leaf (`hierarchical.LEAF`)."""

OVERLAP = 32
"""Panels around a full core."""

_BATCH = 8


@dataclass(frozen=True, kw_only=True)
class LocalBlocks:
    """The local parts of both operators.

    order   (n,) the panel at each place; index (blocks, m) places, each block's core first
    core    (blocks,) how many of them are the core: together the cores hold every panel once
    single  (blocks, m, m) of S [m]; half_less_double (blocks, m, m) of 1/2 - K [-]
    """

    order: Ints
    index: Ints
    core: Ints
    single: _Short
    half_less_double: _Short

    @cached_property
    def own(self) -> Floats:
        """S of each place of each block on itself (blocks, m) [m]."""
        return np.diagonal(self.single, axis1=1, axis2=2).astype(np.float64)


@dataclass(frozen=True, kw_only=True)
class Schwarz:
    """Inverses of the local blocks for one choice of weights.

    inverse (blocks, core, m), for the weights (blocks, m) that it was factored with; share (n,),
    by place, what the answer is divided by since.
    """

    local: LocalBlocks
    inverse: _Short
    potential_weight: Floats
    flux_weight: Floats
    share: Floats

    def __call__(self, residual: Floats) -> Floats:
        """Approximate solution of J x = residual (n,)."""
        local = self.local
        gathered = residual[local.order][local.index].astype(np.float32)
        answers = np.matmul(self.inverse, gathered[:, :, None])[:, :, 0]
        inside = np.arange(answers.shape[1]) < local.core[:, None]
        by_place = np.zeros(len(residual))
        by_place[local.index[:, : answers.shape[1]][inside]] = answers[inside]
        solution = np.zeros(len(residual))
        solution[local.order] = by_place / self.share
        return solution

    def updated(
        self, potential_weight: Floats, flux_weight: Floats, noticeable: float = 0.3
    ) -> "Schwarz":
        """For new weights, with only those blocks factored anew in which the balance between the
        two weights of some panel changed by more than `noticeable` of their sum."""
        local = self.local
        a, b = (weight[local.order][local.index] for weight in (potential_weight, flux_weight))
        old = np.stack([0.5 * self.potential_weight, local.own * self.flux_weight])
        new = np.stack([0.5 * a, local.own * b])
        factor = (old * new).sum(axis=0) / (old * old).sum(axis=0)
        change = np.abs(new - factor * old).sum(axis=0) / np.abs(new).sum(axis=0)
        changed = np.flatnonzero((change > noticeable).any(axis=1) | (factor <= 0).any(axis=1))
        inverse = self.inverse
        a_used, b_used = self.potential_weight, self.flux_weight
        if len(changed):
            inverse, a_used, b_used = inverse.copy(), a_used.copy(), b_used.copy()
            a_used[changed], b_used[changed], factor[changed] = a[changed], b[changed], 1.0
            _factor(local, a_used, b_used, changed, inverse)
        return Schwarz(
            local=local,
            inverse=inverse,
            potential_weight=a_used,
            flux_weight=b_used,
            share=_by_place(local, factor, len(potential_weight)),
        )


def factored(local: LocalBlocks, potential_weight: Floats, flux_weight: Floats) -> Schwarz:
    """All blocks factored for these weights (n,), in the panels' given order."""
    a, b = (weight[local.order][local.index] for weight in (potential_weight, flux_weight))
    blocks, m = local.index.shape
    inverse = np.zeros((blocks, int(local.core.max()), m), dtype=np.float32)
    _factor(local, a, b, np.arange(blocks), inverse)
    share = np.ones(len(potential_weight))
    return Schwarz(local=local, inverse=inverse, potential_weight=a, flux_weight=b, share=share)


def local_blocks(clusters: Clusters, geometry: Floats, mirrored: bool) -> LocalBlocks:
    """The blocks of a forest of panels: its largest clusters of at most CORE panels."""
    nodes = _cores(clusters)
    index = _with_overlap(clusters, geometry, nodes)
    blocks, m = index.shape
    single, double = (np.zeros((blocks, m, m), dtype=np.float32) for _ in range(2))
    runs = [slice(at, at + _BATCH) for at in range(0, blocks, _BATCH)]
    for _ in in_threads(
        lambda run: fill_local(geometry, mirrored, index[run], single[run], double[run]), runs
    ):
        pass
    return LocalBlocks(
        order=clusters.order,
        index=index,
        core=clusters.count[nodes],
        single=single,
        half_less_double=double,
    )


def _cores(clusters: Clusters) -> Ints:
    """The largest nodes of at most CORE panels, in the panels' order."""
    parent = np.full(len(clusters.first), -1)
    inner = np.flatnonzero(clusters.left >= 0)
    parent[clusters.left[inner]] = parent[clusters.right[inner]] = inner
    count = clusters.count
    top = (parent < 0) | (count[parent] > CORE)
    nodes = np.flatnonzero(top & (count <= CORE))
    return nodes[np.argsort(clusters.first[nodes])]


def _with_overlap(clusters: Clusters, geometry: Floats, nodes: Ints) -> Ints:
    """(blocks, m) places: each node's own, then those closest to the box of their centroids."""
    centres = np.ascontiguousarray(geometry[:3].T)
    first, last = clusters.first[nodes], clusters.last[nodes]
    low, high = (of_runs(f, centres, first, last) for f in (np.minimum, np.maximum))
    index = np.zeros((len(nodes), min(len(centres), CORE + OVERLAP)), dtype=np.int64)
    runs = [slice(at, at + _BATCH) for at in range(0, len(nodes), _BATCH)]
    for _ in in_threads(
        lambda run: surround(centres, first, last, low, high, run.start, index[run]), runs
    ):
        pass
    return index


def _factor(local: LocalBlocks, a: Floats, b: Floats, blocks: Ints, inverse: _Short) -> None:
    """Set inverse[blocks] to the cores' rows of the inverses for the weights a and b."""
    core, m = inverse.shape[1:]
    first = np.eye(m, core, dtype=np.float32)

    def work(batch: Ints) -> None:
        of_potential, of_flux = (w[batch, None].astype(np.float32) for w in (a, b))
        matrices = local.half_less_double[batch] * of_potential + local.single[batch] * of_flux
        # Rows of an inverse solve the transposed system.
        inverse[batch] = np.linalg.solve(matrices.mT, first).mT

    batches = [blocks[at : at + _BATCH] for at in range(0, len(blocks), _BATCH)]
    for _ in in_threads(work, batches):
        pass


def _by_place(local: LocalBlocks, values: Floats, count: int) -> Floats:
    """The cores' entries of values (blocks, m) by place (n,)."""
    inside = np.arange(local.index.shape[1]) < local.core[:, None]
    result = np.zeros(count)
    result[local.index[inside]] = values[inside]
    return result
