"""The wet surface of everything in the tank, as panels: walls and flat-faced things by facets,
wires as tubes, meshes as they are, all cut at the liquid's surface.

Facets of the vessel and of what stands flat against it are panelled together, so that they share
the points where they meet.
"""

from collections.abc import Sequence

from tankside.cell.bodies import Role
from tankside.cell.cutting import cut_mesh
from tankside.cell.description import PanelBudget
from tankside.cell.flush import uncovered
from tankside.cell.nearness import Nearness
from tankside.cell.panelling import SizeLaw, panelled
from tankside.cell.polyhedra import Facet, Polyhedron, cut_below
from tankside.cell.solids import below
from tankside.cell.spacing import (
    BodySpacing,
    Spacing,
    VesselSpacing,
    longest_edge,
    sharp_edges,
)
from tankside.cell.standing import Standing
from tankside.cell.tubes import stretch_for, tube_surface
from tankside.part.mesh import TriangleMesh


def wet_surfaces(
    things: Sequence[Standing], vessel: Sequence[Facet], level: float, budget: PanelBudget
) -> tuple[TriangleMesh, tuple[TriangleMesh, ...]]:
    """The vessel's surface, and that of each thing in order; normals into the solution."""
    flat_faced = [(k, thing) for k, thing in enumerate(things) if thing.facets is not None]
    cut = [cut_below(thing.facets, level) for _, thing in flat_faced if thing.facets is not None]
    walls, solids = uncovered(vessel, cut)
    laws = [
        _spacing(k, solid, things, vessel, level)
        for (k, _), solid in zip(flat_faced, solids, strict=True)
    ]
    groups: list[tuple[Sequence[Facet], Spacing]] = [
        (walls, VesselSpacing(Nearness.to_meshes([below(t.solid, level).mesh for t in things]))),
        *((solid.facets, law) for solid, law in zip(solids, laws, strict=True)),
    ]
    roles = [Role.VESSEL, *(thing.role for _, thing in flat_faced)]
    longest = _longest_edges(groups, roles, budget)
    meshes = panelled(
        [(facets, _law(law, edge)) for (facets, law), edge in zip(groups, longest, strict=True)],
        level,
    )
    by_number = dict(zip((k for k, _ in flat_faced), meshes[1:], strict=True))
    stretch = stretch_for([t.tube for t in things if t.tube is not None], budget.wires)
    return meshes[0], tuple(
        by_number[k] if k in by_number else _meshed(thing, level, stretch)
        for k, thing in enumerate(things)
    )


def _meshed(thing: Standing, level: float, stretch: float) -> TriangleMesh:
    if thing.tube is None:
        return cut_mesh(thing.solid.mesh, level)
    surface = tube_surface(thing.tube, stretch)
    return surface if thing.tube.open_end else cut_mesh(surface, level)


def _spacing(
    number: int,
    solid: Polyhedron,
    things: Sequence[Standing],
    vessel: Sequence[Facet],
    level: float,
) -> BodySpacing:
    others = [thing.solid.mesh for k, thing in enumerate(things) if k != number]
    return BodySpacing(
        sharp_edges=Nearness.to_segments(sharp_edges(solid, vessel, level)),
        others=Nearness.to_meshes(others),
        widest=solid.widest_panel,
    )


def _longest_edges(
    groups: Sequence[tuple[Sequence[Facet], Spacing]], roles: Sequence[Role], budget: PanelBudget
) -> list[float]:
    """The longest panel edge [m] of each group: one for each share of the budget."""
    shares = {
        budget_share: [k for k, role in enumerate(roles) if _share(role) == budget_share]
        for budget_share in ("vessel", "anodes", "others")
    }
    longest = [0.0] * len(groups)
    for name, members in shares.items():
        if members:
            edge = longest_edge([groups[k] for k in members], getattr(budget, name))
            for k in members:
                longest[k] = edge
    return longest


def _share(role: Role) -> str:
    return {Role.VESSEL: "vessel", Role.ANODE: "anodes"}.get(role, "others")


def _law(spacing: Spacing, longest: float) -> SizeLaw:
    return lambda places: spacing.sizes(spacing.distances(places), longest)
