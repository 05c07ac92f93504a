"""Where wires may hold a part, how many it takes, and the freedom to choose among the places.

Candidate sites are the middles of the part's triangles. Regions are balls in the coordinates of the
part's file: forbidden ones are left out; where hidden ones are given, only those serve (the mark of
a wire is not seen there); else where allowed ones are given, only those. The fewest wires are the
ones whose metal bears the current in air.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import ceil, pi

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.errors import Impossible
from tankside.base.messages import said
from tankside.cell.description import CellDescription, ContactSpec, Vector
from tankside.part.mesh import TriangleMesh
from tankside.plan.current import WIRE_LIMIT_A_PER_M2
from tankside.plan.rigs.freedom import Variable, plain_features
from tankside.plan.rigs.rig import Rig, in_tank, mesh_of, on_part

MORE_WIRES = 2
"""Wires that a search may add to a coated part [-]: our choice."""


class RegionKind(StrEnum):
    """What a region of the part's surface is to a wire."""

    ALLOWED = "allowed"
    FORBIDDEN = "forbidden"
    HIDDEN = "hidden"


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactRegion:
    """A ball in the coordinates of a part's file: its kind, the part's number, centre and radius
    [m]."""

    kind: RegionKind
    centre: Vector
    radius: float
    part: int = 1

    def holds(self, places: Floats) -> Floats:
        """True for each place (n, 3) inside."""
        inside: Floats = np.linalg.norm(places - np.array(self.centre), axis=1) <= self.radius
        return inside


def contact_sites(mesh: TriangleMesh, regions: Sequence[ContactRegion], *, part: int = 1) -> Floats:
    """Candidate sites (n, 3) in the coordinates of the part's file [m]; Impossible where the
    regions leave none."""
    places = mesh.centroids
    own = [region for region in regions if region.part == part]
    kept = np.ones(len(places), dtype=bool)
    for kind in (RegionKind.HIDDEN, RegionKind.ALLOWED):
        chosen = [region.holds(places) for region in own if region.kind is kind]
        if chosen:
            kept = np.any(chosen, axis=0)
            break
    for region in own:
        if region.kind is RegionKind.FORBIDDEN:
            kept &= ~region.holds(places).astype(bool)
    if not kept.any():
        raise Impossible(
            "the contact regions leave no place on part {part} for a wire; make an allowed or "
            "hidden region larger, or a forbidden one smaller",
            part=part,
        )
    return places[kept]


def fewest_wires(current: float, wire_diameter: float) -> int:
    """How many wires bear a current [A] in air, of a diameter [m]."""
    return max(1, ceil(current / (WIRE_LIMIT_A_PER_M2 * pi / 4 * wire_diameter**2) - 1e-9))


@dataclass(frozen=True, kw_only=True)
class ContactFreedom:
    """The wires of part `number` may hold it at any of the `sites` (n, 3) [m, file coordinates],
    and be `fewest` at least and `most` at most; each is given by a place in the box of the sites,
    and holds at the nearest of them. `suggested` are choices that are worth a try, as places of
    wires (wires, 3) of at least `fewest` and at most `most`."""

    number: int
    sites: Floats
    fewest: int
    most: int
    suggested: tuple[Floats, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "sites", frozen_floats(self.sites))

    @property
    def name(self) -> str:
        """Which part's contacts."""
        return said("contacts of part {number}", number=self.number)

    @property
    def variables(self) -> tuple[Variable, ...]:
        """How many wires, where there is a choice; and three coordinates a wire."""
        count = Variable(name="wires", low=self.fewest, high=self.most + 0.999, unit="wires")
        places = [
            Variable(name=f"{word} of wire {k}", low=0.0, high=1.0, unit="share of the part")
            for k in range(1, self.most + 1)
            for word in ("x", "y", "z")
        ]
        return (*([count] if self.most > self.fewest else []), *places)

    def own(self, rig: Rig) -> Floats:
        """The wires as they are; those that are not there yet all around."""
        part = rig.description.parts[self.number - 1]
        wires = _wires(rig.description, self.number)
        return self._given([on_part(part, wire.near) for wire in wires])

    @property
    def hints(self) -> tuple[Floats, ...]:
        """The suggested choices as values."""
        return tuple(self._given(list(places)) for places in self.suggested)

    def applied(self, values: Floats, rig: Rig) -> Rig:
        """Held at the sites nearest to those places."""
        description = rig.description
        part = description.parts[self.number - 1]
        count = int(values[0]) if self.most > self.fewest else self.most
        low, size = self._box
        places = low + values[-3 * self.most :].reshape(-1, 3)[:count] * size
        away = np.linalg.norm(self.sites[:, None] - places, axis=2)
        chosen = self.sites[away.argmin(axis=0)]
        first = _wires(description, self.number)[0]
        wires = tuple(
            replace(first, near=_vector(in_tank(part, site)), via=(), part=self.number)
            for site in chosen
        )
        others = tuple(c for c in description.contacts if (c.part or 1) != self.number)
        return replace(rig, description=replace(description, contacts=(*others, *wires)))

    def _given(self, places: list[Floats]) -> Floats:
        """Values for wires at places of the part's file."""
        low, size = self._box
        count = [float(min(len(places), self.most))] if self.most > self.fewest else []
        shares = [np.clip((place - low) / size, 0.0, 1.0) for place in places[: self.most]]
        for k in range(len(shares), self.most):
            turn = 2 * np.pi * k / self.most
            shares.append(np.array([0.5 + np.cos(turn) / 2, 0.5 + np.sin(turn) / 2, 1.0]))
        return np.concatenate([np.array(count), *shares])

    def features(self, values: Floats) -> Floats:
        """Number of wires and places."""
        return plain_features(self.variables, values)

    @property
    def _box(self) -> tuple[Floats, Floats]:
        """Lowest corner and size (3,) of the box of the sites, never flat [m]."""
        low, high = self.sites.min(axis=0), self.sites.max(axis=0)
        return low, np.maximum(high - low, 1e-6)


def contact_freedom(
    description: CellDescription,
    number: int,
    regions: Sequence[ContactRegion],
    current: float,
    suggested: Sequence[Floats] = (),
) -> ContactFreedom:
    """The freedom of part `number`, for a `current` [A] that it may take. A coated part may have
    MORE_WIRES more than it has or needs, as its start may be worth them."""
    wires = _wires(description, number)
    fewest = fewest_wires(current, wires[0].wire_diameter)
    part = description.parts[number - 1]
    most = max(fewest, len(wires)) + (MORE_WIRES if part.coat is not None else 0)
    mesh = mesh_of(part)
    return ContactFreedom(
        number=number,
        sites=contact_sites(mesh, regions, part=number),
        fewest=fewest,
        most=most,
        suggested=tuple(one for one in suggested if fewest <= len(one) <= most),
    )


def _wires(description: CellDescription, number: int) -> list[ContactSpec]:
    return [contact for contact in description.contacts if (contact.part or 1) == number]


def _vector(place: Floats) -> Vector:
    x, y, z = np.round(place, 4).tolist()
    return x, y, z
