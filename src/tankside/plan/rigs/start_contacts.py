"""The fewest wires, and where, with which a coated part starts; and choices of wires for a search.

With as many wires as the load asks for, one more, and so on, the places are chosen for the start
(start_sites.py). The start of the best choice is then worked out whole, with its wires in the cell,
on the poorest coat that is believed, until copper covers the part in time, no collar bears more
than the ramp allows, and no wire more than its metal does in air. Starts at the other ends of the
belief tell the margins.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import pi

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import Cancelled, Impossible, TanksideError
from tankside.base.progress import Progress, silent
from tankside.cell.assembling import assembled
from tankside.cell.coating import End
from tankside.cell.description import CellDescription
from tankside.plan.current import WIRE_LIMIT_A_PER_M2
from tankside.plan.rigs.contact_sites import ContactRegion, contact_sites, fewest_wires
from tankside.plan.rigs.evaluation import POCKET_STEPS, evaluated, lumped_rig, started
from tankside.plan.rigs.figures import Bench, RigCase
from tankside.plan.rigs.rig import Rig, in_tank, mesh_of, on_part
from tankside.plan.rigs.start_sites import Choice, StartSites, in_gas, spread_out
from tankside.plan.rigs.starting import StartFigures

MARGIN = 1.25
"""Time allowed over time taken that a start needs on the poorest coat [-]: our choice, above what
the search's coarse mesh errs by (a tenth on the demonstration part at 1000 ohm per square)."""

COLLAR = 0.6
"""Of copper's limit that thin copper round a wire may bear [-]: the ramp's half, and the mesh's
error."""

MOST_WIRES = 8

JUDGED = 8
"""Choices of places whose starts are worked out for each number of wires [-]: our choice."""

SUGGESTED = 4
"""The same where a search only wants something to begin with [-]: our choice."""


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
    rig: Rig,
    bench: Bench,
    regions: Sequence[ContactRegion],
    *,
    part: int = 1,
    progress: Progress = silent,
) -> FewestContacts:
    """For one coated part of a (coarse) rig. Impossible where the regions leave no place."""
    sites = part_sites(rig, bench, regions, part)
    attempts: list[Attempt] = []
    fewest = _by_load(rig, bench, part)
    for count in range(fewest, max(fewest, MOST_WIRES) + 1):
        progress("trying wires", (count - fewest) / MOST_WIRES)
        found = sites.choices(count, JUDGED)
        if not found:
            break
        attempt = _tried(found[0], bench, "high")
        attempts.append(attempt)
        if attempt.succeeds:
            return _told(attempts, found[0], bench)
    return FewestContacts(attempts=tuple(attempts), description=None, margins=None)


def suggested_wires(
    rig: Rig, bench: Bench, regions: Sequence[ContactRegion], part: int, counts: Sequence[int]
) -> tuple[Floats, ...]:
    """Places in the part's file (wires, 3) that start a coated part of a (coarse) rig best with so
    many wires each; fewer choices where too few places serve."""
    sites = part_sites(rig, bench, regions, part)
    placed = rig.description.parts[part - 1]
    found = []
    for count in counts:
        for description in sites.choices(count, SUGGESTED)[:1]:
            wires = [c for c in description.contacts if (c.part or 1) == part]
            found.append(np.array([on_part(placed, wire.near) for wire in wires]))
    return tuple(found)


@dataclass(frozen=True, kw_only=True)
class PartSites:
    """The sites of one part of a rig, and the rig with its wires at them."""

    description: CellDescription
    part: int
    bench: Bench
    sites: StartSites

    def choices(self, count: int, judged: int) -> tuple[CellDescription, ...]:
        """The rig with so many wires, the best start first of up to `judged`; none where fewer
        places serve."""
        found = self.sites.best(count, judged, usable=self._usable)
        return tuple(self._held(choice) for choice in found if len(choice) == count)

    def _usable(self, site: int) -> bool:
        """Whether a wire finds its way up from a site."""
        try:
            assembled(self._held((site,)), panels=self.bench.panels)
        except Impossible:
            return False
        return True

    def _held(self, choice: Choice) -> CellDescription:
        return held(self.description, self.part, self.sites.places[list(choice)])


def part_sites(rig: Rig, bench: Bench, regions: Sequence[ContactRegion], part: int) -> PartSites:
    """The places of a coated part of a (coarse) rig that the regions leave and that no gas covers;
    Impossible where there are none, or the part is metal."""
    description = rig.description
    own = description.parts[part - 1]
    if own.coat is None:
        raise Impossible("part {part} is metal: one wire of the right gauge starts it", part=part)
    mesh = mesh_of(own)
    places = np.array([in_tank(own, at) for at in contact_sites(mesh, regions, part=part)])
    dry = in_gas(own, places, float(np.ptp(mesh.vertices, axis=0).max()) / POCKET_STEPS)
    if dry.all():
        raise Impossible(
            "all places on part {part} that wires may hold lie in trapped air", part=part
        )
    cell, allowed = lumped_rig(description, bench)
    others = [k for k, c in enumerate(description.contacts) if (c.part or 1) != part]
    names = {f"contact {k + 1}" for k in others}
    wire = next(c for c in description.contacts if (c.part or 1) == part)
    sites = StartSites(
        cell=cell,
        places=spread_out(places[~dry]),
        others=tuple(one for one in cell.shell.contacts if one.name in names),
        wire=wire.wire_diameter / 2,
        allowed=allowed,
    )
    return PartSites(description=description, part=part, bench=bench, sites=sites)


def _by_load(rig: Rig, bench: Bench, part: int) -> int:
    """Wires of the part's own gauge that bear in air what the person's own rig takes."""
    result = evaluated(RigCase(rig=rig, bench=bench))
    if result.figures is None:
        raise Impossible("your own rig cannot be: {refusal}", refusal=result.refusal)
    own = [c for c in rig.description.contacts if (c.part or 1) == part]
    share = result.figures.current / len(rig.description.parts)
    return fewest_wires(share, own[0].wire_diameter)


def _tried(description: CellDescription, bench: Bench, end: End) -> Attempt:
    """The start on the coat at one end; a rig that cannot be is an attempt with its reason."""
    wires = [c for c in description.contacts if description.parts[(c.part or 1) - 1].coat]
    places = tuple(contact.near for contact in wires)
    try:
        start = started(description, replace(bench, coat=end))
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


def held(description: CellDescription, part: int, places: Floats) -> CellDescription:
    """The part held by such wires as its first, at places in the tank (wires, 3) [m]; other parts
    as they are."""
    own = [c for c in description.contacts if (c.part or 1) == part]
    others = [c for c in description.contacts if (c.part or 1) != part]
    found = []
    for x, y, z in np.round(places, 4).tolist():
        found.append(replace(own[0], near=(x, y, z), via=(), part=part))
    return replace(description, contacts=(*others, *found))
