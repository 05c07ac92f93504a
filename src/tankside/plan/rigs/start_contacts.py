"""The fewest wires, and where, with which a coated part starts.

Wires are spread over the places that the person allows so that no place of the coat is far from
its nearest one, distance along the skin weighed by the coat's resistance (k centres: one after the
other at the place that is worst off, then each moved while that helps). With as many wires as the
load asks for, one more, and so on, the start is then worked out by the coat's own equations, on the
poorest coat that is believed, until copper covers the part in time, no collar bears more than the
ramp allows, and no wire more than its metal does in air. Starts at the other ends of the belief
tell the margins.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import pi

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import dijkstra

from tankside.base.arrays import Floats, Ints
from tankside.base.errors import Cancelled, Impossible, TanksideError
from tankside.cell.coating import End
from tankside.cell.description import CellDescription
from tankside.part.mesh import TriangleMesh
from tankside.plan.current import WIRE_LIMIT_A_PER_M2
from tankside.plan.rigs.contact_sites import ContactRegion, contact_sites, fewest_wires
from tankside.plan.rigs.evaluation import Bench, RigCase, evaluated, started
from tankside.plan.rigs.rig import Rig, in_tank, mesh_of
from tankside.plan.rigs.starting import StartFigures

MARGIN = 1.25
"""Time allowed over time taken that a start needs on the poorest coat [-]: our choice, above what
the search's coarse mesh errs by (a tenth on the demonstration part at 1000 ohm per square)."""

COLLAR = 0.6
"""Of copper's limit that thin copper round a wire may bear [-]: the ramp's half, and the mesh's
error."""

MOST_WIRES = 8

_MOST_SITES = 400


@dataclass(frozen=True, kw_only=True)
class Attempt:
    """So many wires: where they touch the part, in the tank (wires, 3) [m]; how the start goes on
    the poorest coat, or why the rig cannot be; a wire's load over what it may carry [-]."""

    places: tuple[tuple[float, float, float], ...]
    start: StartFigures | None
    refusal: str
    wire_load: float

    @property
    def succeeds(self) -> bool:
        """In time with the margin, without a burnt collar or a hot wire."""
        start = self.start
        return (
            start is not None
            and start.margin >= MARGIN
            and start.collar_fraction <= COLLAR
            and self.wire_load <= 1.0
        )


@dataclass(frozen=True, kw_only=True)
class FewestContacts:
    """The attempts, the last of which succeeds or none does; the description with its wires; and
    time allowed over time taken at the low end, at best and at the high end of the coat's sheet
    resistance [-]. Of coats believed nine times in ten to lie between the ends, nineteen in twenty
    are no poorer than the high end."""

    attempts: tuple[Attempt, ...]
    description: CellDescription | None
    margins: tuple[float, float, float] | None


def fewest_contacts(
    rig: Rig, bench: Bench, regions: Sequence[ContactRegion], *, part: int = 1
) -> FewestContacts:
    """For one coated part of a (coarse) rig. Impossible where the regions leave no place."""
    own = rig.description.parts[part - 1]
    if own.coat is None:
        raise Impossible(f"part {part} is metal: one wire of the right gauge starts it")
    mesh = mesh_of(own)
    sites = contact_sites(mesh, regions, part=part)
    way = _Ways.of(mesh, own.coat.laid_on(mesh.centroids).high, sites)
    attempts: list[Attempt] = []
    fewest = _by_load(rig, bench, part)
    for count in range(fewest, max(fewest, MOST_WIRES) + 1):
        if count > len(sites):
            break
        description = _held(rig.description, part, way.spread(count))
        attempt = _tried(description, bench, "high")
        attempts.append(attempt)
        if attempt.succeeds:
            return _told(attempts, description, bench)
    return FewestContacts(attempts=tuple(attempts), description=None, margins=None)


def _by_load(rig: Rig, bench: Bench, part: int) -> int:
    """Wires of the part's own gauge that bear in air what the person's own rig takes."""
    result = evaluated(RigCase(rig=rig, bench=bench))
    if result.figures is None:
        raise Impossible(f"your own rig cannot be: {result.refusal}")
    own = [c for c in rig.description.contacts if (c.part or 1) == part]
    share = result.figures.current / len(rig.description.parts)
    return fewest_wires(share, own[0].wire_diameter)


def _tried(description: CellDescription, bench: Bench, end: End) -> Attempt:
    """The start on the coat at one end; a rig that cannot be is an attempt with its reason."""
    wires = [c for c in description.contacts if description.parts[(c.part or 1) - 1].coat]
    places = tuple(contact.near for contact in wires)
    try:
        start = started(description, replace(bench, starts=True, coat=end))
    except Cancelled:
        raise
    except TanksideError as error:
        return Attempt(places=places, start=None, refusal=error.message, wire_load=0.0)
    borne = [WIRE_LIMIT_A_PER_M2 * pi / 4 * contact.wire_diameter**2 for contact in wires]
    load = float(np.max(np.array(start.contact_currents) / np.array(borne)))
    return Attempt(places=places, start=start, refusal="", wire_load=load)


def _told(attempts: list[Attempt], description: CellDescription, bench: Bench) -> FewestContacts:
    """The last attempt with its margins."""
    poor = attempts[-1].start
    if poor is None:
        raise TypeError("an attempt that succeeds has a start")
    low, best = (_tried(description, bench, end).start for end in ("low", "best"))
    if low is None or best is None:
        raise Impossible("the start could not be worked out for the better coats")
    return FewestContacts(
        attempts=tuple(attempts),
        description=description,
        margins=(low.margin, best.margin, poor.margin),
    )


def _held(description: CellDescription, part: int, places: Floats) -> CellDescription:
    """The part held by such wires as its first, at places of its file; other parts as they are."""
    own = [c for c in description.contacts if (c.part or 1) == part]
    others = [c for c in description.contacts if (c.part or 1) != part]
    found = []
    for place in places:
        x, y, z = np.round(in_tank(description.parts[part - 1], place), 4).tolist()
        found.append(replace(own[0], near=(x, y, z), via=(), part=part))
    return replace(description, contacts=(*others, *found))


@dataclass(frozen=True, kw_only=True)
class _Ways:
    """Distance from each site to each of the part's triangles (sites, triangles), along the skin,
    by the root of the coat's resistance: the front takes as long for a way as its resistance and
    its area say."""

    distance: Floats
    sites: Floats

    @classmethod
    def of(cls, mesh: TriangleMesh, resistance: Floats, sites: Floats) -> "_Ways":
        centres = mesh.centroids
        one, other = _neighbours(mesh.triangles)
        length = np.linalg.norm(centres[one] - centres[other], axis=1)
        finite = np.where(np.isfinite(resistance), resistance, 1e3 * resistance.min())
        weight = length * np.sqrt((finite[one] + finite[other]) / 2) + 1e-12
        graph = coo_array((weight, (one, other)), shape=(len(centres),) * 2).tocsr()
        chosen = sites[:: max(1, len(sites) // _MOST_SITES)]
        starts = [int(np.linalg.norm(centres - site, axis=1).argmin()) for site in chosen]
        distance = dijkstra(graph, directed=False, indices=starts)
        conducting = np.isfinite(resistance) & np.isfinite(distance).any(axis=0)
        kept = np.where(np.isfinite(distance), distance, 1e9)[:, conducting]
        return cls(distance=kept, sites=chosen)

    def spread(self, count: int) -> Floats:
        """So many of the sites (count, 3)."""
        chosen = [int(self.distance.max(axis=1).argmin())]
        while len(chosen) < count:
            worst = int(self.distance[chosen].min(axis=0).argmax())
            chosen.append(int(self.distance[:, worst].argmin()))
        for _ in range(10):
            before = list(chosen)
            for place in range(count):
                rest = np.delete(np.array(chosen), place)
                near = self.distance[rest].min(axis=0) if count > 1 else np.inf
                chosen[place] = int(np.minimum(self.distance, near).max(axis=1).argmin())
            if chosen == before:
                break
        return self.sites[chosen]


def _neighbours(triangles: Ints) -> tuple[Ints, Ints]:
    """Pairs of triangles that share an edge."""
    edges = np.sort(triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    owner = np.repeat(np.arange(len(triangles)), 3)
    order = np.lexsort((edges[:, 1], edges[:, 0]))
    same = (np.diff(edges[order], axis=0) == 0).all(axis=1)
    return owner[order[:-1][same]], owner[order[1:][same]]
