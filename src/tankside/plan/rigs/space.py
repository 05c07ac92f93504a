"""All that may be changed about one rig, as a point of the unit cube.

A design is a vector of shares, one for each variable of each freedom, in a fixed order: poses
first, since anodes, additions and wires are placed around the parts as they then hang. Circular
variables go round; others stop at their ends. The same design can be laid on a coarse and on a fine
description of the same parts.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from types import MappingProxyType

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.base.errors import BadInput
from tankside.cell.description import Plate
from tankside.plan.rigs.additions import ShieldFreedom, ThiefFreedom, auxiliary_freedoms
from tankside.plan.rigs.anode_places import AnodeFreedom, can_move
from tankside.plan.rigs.contact_sites import ContactFreedom, ContactRegion, contact_freedom
from tankside.plan.rigs.freedom import GATE, Freedom, Variable, tank_box
from tankside.plan.rigs.posing import PoseFreedom
from tankside.plan.rigs.rig import Rig, mesh_of
from tankside.plan.rigs.timing import CurrentFreedom, TurnFreedom


@dataclass(frozen=True, kw_only=True)
class Freedoms:
    """What a person allows to be changed: poses (leaning at most `lean` degrees), contacts (within
    `regions`), anodes' places and the sheets' sizes, auxiliary anodes in this many recesses of each
    part, this many shields and rings as thieves, a turn part-way, a lower current."""

    pose: bool = True
    lean: float = 180.0
    contacts: bool = True
    regions: tuple[ContactRegion, ...] = ()
    anodes: bool = True
    auxiliary: int = 2
    shields: int = 0
    thieves: int = 0
    turn: bool = True
    current: bool = False


@dataclass(frozen=True, kw_only=True)
class DesignSpace:
    """The freedoms in order, and the design (n,) that stands for the person's own rig: a freedom
    whose shares are its own changes nothing."""

    freedoms: tuple[Freedom, ...]
    own: Floats

    def __post_init__(self) -> None:
        object.__setattr__(self, "own", frozen_floats(self.own))

    @property
    def variables(self) -> tuple[Variable, ...]:
        """Of all freedoms."""
        return tuple(v for freedom in self.freedoms for v in freedom.variables)

    @property
    def places(self) -> tuple[slice, ...]:
        """Where each freedom's shares stand in a design."""
        ends = np.cumsum([0, *(len(freedom.variables) for freedom in self.freedoms)]).tolist()
        return tuple(slice(a, b) for a, b in pairwise(ends))

    @property
    def circular(self) -> Bools:
        """True for variables that go round (n,)."""
        return np.array([variable.circular for variable in self.variables])

    def hints(self, number: int) -> tuple[Floats, ...]:
        """Shares of a freedom that are worth a try, of those that know some."""
        freedom, place = self.freedoms[number], self.places[number]
        if not isinstance(freedom, ContactFreedom):
            return ()
        low, high = (bound[place] for bound in _bounds(self.freedoms))
        return tuple((values - low) / (high - low) for values in freedom.hints)

    def rig(self, design: Floats, base: Rig) -> Rig:
        """The rig of a design, laid on a base."""
        changed = self.changed(design)
        for number, (freedom, values) in enumerate(self._split(design)):
            if number in changed:
                base = freedom.applied(values, base)
        return base

    def changed(self, design: Floats) -> tuple[int, ...]:
        """Numbers of the freedoms that a design makes use of: not those as in the own rig, nor
        those behind a closed gate."""
        return tuple(
            number
            for number, place in enumerate(self.places)
            if not np.array_equal(design[place], self.own[place])
            and not (self.gated(number) and design[place][0] < GATE)
        )

    def holds_wires(self, number: int) -> bool:
        """True where a freedom is about contacts."""
        return isinstance(self.freedoms[number], ContactFreedom)

    def gated(self, number: int) -> bool:
        """True where a freedom may be absent; its gate is its first variable."""
        return self.freedoms[number].variables[0].gate

    def settled(self, design: Floats) -> Floats:
        """The design within the cube: circular variables go round, others stop."""
        return np.where(self.circular, np.mod(design, 1.0), np.clip(design, 0.0, 1.0))

    def features(self, design: Floats) -> Floats:
        """Where the design lies, so that distances mean something: each freedom's features over the
        root of their number."""
        found = []
        for freedom, values in self._split(design):
            own = freedom.features(values)
            found.append(own / np.sqrt(len(own)))
        return np.concatenate(found)

    def distance(self, one: Floats, other: Floats) -> float:
        """How different two designs are [-]: 1 is one freedom at its other end."""
        return float(np.linalg.norm(self.features(one) - self.features(other)))

    def _split(self, design: Floats) -> list[tuple[Freedom, Floats]]:
        low, high = _bounds(self.freedoms)
        values = low + self.settled(design) * (high - low)
        return [(f, values[place]) for f, place in zip(self.freedoms, self.places, strict=True)]


def _bounds(freedoms: Sequence[Freedom]) -> tuple[Floats, Floats]:
    variables = [variable for freedom in freedoms for variable in freedom.variables]
    return np.array([v.low for v in variables]), np.array([v.high for v in variables])


def design_space(
    rig: Rig,
    freedoms: Freedoms,
    current: float,
    suggested: Mapping[int, Sequence[Floats]] = MappingProxyType({}),
) -> DesignSpace:
    """The space around a person's own rig, whose parts may take a `current` [A] altogether; by the
    numbers of parts, choices of wires' places in their files (wires, 3) that are worth a try."""
    description = rig.description
    numbers = range(1, len(description.parts) + 1)
    found: list[Freedom] = []
    if freedoms.pose:
        found += [PoseFreedom(number=number, lean=freedoms.lean) for number in numbers]
    if freedoms.anodes:
        found += [
            AnodeFreedom(number=number, sheet=isinstance(shape, Plate))
            for number, shape in enumerate(description.anodes, 1)
            if can_move(shape)
        ]
    found += _additions(rig, freedoms, numbers)
    if freedoms.contacts:
        each = current / len(description.parts)
        found += [
            contact_freedom(description, n, freedoms.regions, each, suggested.get(n, ()))
            for n in numbers
        ]
    if freedoms.turn:
        found.append(TurnFreedom())
    if freedoms.current:
        found.append(CurrentFreedom())
    if not found:
        raise BadInput("nothing may be changed; allow at least one thing, such as the pose")
    low, high = _bounds(found)
    values = np.concatenate([freedom.own(rig) for freedom in found])
    space = DesignSpace(freedoms=tuple(found), own=(values - low) / (high - low))
    return replace(space, own=space.settled(space.own))


def _additions(rig: Rig, freedoms: Freedoms, numbers: Sequence[int]) -> list[Freedom]:
    description = rig.description
    low, high = tank_box(description.tank)
    found: list[Freedom] = []
    for number in numbers if freedoms.auxiliary else ():
        rods = auxiliary_freedoms(mesh_of(description.parts[number - 1]), number)
        found += rods[: freedoms.auxiliary]
    found += [
        ShieldFreedom(
            number=number,
            widest=float((high - low).min()) / 2,
            tallest=0.8 * description.liquid_depth,
        )
        for number in range(1, freedoms.shields + 1)
    ]
    found += [ThiefFreedom(number=number) for number in range(1, freedoms.thieves + 1)]
    return found
