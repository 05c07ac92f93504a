"""Facets filled with panels: closed, exact in area, well shaped, of the size that was asked for."""

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.cell.description import BoxTank, CylinderTank, Plate, PrismTank, Rod, Tank
from tankside.cell.nearness import Nearness
from tankside.cell.panelling import SizeLaw, panelled
from tankside.cell.polyhedra import Facet, coarse_mesh, footprint, polyhedron, vessel_facets
from tankside.cell.spacing import BodySpacing, VesselSpacing, longest_edge, sharp_edges
from tests.unit.cell.scenes import open_edges, smallest_angles

LEVEL = 0.26
NOTHING = Nearness.to_meshes([])
TANKS: dict[str, Tank] = {
    "box": BoxTank(inside=(0.4, 0.24, 0.3)),
    "round": CylinderTank(diameter=0.24, height=0.3),
    "L": PrismTank(
        footprint=((0, 0), (0.2, 0), (0.2, 0.1), (0.1, 0.1), (0.1, 0.3), (0, 0.3)), height=0.3
    ),
}


def even(size: float) -> SizeLaw:
    return lambda places: np.full(len(places), size)


def outline_area(facets: tuple[Facet, ...]) -> float:
    total = 0.0
    for facet in facets:
        edges = facet.outline - facet.outline[0]
        total += float(np.linalg.norm(np.cross(edges[1:-1], edges[2:]).sum(axis=0))) / 2
    return total


@pytest.mark.parametrize("tank", list(TANKS))
def test_a_tank_is_open_at_the_liquid_only_and_exact_in_area(tank: str) -> None:
    facets = vessel_facets(footprint(TANKS[tank]), LEVEL)
    (mesh,) = panelled([(facets, even(0.025))], LEVEL)
    edges = open_edges([mesh])
    assert len(edges) > 20
    assert (edges[:, :, 2] == LEVEL).all()
    assert mesh.area == pytest.approx(outline_area(facets), rel=1e-12)
    assert smallest_angles(mesh).min() > 25
    assert np.percentile(smallest_angles(mesh), 5) > 35
    assert mesh.area_vectors.sum(axis=0)[:2] == pytest.approx([0, 0], abs=1e-15)


@pytest.mark.parametrize("size", [0.012, 0.02, 0.033])
def test_panels_have_the_size_that_is_asked_for(size: float) -> None:
    (mesh,) = panelled([(vessel_facets(footprint(TANKS["box"]), LEVEL), even(size))], LEVEL)
    edges = np.linalg.norm(mesh.corners - np.roll(mesh.corners, 1, axis=1), axis=2)
    assert np.median(edges) == pytest.approx(size, rel=0.15)
    assert edges.max() < 1.9 * size


@pytest.mark.parametrize("budget", [300, 1300, 4000])
@pytest.mark.parametrize("tank", list(TANKS))
def test_a_vessel_keeps_to_its_budget(tank: str, budget: int) -> None:
    facets = vessel_facets(footprint(TANKS[tank]), LEVEL)
    middle = footprint(TANKS[tank]).mean(axis=0) if tank != "L" else [0.05, 0.05]
    plate = Plate(size=(0.06, 0.2), at=(*middle, 0.14))
    law = VesselSpacing(Nearness.to_meshes([coarse_mesh(polyhedron(plate))]))
    longest = longest_edge([(facets, law)], budget)
    (mesh,) = panelled([(facets, lambda p: law.sizes(law.distances(p), longest))], LEVEL)
    slack = 0.4 if tank == "round" and budget != 1300 else 0.2
    assert len(mesh.triangles) == pytest.approx(budget, rel=slack)


def test_walls_are_finer_behind_an_anode_that_comes_close() -> None:
    facets = vessel_facets(footprint(TANKS["box"]), LEVEL)
    plate = coarse_mesh(polyhedron(Plate(size=(0.1, 0.1), at=(-0.19, 0.0, 0.13))))
    law = VesselSpacing(Nearness.to_meshes([plate]))
    longest = longest_edge([(facets, law)], 1300)
    (mesh,) = panelled([(facets, lambda p: law.sizes(law.distances(p), longest))], LEVEL)
    behind = (
        (mesh.centroids[:, 0] < -0.199)
        & (np.abs(mesh.centroids[:, 1]) < 0.04)
        & (np.abs(mesh.centroids[:, 2] - 0.13) < 0.04)
    )
    across = mesh.centroids[:, 0] > 0.199
    assert mesh.areas[behind].mean() < mesh.areas[across].mean() / 8
    assert np.sqrt(mesh.areas[behind].max() / 0.43) < 0.012


def plate_panels(budget: int) -> tuple[Floats, Floats]:
    """Distance from the rim and panel edge, for the broad faces of a plate."""
    solid = polyhedron(Plate(size=(0.2, 0.2), at=(0, 0, 0.13)))
    law = BodySpacing(Nearness.to_segments(sharp_edges(solid, (), LEVEL)), NOTHING, np.inf)
    longest = longest_edge([(solid.facets, law)], budget)
    (mesh,) = panelled([(solid.facets, lambda p: law.sizes(law.distances(p), longest))], LEVEL)
    assert len(mesh.triangles) == pytest.approx(budget, rel=0.2)
    assert len(open_edges([mesh])) == 0
    faces = np.abs(mesh.normals[:, 0]) > 0.99
    y, z = mesh.centroids[faces, 1], mesh.centroids[faces, 2] - 0.13
    return 0.1 - np.maximum(np.abs(y), np.abs(z)), np.sqrt(mesh.areas[faces] / 0.43)


def test_a_plate_is_finer_at_its_edges() -> None:
    rim, size = plate_panels(700)
    assert np.median(size[rim < 0.006]) < 0.5 * np.median(size[rim > 0.05])


def test_the_edge_in_the_liquids_surface_is_not_sharp() -> None:
    solid = polyhedron(Plate(size=(0.2, 0.2), thickness=0.01, at=(0, 0, LEVEL - 0.1)))
    lying = sharp_edges(solid, (), LEVEL)[:, :, 2]
    assert not (lying == LEVEL).all(axis=1).any()
    assert len(lying) == 12 - 4


def test_the_sides_of_a_rods_polygon_are_not_sharp() -> None:
    solid = polyhedron(Rod(diameter=0.02, length=0.1, at=(0, 0, 0.1)))
    edges = sharp_edges(solid, (), LEVEL)
    assert len(edges) == 2 * (len(solid.facets) - 2)
    assert (edges[:, 0, 2] == edges[:, 1, 2]).all()


def test_facets_that_meet_along_part_of_an_edge_share_its_points() -> None:
    up = np.array([0.0, 0.0, 1.0])
    wide = np.array([[0, 0, 0], [2, 0, 0], [2, 1, 0], [0, 1, 0.0]])
    narrow = np.array([[0.5, 1, 0], [1.5, 1, 0], [1.5, 2, 0], [0.5, 2, 0.0]])
    one, other = panelled(
        [
            ((Facet(loops=(wide,), normal=up),), even(0.5)),
            ((Facet(loops=(narrow,), normal=up),), even(0.1)),
        ],
        9.0,
    )
    seam = [
        {tuple(v) for v in m.vertices if v[1] == 1 and 0.5 <= v[0] <= 1.5} for m in (one, other)
    ]
    assert len(seam[1]) == 11
    assert seam[0] == seam[1]


def test_a_facet_with_a_hole() -> None:
    square = np.array([[0, 0, 0], [4, 0, 0], [4, 4, 0], [0, 4, 0.0]])
    hole = np.array([[1, 1, 0], [1, 3, 0], [3, 3, 0], [3, 1, 0.0]])
    facet = Facet(loops=(square, hole), normal=np.array([0.0, 0.0, 1.0]))
    (mesh,) = panelled([((facet,), even(0.4))], 9.0)
    assert mesh.area == pytest.approx(12.0, rel=1e-12)
    assert (mesh.normals @ [0, 0, 1] > 0.999999).all()
    inside = np.abs(mesh.centroids[:, :2] - 2).max(axis=1) < 1
    assert not inside.any()
    assert smallest_angles(mesh).min() > 25
