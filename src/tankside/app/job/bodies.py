"""The job file's tank, and the bodies in it: anodes, thieves and shields by their shape."""

from typing import Annotated, Literal

from pydantic import Field

from tankside.app.job.fields import Direction, Length, Point, Position, Table


class BoxTank(Table):
    """A box, open above; inside is width (x), depth (y) and height (z)."""

    shape: Literal["box"]
    inside: tuple[Length, Length, Length]
    liquid_depth: Length
    covered: bool = False


class CylinderTank(Table):
    """An upright cylinder."""

    shape: Literal["cylinder"]
    diameter: Length
    height: Length
    liquid_depth: Length
    covered: bool = False


class PrismTank(Table):
    """Upright walls over any simple polygon."""

    shape: Literal["prism"]
    footprint: Annotated[tuple[tuple[Position, Position], ...], Field(min_length=3)]
    height: Length
    liquid_depth: Length
    covered: bool = False


Tank = Annotated[BoxTank | CylinderTank | PrismTank, Field(discriminator="shape")]


class Plate(Table):
    """A flat plate; size is width and height, `at` its centre, `facing` its normal."""

    shape: Literal["plate"]
    size: tuple[Length, Length]
    thickness: Length = 0.003
    at: Point
    facing: Direction = (1.0, 0.0, 0.0)


class Rod(Table):
    """A round rod; `at` is its centre."""

    shape: Literal["rod"]
    diameter: Length
    length: Length
    at: Point
    axis: Direction = (0.0, 0.0, 1.0)


class Basket(Table):
    """A basket of nuggets, taken as the box that it fills; size is x, y, z before turning."""

    shape: Literal["basket"]
    size: tuple[Length, Length, Length]
    at: Point
    facing: Direction = (1.0, 0.0, 0.0)


class MeshBody(Table):
    """Any closed body from a mesh file."""

    shape: Literal["mesh"]
    file: str
    unit: str | None = None
    at: Point
    rotate: tuple[float, float, float] = (0.0, 0.0, 0.0)


Anode = Annotated[Plate | Rod | Basket | MeshBody, Field(discriminator="shape")]
Thief = Annotated[Plate | Rod | MeshBody, Field(discriminator="shape")]
Shield = Annotated[Plate | MeshBody, Field(discriminator="shape")]
