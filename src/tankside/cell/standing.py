"""The things that stand in a tank, each as a named closed solid in the tank's coordinates.

Flat-faced things keep their facets, for panels; everything else is a mesh. What reaches above the
liquid is whole here: it is cut when it is panelled.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import assert_never

import numpy as np

from tankside.base.messages import said
from tankside.cell.bodies import Role
from tankside.cell.coating import LaidCoat
from tankside.cell.description import (
    Basket,
    BentWire,
    CellDescription,
    Lining,
    MeshShape,
    PlacedPart,
    Plate,
    Ring,
    Rod,
    Shape,
)
from tankside.cell.flush import FlatAgainst, put_flat
from tankside.cell.placing import posed, rotation_matrix
from tankside.cell.polyhedra import Facet, Polyhedron, coarse_mesh, polyhedron
from tankside.cell.solids import Solid, solid
from tankside.cell.tubes import Tube, rounded, tube_surface
from tankside.part.mesh import TriangleMesh

_COARSE = 1e3
"""Distance of rings over a side on tubes that only serve tests of distance and overlap [-]."""

_ABOVE = 0.01
"""How far the solid of a contact's wire goes on above the liquid [m]."""

_NOT_FLAT = FlatAgainst(facets=(), moved=0.0)


@dataclass(frozen=True, kw_only=True, eq=False)
class Standing:
    """One thing: role, number, name in sentences, closed solid; what it is panelled from: facets,
    a tube, or the solid's own triangles; what it stands flat against; for a part its coat, and for
    a wire the number of the part that it holds."""

    role: Role
    number: int
    name: str
    solid: Solid
    facets: Polyhedron | None = None
    tube: Tube | None = None
    flat: FlatAgainst = _NOT_FLAT
    coat: LaidCoat | None = None
    holds: int | None = None

    @property
    def is_lining(self) -> bool:
        """True for a sheet without thickness on wall or floor."""
        return self.facets is not None and self.facets.sheet


def things(description: CellDescription, vessel: Sequence[Facet]) -> tuple[Standing, ...]:
    """Shields, parts, thieves and anodes, in this order, each numbered from 1 in its role."""
    return (
        *_shapes(Role.SHIELD, description.shields, vessel),
        *(_part(number, part) for number, part in enumerate(description.parts, 1)),
        *_shapes(Role.THIEF, description.thieves, vessel),
        *_shapes(Role.ANODE, description.anodes, vessel),
    )


def wire(role: Role, number: int, name: str, tube: Tube, part: int) -> Standing:
    """The wire of a contact; its solid goes on above the liquid by a little."""
    axis = np.array(tube.axis)
    axis[-1, 2] += _ABOVE
    longer = tube_surface(replace(tube, axis=axis, open_end=False), _COARSE)
    return Standing(
        role=role, number=number, name=name, solid=solid(longer, name), tube=tube, holds=part
    )


def _shapes(role: Role, shapes: Sequence[Shape], vessel: Sequence[Facet]) -> Iterator[Standing]:
    for number, shape in enumerate(shapes, 1):
        thing = _shape(role, number, named(role, number), shape)
        if thing.facets is None:
            yield thing
            continue
        facets, flat = put_flat(thing.facets, vessel)
        body = solid(coarse_mesh(facets), thing.name) if flat.facets else thing.solid
        yield replace(thing, facets=facets, solid=body, flat=flat)


def _shape(role: Role, number: int, name: str, shape: Shape) -> Standing:
    match shape:
        case Plate() | Lining() | Basket() | Rod() | Ring():
            facets = polyhedron(shape)
            body = solid(coarse_mesh(facets), name)
            return Standing(role=role, number=number, name=name, solid=body, facets=facets)
        case BentWire():
            line = rounded(np.array(shape.points, dtype=np.float64), shape.diameter, name)
            tube = Tube(axis=line, diameter=shape.diameter, open_end=False)
            body = solid(tube_surface(tube, _COARSE), name)
            return Standing(role=role, number=number, name=name, solid=body, tube=tube)
        case MeshShape():
            body = solid(posed(shape.mesh, shape.at, shape.rotation), name)
            return Standing(role=role, number=number, name=name, solid=body)
        case _:
            assert_never(shape)


def named(role: Role, number: int) -> str:
    """What a thing is called in sentences."""
    match role:
        case Role.PART:
            return said("part {number}", number=number)
        case Role.ANODE:
            return said("anode {number}", number=number)
        case Role.SHIELD:
            return said("shield {number}", number=number)
        case Role.THIEF:
            return said("thief {number}", number=number)
        case _:
            return f"{role.value} {number}"


def _part(number: int, part: PlacedPart) -> Standing:
    surface = part.surface
    mesh = surface if isinstance(surface, TriangleMesh) else surface.mesh
    name = named(Role.PART, number)
    return Standing(
        role=Role.PART,
        number=number,
        name=name,
        solid=solid(posed(mesh, part.at, part.rotation), name),
        coat=_laid(part, mesh),
    )


def _laid(part: PlacedPart, mesh: TriangleMesh) -> LaidCoat | None:
    """The part's coat on its triangles, with the strokes as they lie in the tank."""
    if part.coat is None:
        return None
    return part.coat.laid_on(mesh.centroids, rotation_matrix(part.rotation))
