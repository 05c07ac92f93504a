"""The coated panels as a network of nodes: which hang together, and which wires feed them.

Corners of panels that share an edge are one node; panels that only touch at a corner are not joined
there. All corners under one contact are one node, its terminal. Pieces of the coat that no contact
feeds, and bare places, are named: no current is taken from them.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from tankside.base.arrays import Bools, Floats, Ints, frozen_bools, frozen_floats, frozen_ints
from tankside.base.errors import BadInput
from tankside.base.messages import Quantity, said
from tankside.field.panels import Panels
from tankside.field.seed.coat import Coat
from tankside.field.seed.contacts import ShellContact

_WELD = 1e-6
"""Corners this close are one, over the smallest panel's size [-]."""


@dataclass(frozen=True, kw_only=True)
class Network:
    """The fed panels of a coat.

    panels      (m,) their numbers among all panels
    nodes       (m, 3) the node at each corner
    count       of nodes
    terminals   (contacts,) each contact's node, -1 where its place does not conduct
    coarseness  (contacts,) see `ShellContact.coarseness` [-]
    under       panels of `panels` under each contact, as places in it
    islands     names of the pieces that no contact feeds, in sentences
    floating    True on the panels of such pieces (n,);  bare: on panels without coat (n,)
    """

    panels: Ints
    nodes: Ints
    count: int
    terminals: Ints
    coarseness: Floats
    under: tuple[Ints, ...]
    islands: tuple[str, ...]
    floating: Bools
    bare: Bools

    def __post_init__(self) -> None:
        for name in ("panels", "nodes", "terminals"):
            object.__setattr__(self, name, frozen_ints(getattr(self, name)))
        object.__setattr__(self, "coarseness", frozen_floats(self.coarseness))
        for name in ("floating", "bare"):
            object.__setattr__(self, name, frozen_bools(getattr(self, name)))

    @cached_property
    def insulated(self) -> Bools:
        """True on coated panels that take no current: bare, or fed by no contact (n,)."""
        return self.floating | self.bare


def network_of(panels: Panels, coat: Coat, contacts: tuple[ShellContact, ...]) -> Network:
    """The network of a coat and its contacts; BadInput where nothing is fed."""
    if not contacts:
        raise BadInput("a coated part needs at least one contact; give where a wire holds it")
    if len(coat.sheet_resistance) != len(panels):
        raise BadInput(
            "a coat of {sheet_resistance} panels does not fit {panels} panels",
            sheet_resistance=len(coat.sheet_resistance),
            panels=len(panels),
        )
    numbers = np.flatnonzero(coat.conducts)
    if not len(numbers):
        raise BadInput("no panel of the part has a conducting coat; nothing can be plated")
    covered = [contact.covered(panels, coat.coated) for contact in contacts]
    place = np.full(len(panels), -1)
    place[numbers] = np.arange(len(numbers))
    inside = [place[under][place[under] >= 0] for under in covered]
    nodes = _joined(panels.corners[numbers], inside)
    pieces = pieces_of(nodes)
    fed = np.isin(pieces, np.unique(np.concatenate([pieces[under] for under in inside])))
    if not fed.any():
        raise BadInput("every contact stands on a bare place; move one onto the coat")
    kept = np.flatnonzero(fed)
    known, renumbered = np.unique(nodes[kept], return_inverse=True)
    renumbered = renumbered.reshape(-1, 3)
    shifted = np.full(len(numbers), -1)
    shifted[kept] = np.arange(len(kept))
    under = tuple(shifted[among] for among in inside)
    floating = np.zeros(len(panels), dtype=np.bool_)
    floating[numbers[~fed]] = True
    return Network(
        panels=numbers[kept],
        nodes=renumbered,
        count=len(known),
        terminals=np.array([renumbered[among[0], 0] if len(among) else -1 for among in under]),
        coarseness=np.array(
            [
                contact.coarseness(float(panels.areas[numbers[kept]][among].sum()), len(among))
                if len(among)
                else 0.0
                for contact, among in zip(contacts, under, strict=True)
            ]
        ),
        under=under,
        islands=_names(panels, numbers[~fed], pieces[~fed]),
        floating=floating,
        bare=coat.coated & ~coat.conducts,
    )


def welded(corners: Floats) -> Ints:
    """Number of the point at each corner of triangles (m, 3, 3) [m]: (m, 3)."""
    sides = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2)
    step = _WELD * float(sides.min())
    origin = corners.min(axis=(0, 1))
    cells = np.rint((corners - origin) / step).astype(np.int64).reshape(-1, 3)
    numbers: Ints = np.unique(cells, axis=0, return_inverse=True)[1]
    corner_points: Ints = numbers.reshape(-1, 3)
    return corner_points


def _joined(corners: Floats, terminals: list[Ints]) -> Ints:
    """Node of each corner (m, 3)."""
    points, count = welded(corners), 3 * len(corners)
    own = np.arange(count).reshape(-1, 3)
    first, second = np.roll(points, -1, axis=1).ravel(), np.roll(points, -2, axis=1).ravel()
    turned = first > second
    low, high = np.where(turned, second, first), np.where(turned, first, second)
    at_low = np.where(turned, np.roll(own, -2, axis=1).ravel(), np.roll(own, -1, axis=1).ravel())
    at_high = np.where(turned, np.roll(own, -1, axis=1).ravel(), np.roll(own, -2, axis=1).ravel())
    order = np.lexsort((high, low))
    same = (np.diff(low[order]) == 0) & (np.diff(high[order]) == 0)
    one, other = order[:-1][same], order[1:][same]
    links = [(at_low[one], at_low[other]), (at_high[one], at_high[other])]
    for under in terminals:
        joined = own[under].ravel()
        links.append((joined[:-1], joined[1:]))
    return _labels(links, count).reshape(-1, 3)


def pieces_of(nodes: Ints) -> Ints:
    """Number of the connected piece of each panel (m,)."""
    links = [(nodes[:, 0], nodes[:, 1]), (nodes[:, 1], nodes[:, 2])]
    return _labels(links, int(nodes.max()) + 1)[nodes[:, 0]]


def _labels(links: list[tuple[Ints, Ints]], count: int) -> Ints:
    rows, columns = (np.concatenate([pair[k] for pair in links]) for k in (0, 1))
    graph = coo_array((np.ones(len(rows)), (rows, columns)), shape=(count, count))
    labels: Ints = connected_components(graph, directed=False)[1].astype(np.int64)
    return labels


def _names(panels: Panels, numbers: Ints, pieces: Ints) -> tuple[str, ...]:
    """What hangs on no wire, largest first."""
    found = []
    for piece in np.unique(pieces):
        members = numbers[pieces == piece]
        area = float(panels.areas[members].sum())
        middle = np.average(panels.centroids[members], axis=0, weights=panels.areas[members])
        found.append(
            (
                area,
                said(
                    "a coated island of {area} about {place} is joined to no contact: it stays "
                    "bare",
                    area=Quantity(area, "cm^2"),
                    place=Quantity(tuple(map(float, middle)), "mm", decimals=0),
                ),
            )
        )
    return tuple(sentence for _, sentence in sorted(found, reverse=True))
