"""Ohm's law in the coat on its triangles: linear elements on nodes, factored once for an ordering.

    sum over panels of A (grad N_i . sigma . grad N_j) V_j = current put in at node i

with a third of each panel's collected current at each of its corners: what the panels collect and
what leaves at the contacts are equal to rounding. The elements lie in the panels' own planes, so an
edge however sharp is no edge to them. Second order on any triangles, measured in
docs/decisions/0010; two-point fluxes between panels are not.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csc_array
from scipy.sparse.linalg import SuperLU, splu

from tankside.base.arrays import Bools, Floats, Ints
from tankside.field.panels import Panels
from tankside.field.seed.coat import Coat
from tankside.field.seed.network import Network

_SYMMETRIC = {"SymmetricMode": True}


@dataclass(frozen=True)
class Sheet:
    """Geometry and pattern that no change of thickness touches.

    held    True at nodes that are at the bar's potential (count,)
    """

    network: Network
    areas: Floats
    gradients: Floats
    by_coat: Floats
    held: Bools

    @classmethod
    def of(cls, panels: Panels, coat: Coat, network: Network, held: Bools) -> "Sheet":
        """The sheet of the network's panels."""
        numbers = network.panels
        gradients = _gradients(panels, numbers)
        areas = panels.areas[numbers]
        return cls(
            network=network,
            areas=areas,
            gradients=gradients,
            by_coat=_coat_stiffness(gradients, areas, coat, panels, numbers),
            held=held,
        )

    @cached_property
    def by_unit(self) -> Floats:
        """Stiffness of each panel with a sheet conductance of 1 S (m, 3, 3)."""
        return np.asarray(np.einsum("tid,tjd,t->tij", self.gradients, self.gradients, self.areas))

    @cached_property
    def free(self) -> Ints:
        """Nodes whose potential is sought, in order of elimination."""
        nodes = np.flatnonzero(~self.held)
        first = self._pattern_of(nodes)
        matrix = first.matrix(self.by_coat, np.ones(len(nodes)))
        ordering = splu(
            matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options=_SYMMETRIC
        ).perm_c
        return nodes[np.argsort(ordering)]

    @cached_property
    def pattern(self) -> "Pattern":
        """The matrix' pattern in that order."""
        return self._pattern_of(self.free)

    def factored(self, conductance: Floats, reaction: Floats, grounds: Floats) -> "Factored":
        """The equations with the copper's sheet conductance by panel (m,) [S], what panels give
        away per volt and area (m,) [S m⁻²], and conductances to the bar by node (count,) [S]."""
        stiffness = self.by_coat + conductance[:, None, None] * self.by_unit
        stiffness = stiffness + (reaction * self.areas / 9.0)[:, None, None]
        matrix = self.pattern.matrix(stiffness, grounds[self.free])
        lu = splu(matrix, permc_spec="NATURAL", diag_pivot_thresh=0.0, options=_SYMMETRIC)
        return Factored(sheet=self, lu=lu)

    def node_currents(self, current_density: Floats) -> Floats:
        """What panels (m,) [A m⁻²] put in at each node (count,) [A]."""
        third = np.repeat(self.areas * current_density / 3.0, 3)
        return np.bincount(self.network.nodes.ravel(), third, self.network.count).astype(np.float64)

    def _pattern_of(self, free: Ints) -> "Pattern":
        place = np.full(self.network.count, -1)
        place[free] = np.arange(len(free))
        rows = np.repeat(place[self.network.nodes], 3, axis=1).ravel()
        columns = np.tile(place[self.network.nodes], (1, 3)).ravel()
        inside = (rows >= 0) & (columns >= 0)
        diagonal = np.arange(len(free))
        keys = np.concatenate([columns[inside], diagonal]) * len(free)
        keys += np.concatenate([rows[inside], diagonal])
        known, slot = np.unique(keys, return_inverse=True)
        return Pattern(
            inside=inside,
            slot=slot.reshape(-1),
            rows=known % len(free),
            starts=np.searchsorted(known // len(free), np.arange(len(free) + 1)),
        )


@dataclass(frozen=True)
class Pattern:
    """Where the entries of panels and of the diagonal go in a column-wise matrix."""

    inside: Bools
    slot: Ints
    rows: Ints
    starts: Ints

    def matrix(self, stiffness: Floats, diagonal: Floats) -> csc_array:
        """From panels' entries (m, 3, 3) and more on the diagonal (nodes,)."""
        entries = np.concatenate([stiffness.ravel()[self.inside], diagonal])
        data = np.bincount(self.slot, entries, len(self.rows))
        size = len(self.starts) - 1
        return csc_array((data, self.rows, self.starts), shape=(size, size))


@dataclass(frozen=True)
class Factored:
    """A factored sheet."""

    sheet: Sheet
    lu: SuperLU

    def potentials(self, node_currents: Floats) -> Floats:
        """Of all nodes above the bar's (count,) [V]."""
        values = np.zeros(self.sheet.network.count)
        values[self.sheet.free] = self.lu.solve(node_currents[self.sheet.free])
        return values


def _gradients(panels: Panels, numbers: Ints) -> Floats:
    """Of the three corners' linear functions on each panel (m, 3, 3) [m⁻¹]."""
    corners = panels.corners[numbers]
    opposite = np.roll(corners, 1, axis=1) - np.roll(corners, -1, axis=1)
    twice = 2 * panels.areas[numbers][:, None, None]
    return np.asarray(np.cross(panels.normals[numbers][:, None], opposite) / twice)


def _coat_stiffness(
    gradients: Floats, areas: Floats, coat: Coat, panels: Panels, numbers: Ints
) -> Floats:
    """Of the coat alone (m, 3, 3) [S]."""
    along = areas / coat.sheet_resistance[numbers]
    if coat.strokes is None:
        return np.asarray(np.einsum("tid,tjd,t->tij", gradients, gradients, along))
    normals = panels.normals[numbers]
    strokes = coat.strokes[numbers]
    strokes = strokes - (strokes * normals).sum(axis=1)[:, None] * normals
    size = np.linalg.norm(strokes, axis=1)
    flat = size > 1e-9
    strokes = strokes / np.where(flat, size, 1.0)[:, None]
    with_strokes = np.einsum("tid,td->ti", gradients, strokes)
    both = np.einsum("tid,tjd->tij", gradients, gradients)
    lengthwise = with_strokes[:, :, None] * with_strokes[:, None, :]
    across = np.broadcast_to(1.0 / np.asarray(coat.across_over_along), len(coat.sheet_resistance))
    tensor = across[numbers][:, None, None] * (both - lengthwise) + lengthwise
    return np.asarray(along[:, None, None] * np.where(flat[:, None, None], tensor, both))
