"""What a person says about a cell, in SI and in the tank's coordinates: nothing is computed here.

The origin is the centre of the tank's floor (a prism's footprint has its own), z points up.
Lengths are in metres, angles in degrees as written in a job. The role of a shape is the list that
it stands in: an `anodes` entry dissolves, a `shields` entry insulates, a `thieves` entry hangs on
the cathode bar.
"""

from dataclasses import dataclass

from tankside.cell.coating import SeedCoat
from tankside.part.mesh import TriangleMesh
from tankside.part.surface import AnalysisSurface

Vector = tuple[float, float, float]

PLATE_THICKNESS = 3e-3
"""Thickness of a plate where none is given [m]: common practice, no source."""

SOLUTION_DENSITY = 1.1e3
"""Density of the solution where none is given [kg m⁻³], for a part's wet weight only: our guess."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxTank:
    """A tank with four upright walls; inside = length along x, along y, height [m]."""

    inside: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class CylinderTank:
    """A round upright tank; inner diameter and height [m]."""

    diameter: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PrismTank:
    """Upright walls over a polygon without crossings or holes: corners (x, y), height [m]."""

    footprint: tuple[tuple[float, float], ...]
    height: float


Tank = BoxTank | CylinderTank | PrismTank


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A flat sheet: size = (width, height), thickness, centre `at` [m], turned to `facing`.

    The width runs level; the height runs upwards as far as `facing` allows. A plate that faces
    straight up or down has its width along x and its height along y.
    """

    size: tuple[float, float]
    at: Vector
    facing: Vector = (1.0, 0.0, 0.0)
    thickness: float = PLATE_THICKNESS


@dataclass(frozen=True, slots=True, kw_only=True)
class Lining:
    """A sheet without thickness that covers a piece of a wall or of the floor: size = (width,
    height), centre `at` on the wall [m], `facing` into the solution; turned like a plate."""

    size: tuple[float, float]
    at: Vector
    facing: Vector


@dataclass(frozen=True, slots=True, kw_only=True)
class Rod:
    """A round bar: diameter, length, centre `at` [m], along `axis`."""

    diameter: float
    length: float
    at: Vector
    axis: Vector = (0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Basket:
    """A box basket full of nuggets, taken as its outer envelope: size = (depth along `facing`,
    width across it, height), centre `at` [m]; so x, y, z for a basket that faces along x."""

    size: Vector
    at: Vector
    facing: Vector = (1.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """A flat ring: inner and outer diameter, thickness, centre `at` [m], turned to `facing`."""

    inner_diameter: float
    outer_diameter: float
    thickness: float
    at: Vector
    facing: Vector = (0.0, 0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class BentWire:
    """A bare wire along a line of points: diameter [m], points in order [m]."""

    diameter: float
    points: tuple[Vector, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeshShape:
    """A closed mesh with normals out of it. It turns about its origin by `rotation` (degrees about
    the fixed x, then y, then z axis), and the origin is put `at` [m]."""

    mesh: TriangleMesh
    at: Vector
    rotation: Vector = (0.0, 0.0, 0.0)


Shape = Plate | Lining | Rod | Basket | Ring | BentWire | MeshShape


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPart:
    """A part in its pose.

    surface            closed skin, normals out of the part [m]
    at                 where the origin of the skin's coordinates goes [m]; the part turns about it
    rotation           degrees about the fixed x, then y, then z axis
    coat               on a part that does not conduct; None where the surface is solid metal
    mass               of the dry part [kg], where known: for its wet weight
    """

    surface: AnalysisSurface | TriangleMesh
    at: Vector
    rotation: Vector = (0.0, 0.0, 0.0)
    coat: SeedCoat | None = None
    mass: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactSpec:
    """A wire that holds a part and feeds it.

    near            a point near the place of contact [m]; it is snapped to the part's surface
    wire_diameter   [m]
    insulated       True where the wire is coated: then no current crosses its surface
    via             points that the wire passes on its way up [m]; without any it finds its own way
    part            number of the part from 1; None for the part nearest to `near`
    """

    near: Vector
    wire_diameter: float
    insulated: bool = False
    via: tuple[Vector, ...] = ()
    part: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CellDescription:
    """Everything that stands in one tank; `solution_density` [kg m⁻³] serves wet weights only."""

    tank: Tank
    liquid_depth: float
    anodes: tuple[Shape, ...] = ()
    parts: tuple[PlacedPart, ...] = ()
    contacts: tuple[ContactSpec, ...] = ()
    shields: tuple[Shape, ...] = ()
    thieves: tuple[Shape, ...] = ()
    solution_density: float = SOLUTION_DENSITY


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelBudget:
    """About how many panels the vessel, all anodes together, all wires together (those of contacts
    and bent ones), and all shields and thieves together may have. Parts and other meshes keep the
    panels that they come with."""

    vessel: int = 1300
    anodes: int = 1300
    wires: int = 1200
    others: int = 800

    def scaled(self, factor: float) -> "PanelBudget":
        """The budget times a factor."""
        return PanelBudget(
            vessel=round(self.vessel * factor),
            anodes=round(self.anodes * factor),
            wires=round(self.wires * factor),
            others=round(self.others * factor),
        )
