"""What may be added to a rig: an auxiliary anode in a recess, shields, thieves. Each has a gate, so
that a search may also leave it out.

An auxiliary anode is a rod down the middle of the part's deepest recess, out of its mouth; it needs
a mouth that opens upwards. A shield is an insulating sheet that faces the parts. A thief is a ring
of wire around the parts on the cathode bar, which takes current from their edges.
"""

from dataclasses import dataclass, replace

import numpy as np

from tankside.base.arrays import Floats, frozen_floats
from tankside.base.messages import said
from tankside.cell.description import Plate, Rod
from tankside.part.mesh import TriangleMesh
from tankside.part.rays import RayTree
from tankside.part.recesses import Recess, deepest_recesses
from tankside.plan.rigs.anode_places import AROUND, placed_around
from tankside.plan.rigs.freedom import GATE, Variable, parts_box, plain_features
from tankside.plan.rigs.rig import STEP_M, Rig, in_tank, rotation_of, settable

OUT_OF_MOUTH = 0.015
"""How far an auxiliary anode stands out of its recess [m]: our choice, for its hook."""

THINNEST_ROD, THICKEST_ROD = 3e-3, 22e-3
"""Diameters of copper rod and water pipe that shops have [m]: from memory."""

_UPWARD = 0.2
"""Least upward share of the way out of a recess for a rod to hang in it [-]."""

_SHEET = 2e-3
"""Thickness of a shield [m]: our choice, a cutting board's."""


@dataclass(frozen=True, kw_only=True)
class AuxiliaryFreedom:
    """A rod may hang in a recess of part `number`: floor and mouth (3,) in the coordinates of its
    file, width across [m], and the direction (3,) along the recess, square to its width."""

    number: int
    floor: Floats
    mouth: Floats
    width: float
    along: Floats

    def __post_init__(self) -> None:
        for name in ("floor", "mouth", "along"):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))

    @property
    def name(self) -> str:
        """Which part's recess."""
        return said("an anode in the recess of part {number}", number=self.number)

    @property
    def variables(self) -> tuple[Variable, ...]:
        """Whether, how deep, how thick, how far along a longish recess."""
        thickest = max(THINNEST_ROD + STEP_M, min(THICKEST_ROD, self.width / 2.5))
        return (
            Variable(name="hung", low=0.0, high=1.0, unit="yes above 0.5", gate=True),
            Variable(name="depth", low=0.15, high=0.85, unit="share of the recess"),
            Variable(name="diameter", low=THINNEST_ROD, high=thickest, unit="m"),
            Variable(name="aside", low=-0.5, high=0.5, unit="share of the recess's width"),
        )

    def own(self, rig: Rig) -> Floats:
        """None, and if one, half-way down and thin."""
        return np.array([0.25, 0.5, THINNEST_ROD, 0.0])

    def applied(self, values: Floats, rig: Rig) -> Rig:
        """Hung, where the gate is open and the mouth opens upwards."""
        part = rig.description.parts[self.number - 1]
        way = self.mouth - self.floor
        depth = float(np.linalg.norm(way))
        axis = rotation_of(part).as_matrix() @ (way / depth)
        if values[0] < GATE or axis[2] < _UPWARD:
            return rig
        mouth = self.mouth + values[3] * self.width * self.along
        low = in_tank(part, mouth - values[1] * way)
        high = in_tank(part, mouth) + OUT_OF_MOUTH * axis
        x, y, z = np.round(axis, 3).tolist()
        rod = Rod(
            diameter=round(values[2] / STEP_M) * STEP_M,
            length=round(float(np.linalg.norm(high - low)) / STEP_M) * STEP_M,
            at=settable((low + high) / 2),
            axis=(x, y, z),
        )
        description = rig.description
        anodes = (*description.anodes, rod)
        return replace(rig, description=replace(description, anodes=anodes))

    def features(self, values: Floats) -> Floats:
        """Whether, how deep, how thick."""
        return plain_features(self.variables, values)


@dataclass(frozen=True, kw_only=True)
class ShieldFreedom:
    """One more insulating sheet may hang around the parts, as large as `widest` and `tallest`."""

    number: int
    widest: float
    tallest: float

    @property
    def name(self) -> str:
        """Which of the new shields."""
        return said("new shield {number}", number=self.number)

    @property
    def variables(self) -> tuple[Variable, ...]:
        """Whether, where, how large."""
        return (
            Variable(name="hung", low=0.0, high=1.0, unit="yes above 0.5", gate=True),
            *AROUND,
            Variable(name="width", low=0.01, high=self.widest, unit="m"),
            Variable(name="tallness", low=0.01, high=self.tallest, unit="m"),
        )

    def own(self, rig: Rig) -> Floats:
        """None."""
        bearing = 360.0 * ((0.618 * self.number) % 1.0) - 180.0
        return np.array([0.25, bearing, 0.0, 0.3, self.widest / 2, self.tallest / 2])

    def applied(self, values: Floats, rig: Rig) -> Rig:
        """Hung, where the gate is open."""
        if values[0] < GATE:
            return rig
        width, height = (round(value / STEP_M) * STEP_M for value in values[4:].tolist())
        sheet = Plate(size=(width, height), at=(0.0, 0.0, 0.0), thickness=_SHEET)
        placed = placed_around(rig.description, sheet, *values[1:4].tolist())
        description = rig.description
        shields = (*description.shields, placed)
        return replace(rig, description=replace(description, shields=shields))

    def features(self, values: Floats) -> Floats:
        """Whether, where, how large."""
        return plain_features(self.variables, values)


@dataclass(frozen=True, kw_only=True)
class ThiefFreedom:
    """A ring of wire may hang around the parts on the cathode bar, as PIECES straight rods."""

    number: int

    @property
    def name(self) -> str:
        """Which of the new thieves."""
        return said("new thief {number}", number=self.number)

    @property
    def variables(self) -> tuple[Variable, ...]:
        """Whether; which way the ring's axis points; how far along it and off the parts; how
        thick."""
        return (
            Variable(name="hung", low=0.0, high=1.0, unit="yes above 0.5", gate=True),
            Variable(name="bearing", low=-180.0, high=180.0, unit="degrees", circular=True),
            Variable(name="elevation", low=0.0, high=90.0, unit="degrees"),
            Variable(name="shift", low=-1.0, high=1.0, unit="share of the parts' half depth"),
            Variable(name="off the parts", low=4e-3, high=0.03, unit="m"),
            Variable(name="diameter", low=1.5e-3, high=6e-3, unit="m"),
        )

    def own(self, rig: Rig) -> Floats:
        """None; and if one, level."""
        return np.array([0.25, 0.0, 80.0, 0.3, 0.01, 3e-3])

    def applied(self, values: Floats, rig: Rig) -> Rig:
        """Hung, where the gate is open."""
        if values[0] < GATE:
            return rig
        description = rig.description
        rods = _ring(parts_box(description), *values[1:].tolist())
        thieves = (*description.thieves, *rods)
        return replace(rig, description=replace(description, thieves=thieves))

    def features(self, values: Floats) -> Floats:
        """Whether, where, how long and thick."""
        return plain_features(self.variables, values)


PIECES = 8
"""Straight rods that a ring is told as."""

_WAYS = 16
"""Directions over half a turn in which the walls of a recess are looked for."""

_JOINT = 2.5e-3
"""Gap between the rods of a ring [m]: our choice, above the least gap of a cell."""


def _ring(
    box: tuple[Floats, Floats],
    bearing: float,
    elevation: float,
    shift: float,
    off: float,
    diameter: float,
) -> tuple[Rod, ...]:
    """Rods around an ellipse that leaves the box's half sides, seen along the axis, by `off`."""
    half, middle = (box[1] - box[0]) / 2, (box[0] + box[1]) / 2
    around, up = np.radians(bearing), np.radians(elevation)
    axis = np.array([np.cos(around) * np.cos(up), np.sin(around) * np.cos(up), np.sin(up)])
    one = np.array([-np.sin(around), np.cos(around), 0.0])
    other = np.cross(axis, one)
    radii = [float(np.abs(way) @ half) + off + diameter / 2 for way in (one, other)]
    turns = 2 * np.pi * (np.arange(PIECES) + 0.5) / PIECES
    out = 1 / np.cos(np.pi / PIECES)
    corners = (
        middle
        + shift * float(np.abs(axis) @ half) * axis
        + out * radii[0] * np.outer(np.cos(turns), one)
        + out * radii[1] * np.outer(np.sin(turns), other)
    )
    thick = max(STEP_M, round(diameter / STEP_M) * STEP_M)
    return tuple(
        _rod(a, b, thick) for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True)
    )


def _rod(one: Floats, other: Floats, diameter: float) -> Rod:
    length = float(np.linalg.norm(other - one))
    x, y, z = np.round((other - one) / length, 4).tolist()
    return Rod(
        diameter=diameter,
        length=max(STEP_M, round((length - diameter - _JOINT) / STEP_M) * STEP_M),
        at=settable((one + other) / 2),
        axis=(x, y, z),
    )


def auxiliary_freedoms(mesh: TriangleMesh, number: int) -> list[AuxiliaryFreedom]:
    """The freedoms to hang a rod in each recess of a part that is wide enough for one, the deepest
    for its width first; the rod's line keeps to the middle between the walls."""
    rays = RayTree(mesh)
    found: list[AuxiliaryFreedom] = []
    for recess in deepest_recesses(mesh).recesses:
        if recess.width < 3 * THINNEST_ROD:
            continue
        shift, along = _to_middle(rays, recess)
        floor, mouth = recess.floor + shift, recess.mouth + shift
        if all(np.linalg.norm(mouth - other.mouth) > recess.width / 2 for other in found):
            found.append(
                AuxiliaryFreedom(
                    number=number, floor=floor, mouth=mouth, width=recess.width, along=along
                )
            )
    return found


def _to_middle(rays: RayTree, recess: Recess) -> tuple[Floats, Floats]:
    """The shift (3,) [m] that brings a recess's line to the middle between its walls, as rays from
    half its depth see them, and the direction (3,) square to where it is narrowest. Along that the
    line is shifted as well where both ends are closed and near, as in a round hole."""
    way = recess.mouth - recess.floor
    axis = way / np.linalg.norm(way)
    one = np.cross(axis, np.eye(3)[np.abs(axis).argmin()])
    one /= np.linalg.norm(one)
    turns = np.pi * np.arange(_WAYS) / _WAYS
    around = np.outer(np.cos(turns), one) + np.outer(np.sin(turns), np.cross(axis, one))
    start = recess.floor + way / 2
    ahead, back = _walls(rays, start, around)
    across = around[(ahead + back).argmin()]
    along = np.cross(axis, across)
    shift = np.zeros(3)
    for direction in (across, along):
        (ahead,), (back,) = _walls(rays, start + shift, direction[None])
        if ahead + back < 1.5 * recess.width:
            shift = shift + (ahead - back) / 2 * direction
    return shift, along


def _walls(rays: RayTree, start: Floats, directions: Floats) -> tuple[Floats, Floats]:
    """How far the walls lie ahead and back (n,) [m] from a place (3,), each way (n, 3)."""
    places = np.repeat(start[None], len(directions), axis=0)
    return rays.first_hits(places, directions)[1], rays.first_hits(places, -directions)[1]
