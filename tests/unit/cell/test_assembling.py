"""Whole cells: bodies, closure, volume, gaps, contacts, panels."""

from dataclasses import replace
from math import pi, tan

import numpy as np
import pytest

from tankside.base.errors import Cancelled
from tankside.cell.assembling import assembled
from tankside.cell.bodies import Cell, Role
from tankside.cell.coating import even_coat
from tankside.cell.description import (
    Basket,
    BentWire,
    BoxTank,
    CellDescription,
    CylinderTank,
    MeshShape,
    PanelBudget,
    PlacedPart,
    Plate,
    PrismTank,
    Ring,
    Rod,
)
from tankside.cell.nearness import Nearness
from tankside.cell.polyhedra import coarse_mesh, polyhedron
from tankside.part.mesh import TriangleMesh
from tankside.part.surface import AnalysisSurface
from tests.unit.cell.scenes import (
    BLOCK,
    FEW,
    PLAIN,
    TOP,
    block,
    open_edges,
    plain,
    smallest_angles,
    sphere,
    torus,
    windings,
    with_part,
)

FULL = CellDescription(
    tank=CylinderTank(diameter=0.24, height=0.3),
    liquid_depth=0.25,
    anodes=(
        Rod(diameter=0.015, length=0.26, at=(0.09, 0.0, 0.15)),
        Rod(diameter=0.015, length=0.26, at=(-0.09, 0.0, 0.18), axis=(0.1, 0.0, 1.0)),
        MeshShape(mesh=block((0.01, 0.08, 0.2)), at=(0.0, 0.09, 0.2), rotation=(10.0, 0.0, 90.0)),
    ),
    shields=(Ring(inner_diameter=0.08, outer_diameter=0.12, thickness=0.004, at=(0, 0, 0.08)),),
    thieves=(
        BentWire(
            diameter=0.002,
            points=(
                (-0.05, -0.05, 0.3),
                (-0.05, -0.05, 0.12),
                (0.05, -0.05, 0.12),
                (0.05, -0.05, 0.3),
            ),
        ),
    ),
    parts=(
        PlacedPart(
            surface=torus(0.03, 0.008), at=(0, 0, 0.15), rotation=(90, 0, 0), coat=even_coat(3.0)
        ),
    ),
    contacts=(
        replace(TOP, near=(0, 0, 0.19)),
        replace(TOP, near=(0, 0, 0.128)),
        replace(TOP, near=(0.03, -0.01, 0.15), insulated=True),
    ),
)
"""One of everything, in a round tank."""

ELL = replace(
    PLAIN,
    tank=PrismTank(
        footprint=((0, 0), (0.3, 0), (0.3, 0.12), (0.12, 0.12), (0.12, 0.3), (0, 0.3)), height=0.3
    ),
    anodes=(
        Plate(size=(0.08, 0.2), at=(0.06, 0.24, 0.2), facing=(0.2, -1, 0.3)),
        Basket(size=(0.03, 0.06, 0.3), at=(0.03, 0.06, 0.2)),
    ),
    parts=(replace(BLOCK, at=(0.22, 0.06, 0.1), rotation=(30, 20, 10)),),
    contacts=(replace(TOP, near=(0.22, 0.06, 0.135)),),
)


@pytest.fixture(scope="module", params=["plain", "full", "ell"])
def cell(request: pytest.FixtureRequest) -> Cell:
    return assembled({"plain": PLAIN, "full": FULL, "ell": ELL}[request.param])


def test_winds_once_round_the_solution_and_not_round_anything_else(cell: Cell) -> None:
    low, high = cell.bodies[0].surface.box
    points = np.random.default_rng(1).uniform(low - 0.02, [*high[:2] + 0.02, 0.25], (80, 3))
    inside = [body.surface for body in cell.bodies if body.role in (Role.PART, Role.ANODE)]
    within = [mesh.centroids[:4] - 1e-4 * mesh.normals[:4] for mesh in inside]
    before = [mesh.centroids[:4] + 1e-4 * mesh.normals[:4] for mesh in inside]
    points = np.concatenate([points, *within, *before])
    wound = windings(cell, points)
    assert np.abs(wound - np.round(wound)).max() < 1e-9
    assert set(np.round(wound).tolist()) == {-1.0, 0.0}
    assert np.round(wound)[80 : 80 + 4 * len(inside)].tolist() == [0.0] * 4 * len(inside)
    assert np.round(wound)[80 + 4 * len(inside) :].tolist() == [-1.0] * 4 * len(inside)


def test_bodies_are_closed_but_for_the_liquids_surface(cell: Cell) -> None:
    for body in cell.bodies:
        edges = open_edges([body.surface])
        assert (edges[:, :, 2] == cell.liquid_level).all(), body.name
        assert body.surface.vertices[:, 2].max() <= cell.liquid_level
    total = sum(body.surface.area_vectors.sum(axis=0) for body in cell.bodies)
    assert np.abs(np.asarray(total)[:2]).max() < 1e-14


def test_the_volume_is_the_tanks_less_what_stands_in_it(cell: Cell) -> None:
    shell, *bodies = (body.surface for body in cell.bodies)
    level = np.array([0.0, 0.0, cell.liquid_level])

    def under(mesh: TriangleMesh) -> float:
        centroids = mesh.centroids - level
        return float(np.einsum("ij,ij->", centroids, mesh.area_vectors)) / 3

    assert cell.solution_volume == pytest.approx(-under(shell) - sum(map(under, bodies)), rel=1e-12)


def test_panels_are_well_shaped(cell: Cell) -> None:
    for body in cell.bodies:
        angles = smallest_angles(body.surface)
        if body.role is Role.VESSEL:
            assert np.percentile(angles, 5) > 30
            assert angles.min() > 18
        if body.role is Role.ANODE and body.name != "anode 3":
            assert angles.min() > 17
        if "wire" in body.name:
            assert angles.min() > np.rad2deg(np.arctan(1 / 13))


def test_bodies_come_in_order_of_role_and_number(cell: Cell) -> None:
    order = list(Role)
    keys = [(order.index(body.role), body.number) for body in cell.bodies]
    assert keys == sorted(keys)
    assert cell.bodies[0].name == "the tank"
    assert len(set(keys)) == len(keys)


def test_gaps_are_sorted_and_name_everything(cell: Cell) -> None:
    distances = [gap.distance for gap in cell.gaps]
    assert distances == sorted(distances)
    named = {name for gap in cell.gaps for name in (gap.first, gap.second)}
    assert named >= {body.name for body in cell.bodies} - {"the tank"}
    assert {"the tank's wall", "the tank's floor"} <= named


@pytest.fixture(scope="module")
def usual() -> Cell:
    return assembled(PLAIN)


def test_the_solutions_volume_of_the_plain_cell(usual: Cell) -> None:
    wire = (pi * 0.8e-3) ** 2 / (4 * 6 * tan(pi / 6)) * (0.08 - 0.4e-3)
    bodies = 0.03 * 0.02 * 0.06 + 0.16 * 0.003 * (0.2 + 0.19) + wire
    assert usual.solution_volume == pytest.approx(0.3 * 0.24 * 0.25 - bodies, rel=1e-12)


def test_gaps_of_the_plain_cell(usual: Cell) -> None:
    cell = usual
    assert cell.gap("part 1", "anode 1") == pytest.approx(0.13 - 0.0015 - 0.015, abs=1e-12)
    assert cell.gap("anode 1", "anode 2") == pytest.approx(0.257, abs=1e-12)
    assert cell.gap("anode 1", "the tank's wall") == pytest.approx(0.0185, abs=1e-7)
    assert cell.gap("the tank's floor", "part 1") == pytest.approx(0.11, abs=1e-12)
    assert cell.gap("part 1", "the liquid's surface") == pytest.approx(0.08, abs=1e-12)
    with pytest.raises(LookupError, match="no gap between 'anode 2' and"):
        cell.gap("anode 2", "the liquid's surface")
    with pytest.raises(LookupError):
        cell.gap("part 1", "the wire of contact 1")


def test_only_the_wet_part_counts_for_a_gap() -> None:
    leaning = Plate(size=(0.05, 0.1), at=(-0.1, 0, 0.27), facing=(1, 0, -1))
    high = replace(BLOCK, at=(0.0, 0.0, 0.21))
    contact = replace(TOP, near=(0, 0, 0.24))
    cell = assembled(plain(anodes=(leaning,), parts=(high,), contacts=(contact,)), panels=FEW)
    (anode,), (part,) = cell.of_role(Role.ANODE), cell.of_role(Role.PART)
    wet = Nearness.to_meshes([part.surface]).distances(anode.surface.vertices).min()
    assert anode.surface.box[1][2] == 0.25
    assert cell.gap("part 1", "anode 1") == pytest.approx(wet, abs=1e-9)
    whole = coarse_mesh(polyhedron(leaning))
    dry = Nearness.to_meshes([whole]).distances(part.surface.vertices).min()
    assert dry < wet - 1e-3


def test_a_part_keeps_its_triangles_in_order_and_carries_its_coat(usual: Cell) -> None:
    turned = with_part(rotation=(0, 0, 90), coat=even_coat(3.0))
    (part,) = assembled(turned, panels=FEW).of_role(Role.PART)
    assert part.coat is not None
    assert (part.coat.best == 3.0).all()
    assert (part.surface.triangles == BLOCK.surface.triangles).all()  # type: ignore[union-attr]
    assert part.surface.box[1] == pytest.approx([0.01, 0.015, 0.17])
    (metal,) = usual.of_role(Role.PART)
    assert metal.coat is None


def test_a_part_may_come_as_an_analysis_surface(usual: Cell) -> None:
    mesh = block((0.03, 0.02, 0.06))
    skin = AnalysisSurface(
        mesh=mesh,
        original_triangle=np.zeros(len(mesh.triangles)),
        route="direct",
        largest_distance=0.0,
        area_change=0.0,
        smallest_angle_5_percent=0.5,
    )
    cell = assembled(with_part(surface=skin), panels=FEW)
    assert cell.solution_volume == pytest.approx(usual.solution_volume, rel=1e-12)


def test_contacts_know_their_triangle_wire_and_way() -> None:
    parts = (BLOCK, PlacedPart(surface=sphere(0.02), at=(0, 0.06, 0.14)))
    specs = (replace(TOP, near=(0, 0.06, 0.163)), TOP)
    cell = assembled(plain(parts=parts, contacts=specs), panels=FEW)
    first, second = cell.contacts
    assert (first.number, first.part, second.number, second.part) == (1, 2, 2, 1)
    ball = cell.of_role(Role.PART)[1].surface
    assert np.linalg.norm(ball.centroids[first.triangle] - first.position) < 0.004
    assert np.linalg.norm(ball.vertices[first.vertex] - first.position) < 0.004
    assert first.snapped_distance == pytest.approx(0.003, abs=1e-4)
    assert first.wire_diameter == 0.8e-3
    with pytest.raises(ValueError, match="read-only"):
        first.position[0] = 1.0


@pytest.mark.parametrize("factor", [0.3, 1.0, 3.0])
def test_panels_follow_the_budget(factor: float) -> None:
    budget = PanelBudget().scaled(factor)
    cell = assembled(PLAIN, panels=budget)
    (shell,) = cell.of_role(Role.VESSEL)
    assert len(shell.surface.triangles) == pytest.approx(budget.vessel, rel=0.2)
    anodes = sum(len(body.surface.triangles) for body in cell.of_role(Role.ANODE))
    assert anodes == pytest.approx(budget.anodes, rel=0.2)
    wires = sum(len(body.surface.triangles) for body in cell.of_role(Role.WIRE))
    assert wires <= 1.05 * budget.wires


def test_the_usual_cell_has_three_to_four_thousand_panels() -> None:
    two = plain(contacts=(TOP, replace(TOP, near=(0.01, 0, 0.17))))
    cell = assembled(two)
    panels = sum(len(body.surface.triangles) for body in cell.bodies if body.role is not Role.PART)
    assert 3000 < panels < 4200


def test_progress_is_told_and_may_cancel() -> None:
    told: list[tuple[str, float]] = []
    assembled(PLAIN, panels=FEW, progress=lambda stage, done: told.append((stage, done)))
    assert told[0][0] == "standing things in the tank"
    assert told[-1] == ("laying panels", 1.0)
    assert all(0 <= done <= 1 for _, done in told)

    def stop(stage: str, done: float) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        assembled(PLAIN, progress=stop)


def test_a_thief_alone_is_a_cathode() -> None:
    bar = Rod(diameter=0.01, length=0.2, at=(0, 0, 0.2))
    cell = assembled(plain(parts=(), contacts=(), thieves=(bar,)), panels=FEW)
    assert [body.role for body in cell.bodies if body.role.is_cathode] == [Role.THIEF]


def test_the_same_description_gives_the_same_panels() -> None:
    one, other = assembled(FULL, panels=FEW), assembled(FULL, panels=FEW)
    for a, b in zip(one.bodies, other.bodies, strict=True):
        assert (a.surface.vertices == b.surface.vertices).all()
        assert (a.surface.triangles == b.surface.triangles).all()


def test_a_tank_just_deep_enough() -> None:
    cell = assembled(plain(tank=BoxTank(inside=(0.3, 0.24, 0.25))), panels=FEW)
    assert cell.liquid_level == 0.25
