"""Where so many wires hold a coated part so that it starts best.

Two judges, the cheap one first. By the coat's Green's functions: the full current's pattern is
drawn from the bare coat through wires at the sites, and the drop, averaged over the coat's area, is
what counts; one factorisation serves every choice of sites. By the quick start (starting.py): what
the start costs the job, for the few choices that the first judge likes best.

Choices are sought by exchange: one wire after the other at the place that helps most, then each
wire moved to any other place as long as that helps, from several beginnings. Among a dozen sites
that finds what trying every choice finds (tests/unit/plan/rigs/test_start_sites.py). Left out are
places in trapped gas, and places from which no wire finds a way up.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from tankside.base.arrays import Bools, Floats, Ints
from tankside.cell.description import PlacedPart
from tankside.field.seed.contacts import ShellContact
from tankside.field.seed.lumped import LumpedCell
from tankside.field.seed.shell import SeedShell, seed_shell
from tankside.part.pockets import pockets
from tankside.plan.rigs.rig import mesh_of, rotation_of
from tankside.plan.rigs.starting import StartFigures, quick_start

MOST_SITES = 48
"""Candidates: those of a part that lie farthest from one another [-]: our choice."""

BEGINNINGS = 12
"""First wires from which exchange begins [-]: our choice."""

_LOOSE = 1e-4
"""What the coat gives away all over, over what one square of it conducts [-]: an island that no
wire feeds then has a drop that no fed place comes near."""

Choice = tuple[int, ...]
"""Numbers of sites, rising."""


@dataclass
class StartSites:
    """One part of a lumped cell, and places (sites, 3) in the tank that may hold it [m].

    others   contacts of other parts, which stay
    wire     radius of the wires [m]
    allowed  time that a start may take [s]
    """

    cell: LumpedCell
    places: Floats
    others: tuple[ShellContact, ...]
    wire: float
    allowed: float
    _starts: dict[Choice, StartFigures] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._green = _Green.of(self.cell, self.places, self.wire)

    def best(
        self, count: int, judged: int, usable: Callable[[int], bool] = lambda site: True
    ) -> tuple[Choice, ...]:
        """Up to `judged` choices of `count` sites, the best by its quick start first; fewer than
        asked for where too few are `usable`."""
        left = list(range(len(self.places)))
        while True:
            found = self._liked(min(count, len(left)), left, judged) if left else ()
            bad = {site for choice in found for site in choice if not usable(site)}
            if not bad:
                return tuple(sorted(found, key=self.cost))
            left = [site for site in left if site not in bad]

    def start(self, choice: Choice) -> StartFigures:
        """The quick start with wires at these sites."""
        if choice not in self._starts:
            wires = tuple(
                ShellContact(name=f"wire {k}", position=self.places[site], radius=self.wire)
                for k, site in enumerate(choice, 1)
            )
            held = self.cell.held_at((*self.others, *wires))
            self._starts[choice] = quick_start(held, self.allowed)
        return self._starts[choice]

    def cost(self, choice: Choice) -> float:
        """What the start costs the job [s]; beyond any time where it fails, the less it covers the
        more."""
        start = self.start(choice)
        if start.failure:
            return self.allowed * (1e3 - start.covered_share)
        return start.delay

    def drop(self, choice: Choice) -> float:
        """The drop in the bare coat at the full current's pattern, mean over its area [V]."""
        return self._green.mean_drop(choice)

    def _liked(self, count: int, among: Sequence[int], most: int) -> tuple[Choice, ...]:
        """The choices with the least drop of all that exchange came by."""
        seen: dict[Choice, float] = {}

        def drop(choice: Sequence[int]) -> float:
            key = tuple(sorted(choice))
            if key not in seen:
                seen[key] = self._green.mean_drop(key)
            return seen[key]

        firsts = sorted(among, key=lambda site: drop((site,)))
        for first in firsts[:: max(1, len(firsts) // BEGINNINGS)]:
            chosen = [first]
            while len(chosen) < count:
                free = [site for site in among if site not in chosen]
                chosen.append(min(free, key=lambda site: drop((*chosen, site))))
            _exchanged(chosen, among, drop)
        full = [choice for choice in seen if len(choice) == count]
        return tuple(sorted(full, key=lambda choice: (seen[choice], choice))[:most])


def _exchanged(
    chosen: list[int], among: Sequence[int], cost: Callable[[Sequence[int]], float]
) -> None:
    """Moves one after the other to where it costs least, until none moves."""
    moved = True
    while moved:
        moved = False
        for place in range(len(chosen)):
            rest = chosen[:place] + chosen[place + 1 :]
            free = [site for site in among if site not in rest]
            better = min(free, key=lambda site: cost((*rest, site)))
            if cost((*rest, better)) < cost(chosen) * (1 - 1e-9):
                chosen[place], moved = better, True


@dataclass(frozen=True, kw_only=True)
class _Green:
    """Drops of the coat's panels (m,) [V]: `free` by the full current's pattern, unheld; `by_site`
    (m, sites) per ampere drawn at each site; `near` (sites,) the panels there; `resistance`
    (sites,) that a wire's footprint adds [ohm]; areas (m,) [m²], nought on other parts."""

    free: Floats
    by_site: Floats
    near: Ints
    resistance: Floats
    areas: Floats

    @classmethod
    def of(cls, cell: LumpedCell, places: Floats, wire: float) -> "_Green":
        shell, near = _loosely_held(cell, places)
        network, sheet = shell.network, shell.sheet
        squares = shell.coat.sheet_resistance[network.panels]
        loose = _LOOSE / (float(np.median(squares)) * float(sheet.areas.sum()))
        nothing = np.zeros(len(squares))
        factored = sheet.factored(nothing, nothing + loose, np.zeros(network.count))
        group = cell.problem.panels.group[network.panels]

        def on_panels(node_currents: Floats) -> Floats:
            drops: Floats = factored.potentials(node_currents)[network.nodes].mean(axis=1)
            return drops

        columns = []
        for panel in near:
            drawn = np.zeros(network.count)
            drawn[network.nodes[panel]] = 1 / 3
            columns.append(on_panels(drawn))
        footprints = [ShellContact(name="", position=at, radius=wire) for at in places]
        adding = [
            contact.coarseness(float(sheet.areas[panel]), 1) * squares[panel]
            for contact, panel in zip(footprints, near, strict=True)
        ]
        return cls(
            free=on_panels(sheet.node_currents(cell.full_density[network.panels])),
            by_site=np.column_stack(columns),
            near=near,
            resistance=np.array(adding),
            areas=np.where(group == group[near[0]], sheet.areas, 0.0),
        )

    def mean_drop(self, choice: Choice) -> float:
        """With wires at the sites of a choice at the bar's potential [V]."""
        sites = np.array(choice, dtype=np.int64)
        drawn = self.by_site[np.ix_(self.near[sites], sites)] + np.diag(self.resistance[sites])
        currents = np.linalg.solve(drawn, self.free[self.near[sites]])
        drops = self.free - self.by_site[:, sites] @ currents
        return float(np.average(np.abs(drops), weights=self.areas))


def _loosely_held(cell: LumpedCell, places: Floats) -> tuple[SeedShell, Ints]:
    """A shell that no contact holds at the bar's potential, with every piece of coat in it that a
    site lies on; and the panel of each site, as a place in its network."""
    own = cell.shell
    panels = cell.problem.panels
    conducts = np.flatnonzero(own.coat.conducts)
    middles = panels.centroids[conducts]
    at = np.array([conducts[np.linalg.norm(middles - one, axis=1).argmin()] for one in places])
    contacts = [replace(contact, resistance=1.0) for contact in own.contacts]
    while True:
        shell = seed_shell(panels, own.coat, tuple(contacts), own.conduction)
        order = np.full(len(panels), -1)
        order[shell.network.panels] = np.arange(len(shell.network.panels))
        unfed = np.flatnonzero(order[at] < 0)
        if not len(unfed):
            return shell, order[at]
        place = panels.centroids[at[unfed[0]]]
        contacts.append(replace(contacts[0], position=place, resistance=1.0))


def spread_out(sites: Floats, most: int = MOST_SITES) -> Floats:
    """The sites (at most, 3) that lie farthest from one another, the first of all first."""
    if len(sites) <= most:
        return sites
    chosen = [0]
    away = np.linalg.norm(sites - sites[0], axis=1)
    while len(chosen) < most:
        chosen.append(int(away.argmax()))
        away = np.minimum(away, np.linalg.norm(sites - sites[chosen[-1]], axis=1))
    return sites[chosen]


def in_gas(part: PlacedPart, places: Floats, spacing: float) -> Bools:
    """True for places (n, 3) in the tank that lie in gas that the part traps as it hangs: above a
    pocket's spill level, below its tip, and within one and a half times the radius of a cone of
    its depth and volume round its middle."""
    turn, at = rotation_of(part).as_matrix(), np.array(part.at)
    up = turn[2]
    found = np.zeros(len(places), dtype=np.bool_)
    for pocket in pockets(mesh_of(part), (up[0], up[1], up[2]), spacing).gas:
        tip, centre = (turn @ place + at for place in (pocket.tip, pocket.centre))
        below = tip[2] - places[:, 2]
        radius = 1.5 * np.sqrt(3 * pocket.volume.best / (np.pi * pocket.depth))
        aside = np.linalg.norm(places[:, :2] - centre[:2], axis=1)
        found |= (below >= 0) & (below <= pocket.depth) & (aside <= radius)
    return found
