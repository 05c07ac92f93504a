"""Flat-faced solids: volumes, areas and cuts against exact figures."""

from math import pi, tan

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.cell.description import (
    Basket,
    BoxTank,
    CylinderTank,
    Lining,
    Plate,
    PrismTank,
    Ring,
    Rod,
    Shape,
)
from tankside.cell.polyhedra import (
    RING_SIDES,
    ROD_SIDES,
    Polyhedron,
    coarse_mesh,
    cut_below,
    footprint,
    polyhedron,
    tank_height,
    vessel_facets,
)

PLATE = Plate(size=(0.2, 0.1), thickness=0.004, at=(0.1, 0.2, 0.3), facing=(1.0, 2.0, 0.5))


def area_vectors(solid: Polyhedron) -> Floats:
    rows = []
    for facet in solid.facets:
        edges = facet.outline - facet.outline[0]
        rows.append(np.cross(edges[1:-1], edges[2:]).sum(axis=0) / 2)
    return np.array(rows)


def polygon_area(diameter: float, sides: int) -> float:
    """Of the regular polygon with the circle's perimeter: P² / (4 n tan(pi / n))."""
    return (pi * diameter) ** 2 / (4 * sides * tan(pi / sides))


@pytest.mark.parametrize(
    ("shape", "volume", "area"),
    [
        (PLATE, 8e-5, 2 * (0.02 + 8e-4 + 4e-4)),
        (Basket(size=(0.03, 0.1, 0.2), at=(0, 0, 0)), 6e-4, 2 * (0.003 + 0.006 + 0.02)),
        (
            Rod(diameter=0.02, length=0.3, at=(0, 0, 0), axis=(1, 1, 1)),
            0.3 * polygon_area(0.02, ROD_SIDES),
            pi * 0.02 * 0.3 + 2 * polygon_area(0.02, ROD_SIDES),
        ),
        (
            Ring(inner_diameter=0.04, outer_diameter=0.1, thickness=0.005, at=(0, 0, 1)),
            0.005 * (polygon_area(0.1, RING_SIDES) - polygon_area(0.04, RING_SIDES)),
            pi * 0.14 * 0.005
            + 2 * (polygon_area(0.1, RING_SIDES) - polygon_area(0.04, RING_SIDES)),
        ),
    ],
)
def test_solids_have_the_volume_and_area_of_their_figures(
    shape: Shape, volume: float, area: float
) -> None:
    mesh = coarse_mesh(polyhedron(shape))
    assert mesh.signed_volume == pytest.approx(volume, rel=1e-12)
    assert mesh.area == pytest.approx(area, rel=1e-12)
    assert np.abs(mesh.area_vectors.sum(axis=0)).max() < 1e-15


def test_a_plate_stands_level_and_faces_where_it_is_told() -> None:
    back, front, *sides = polyhedron(PLATE).facets
    assert front.normal == pytest.approx(np.array([1, 2, 0.5]) / np.sqrt(5.25))
    assert back.normal == pytest.approx(-front.normal)
    assert front.outline.mean(axis=0) == pytest.approx(np.array(PLATE.at) + 0.002 * front.normal)
    level = [abs(facet.normal[2]) < 1e-12 for facet in sides]
    assert level == [False, True, False, True]


def test_a_plate_that_lies_flat_has_its_width_along_x() -> None:
    low, high = coarse_mesh(
        polyhedron(Plate(size=(0.2, 0.1), thickness=0.01, at=(0, 0, 0), facing=(0, 0, -1)))
    ).box
    assert high - low == pytest.approx([0.2, 0.1, 0.01])


def test_a_basket_that_faces_along_x_has_its_size_along_x_y_z() -> None:
    low, high = coarse_mesh(polyhedron(Basket(size=(0.03, 0.1, 0.2), at=(1, 2, 3)))).box
    assert high - low == pytest.approx([0.03, 0.1, 0.2])
    assert (high + low) / 2 == pytest.approx([1, 2, 3])


def test_a_lining_is_the_one_facet_that_touches_the_wall() -> None:
    sheet = polyhedron(Lining(size=(0.2, 0.1), at=(-0.5, 0.1, 0.2), facing=(1, 0, 0)))
    (facet,) = sheet.facets
    assert facet.normal == pytest.approx([-1, 0, 0])
    assert (facet.outline[:, 0] == -0.5).all()
    assert np.ptp(facet.outline, axis=0) == pytest.approx([0, 0.2, 0.1])
    low, high = coarse_mesh(sheet).box
    assert (low[0], high[0]) == pytest.approx((-0.501, -0.5))


@pytest.mark.parametrize("level", [0.29, 0.3, 0.325])
def test_a_cut_is_exact_and_leaves_nothing_in_the_plane(level: float) -> None:
    cut = cut_below(polyhedron(PLATE), level)
    corners = np.concatenate([facet.outline for facet in cut.facets])
    assert corners[:, 2].max() == level
    assert not any((facet.outline[:, 2] == level).all() for facet in cut.facets)
    total = area_vectors(cut).sum(axis=0)
    assert total[:2] == pytest.approx([0, 0], abs=1e-16)
    assert total[2] < 0
    whole = area_vectors(polyhedron(PLATE))
    for facet, vector in zip(cut.facets, area_vectors(cut), strict=True):
        assert vector == pytest.approx(np.linalg.norm(vector) * facet.normal)
    assert np.linalg.norm(area_vectors(cut), axis=1).max() <= np.linalg.norm(whole, axis=1).max()


def test_a_top_within_a_nanometre_of_the_liquid_counts_as_in_it() -> None:
    plate = polyhedron(Plate(size=(0.1, 0.1), thickness=0.01, at=(0, 0, 0.2)))
    cut = cut_below(plate, 0.25 + 4e-10)
    assert len(cut.facets) == 5
    assert max(facet.outline[:, 2].max() for facet in cut.facets) == 0.25 + 4e-10


def test_what_lies_under_the_liquid_is_not_touched() -> None:
    solid = polyhedron(PLATE)
    for facet, given in zip(cut_below(solid, 1.0).facets, solid.facets, strict=True):
        assert (facet.outline == given.outline).all()


def test_floor_and_walls_of_each_tank() -> None:
    box = footprint(BoxTank(inside=(0.4, 0.24, 0.3)))
    facets = vessel_facets(box, 0.26)
    floor, *walls = facets
    assert floor.normal == pytest.approx([0, 0, 1])
    assert len(walls) == 4
    for wall in walls:
        assert wall.normal @ ([0, 0, 0.13] - wall.outline[0]) > 0
    vessel = Polyhedron(facets=facets)
    areas = np.linalg.norm(area_vectors(vessel), axis=1)
    assert areas.sum() == pytest.approx(0.096 + 2 * 0.64 * 0.26)


def test_a_round_tank_has_the_circles_area() -> None:
    corners = footprint(CylinderTank(diameter=0.24, height=0.3))
    after = np.roll(corners, -1, axis=0)
    area = (corners[:, 0] * after[:, 1] - corners[:, 1] * after[:, 0]).sum() / 2
    assert area == pytest.approx(pi * 0.12**2, rel=1e-12)
    assert tank_height(CylinderTank(diameter=0.24, height=0.3)) == 0.3


def test_a_footprint_may_run_either_way_and_hold_corners_on_straights() -> None:
    clockwise = ((0.0, 0.0), (0.0, 0.2), (0.15, 0.2), (0.3, 0.2), (0.3, 0.0))
    corners = footprint(PrismTank(footprint=clockwise, height=0.1))
    assert corners.tolist() == [[0.3, 0.0], [0.3, 0.2], [0.0, 0.2], [0.0, 0.0]]


def test_other_shapes_have_no_flat_facets() -> None:
    with pytest.raises(TypeError, match="no flat facets"):
        polyhedron(object())
