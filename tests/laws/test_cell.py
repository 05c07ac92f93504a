"""Laws that hold for every cell: closure, volumes, cuts, and what does not depend on the place."""

from dataclasses import replace
from math import cos, hypot, pi, sin, sqrt, tan

import numpy as np
import pytest
from hypothesis import assume, event, given, settings
from hypothesis import strategies as st

from tankside.base.errors import Impossible
from tankside.cell.assembling import assembled
from tankside.cell.bodies import Cell, Role
from tankside.cell.cutting import cut_mesh
from tankside.cell.description import (
    Basket,
    BoxTank,
    CylinderTank,
    PanelBudget,
    PlacedPart,
    Plate,
    PrismTank,
    Rod,
    Tank,
)
from tankside.cell.placing import posed
from tankside.cell.polyhedra import ROD_SIDES
from tankside.cell.tubes import WIRE_SIDES
from tests.unit.cell.scenes import (
    BLOCK,
    LEFT,
    PLAIN,
    RIGHT,
    TOP,
    below_area,
    block,
    open_edges,
    plain,
    sphere,
    windings,
    with_contact,
)

steady = settings(deadline=None, max_examples=10)
COARSE = PanelBudget().scaled(0.1)
BALL = sphere(0.02, 3)

angles = st.floats(-180.0, 180.0)
level = 0.25


def section(diameter: float, sides: int) -> float:
    """Area of the regular polygon with a circle's perimeter [m²]."""
    return (pi * diameter) ** 2 / (4 * sides * tan(pi / sides))


def assert_closed(cell: Cell, seed: int) -> None:
    """Open in the liquid's surface only; the surfaces and their images wind once round the
    solution, and not round anything else."""
    meshes = [body.surface for body in cell.bodies]
    edges = open_edges(meshes)
    assert (edges[:, :, 2] == cell.liquid_level).all()
    assert min(mesh.areas.min() for mesh in meshes) > 0
    total = sum(mesh.area_vectors.sum(axis=0) for mesh in meshes)
    assert np.abs(np.asarray(total)[:2]).max() < 1e-13
    low, high = meshes[0].box
    points = np.random.default_rng(seed).uniform(low, high, (25, 3))
    wound = windings(cell, points)
    assert np.abs(wound - np.round(wound)).max() < 1e-8
    assert set(np.round(wound).tolist()) <= {-1.0, 0.0}


@steady
@given(x=st.floats(-0.08, 0.08), y=st.floats(-0.1, 0.1), z=st.floats(-0.05, 0.03))
def test_moving_part_and_wire_sideways_changes_nothing_but_the_gaps(
    x: float, y: float, z: float
) -> None:
    anodes = (Rod(diameter=0.01, length=0.2, at=(-0.13, 0.0, 0.2)),)
    cells = []
    for dx, dy, dz in ((0.0, 0.0, 0.0), (x, y, 0.0), (x, y, z)):
        moved = plain(
            anodes=anodes,
            parts=(replace(BLOCK, at=(dx, dy, 0.14 + dz)),),
            contacts=(replace(TOP, near=(dx, dy, 0.17 + dz)),),
        )
        cells.append(assembled(moved, panels=COARSE))
    still, aside, away = cells
    assert aside.solution_volume == pytest.approx(still.solution_volume, rel=1e-12)
    wire = section(TOP.wire_diameter, WIRE_SIDES)
    assert away.solution_volume == pytest.approx(still.solution_volume + z * wire, rel=1e-12)
    for role in (Role.PART, Role.ANODE):
        (one,), (other,) = still.of_role(role), aside.of_role(role)
        assert other.surface.area == pytest.approx(one.surface.area, rel=1e-9)


@steady
@given(x=angles, y=angles, z=angles)
def test_turning_the_part_changes_neither_its_area_nor_the_solutions_volume(
    x: float, y: float, z: float
) -> None:
    ball = PlacedPart(surface=block((0.03, 0.02, 0.05), 2), at=(0, 0, 0.12), rotation=(x, y, z))
    held = replace(TOP, near=(0.0, 0.0, 0.13))
    cell = assembled(plain(parts=(ball,), contacts=(held,)), panels=COARSE)
    (part,), (contact,) = cell.of_role(Role.PART), cell.contacts
    assert part.surface.area == pytest.approx(2 * (0.0006 + 0.0015 + 0.001), rel=1e-12)
    wire = section(TOP.wire_diameter, WIRE_SIDES) * contact.wet_length
    assert cell.solution_volume == pytest.approx(
        0.018 - 0.16 * 0.003 * 0.39 - 3e-5 - wire, rel=1e-9
    )
    assert_closed(cell, 3)


@steady
@given(
    diameter=st.floats(0.004, 0.04),
    tilt=st.floats(0.0, 50.0),
    round_about=angles,
    height=st.floats(0.13, 0.22),
)
def test_a_cut_rod_has_the_area_and_volume_of_the_cut_polygon(
    diameter: float, tilt: float, round_about: float, height: float
) -> None:
    lean, turn = np.deg2rad([tilt, round_about])
    axis = (sin(lean) * cos(turn), sin(lean) * sin(turn), cos(lean))
    length = 0.4
    reach = length / 2 * axis[2] - (0.25 - height)
    if length / 2 * abs(axis[2]) + diameter / 2 * sin(lean) > height - 0.005 or reach < 0.03:
        axis, length = (0.0, 0.0, 1.0), 2 * (height - 0.01)
    rod = Rod(diameter=diameter, length=length, at=(0.0, 0.0, height), axis=axis)
    tank = BoxTank(inside=(1.0, 1.0, 0.6))
    thief = Rod(diameter=0.01, length=0.1, at=(0.45, 0.45, 0.15))
    cell = assembled(
        replace(PLAIN, tank=tank, anodes=(rod,), parts=(), contacts=(), thieves=(thief,)),
        panels=COARSE,
    )
    (anode,), (other,) = cell.of_role(Role.ANODE), cell.of_role(Role.THIEF)
    wet = length / 2 + (0.25 - height) / axis[2]
    area = section(diameter, ROD_SIDES)
    assert anode.surface.area == pytest.approx(pi * diameter * wet + area, rel=1e-9)
    assert cell.solution_volume == pytest.approx(
        0.25 - area * wet - other.surface.signed_volume, rel=1e-12
    )


@steady
@given(top=st.floats(0.2, 0.34), thickness=st.floats(5e-4, 0.02), turn=st.floats(-60, 60))
def test_a_cut_plate_has_the_area_that_is_wet(top: float, thickness: float, turn: float) -> None:
    facing = (cos(np.deg2rad(turn)), sin(np.deg2rad(turn)), 0.0)
    plate = Plate(
        size=(0.05, 0.15), thickness=thickness, at=(-0.08, 0.0, top - 0.075), facing=facing
    )
    assume(abs(top - level) > 0.0015)
    wet = min(top, level) - (top - 0.15)
    cell = assembled(plain(anodes=(plate,)), panels=COARSE)
    (anode,) = cell.of_role(Role.ANODE)
    ends = (1 if top > level else 2) * 0.05 * thickness
    assert anode.surface.area == pytest.approx(2 * wet * (0.05 + thickness) + ends, rel=1e-9)
    assert anode.surface.vertices[:, 2].max() <= level


@steady
@given(height=st.floats(-0.0195, 0.0195), x=angles, y=angles)
def test_a_cut_ball_is_open_in_the_plane_only(height: float, x: float, y: float) -> None:
    ball = posed(BALL, (0.0, 0.0, 0.0), (x, y, 0.0))
    if ball.vertices[:, 2].min() > height - 1e-4 or ball.vertices[:, 2].max() < height + 1e-4:
        assume(False)
    cut = cut_mesh(ball, height)
    edges = open_edges([cut])
    assert len(edges)
    assert (edges[:, :, 2] == height).all()
    assert cut.vertices[:, 2].max() == height
    assert np.abs(cut.area_vectors.sum(axis=0)[:2]).max() < 1e-12
    assert cut.area == pytest.approx(2 * pi * 0.02 * (height + 0.02), abs=0.04 * 4 * pi * 0.02**2)


@settings(deadline=None, max_examples=60)
@given(height=st.floats(-0.05, 0.05), x=angles, y=angles, z=angles)
def test_a_cut_block_keeps_the_area_of_its_flat_sides(
    height: float, x: float, y: float, z: float
) -> None:
    turned = posed(block((0.03, 0.05, 0.08), 3), (0.0, 0.0, 0.0), (x, y, z))
    assume(turned.vertices[:, 2].min() < height - 1e-6)
    cut = cut_mesh(turned, height)
    assert cut.areas.min() > 0
    assert cut.area == pytest.approx(below_area(turned, height), rel=1e-7)
    assert cut.vertices[:, 2].max() <= height
    edges = open_edges([cut])
    assert (edges[:, :, 2] == height).all()


tanks = st.one_of(
    st.builds(lambda x, y: BoxTank(inside=(x, y, 0.3)), st.floats(0.24, 0.5), st.floats(0.2, 0.5)),
    st.builds(lambda d: CylinderTank(diameter=d, height=0.3), st.floats(0.28, 0.5)),
    st.builds(
        lambda r, k, turn: PrismTank(
            footprint=tuple(
                (r * cos(2 * pi * j / k + turn), r * sin(2 * pi * j / k + turn)) for j in range(k)
            ),
            height=0.3,
        ),
        st.floats(0.25, 0.4),
        st.integers(3, 7),
        st.floats(0, 6),
    ),
)


@steady
@given(
    tank=tanks,
    tilt=st.floats(-0.4, 0.4),
    height=st.floats(0.15, 0.3),
    depth=st.floats(0.22, 0.28),
    seed=st.integers(0, 1000),
)
def test_every_tank_with_cut_anodes_and_wires_is_closed(
    tank: Tank, tilt: float, height: float, depth: float, seed: int
) -> None:
    description = replace(
        PLAIN,
        tank=tank,
        liquid_depth=depth,
        anodes=(
            Plate(size=(0.06, 0.12), at=(-0.06, 0.0, height), facing=(1.0, 0.2, tilt)),
            Basket(size=(0.02, 0.05, 0.2), at=(0.06, 0.0, height), facing=(1.0, tilt, 0.0)),
        ),
    )
    try:
        cell = assembled(description, panels=COARSE)
    except Impossible as refused:
        event(f"refused: {str(refused)[:30]}")
        assume(False)
    assert_closed(cell, seed)


@steady
@given(
    side=st.sampled_from([(-1, 0), (1, 0), (0, -1), (0, 1)]),
    width=st.floats(0.02, 0.16),
    along=st.floats(-1.0, 1.0),
    low=st.one_of(st.just(0.0), st.floats(0.002, 0.1)),
    high=st.floats(0.15, 0.3),
    thickness=st.floats(1e-3, 0.02),
    seed=st.integers(0, 1000),
)
def test_a_plate_flat_on_a_wall_takes_its_back_from_both(
    side: tuple[int, int],
    width: float,
    along: float,
    low: float,
    high: float,
    thickness: float,
    seed: int,
) -> None:
    assume(abs(high - level) > 0.0015)
    half = (0.15 if side[0] else 0.12) - thickness / 2
    room = (0.12 if side[0] else 0.15) - width / 2
    place = np.clip(along, -1, 1) * (room - 0.002)
    at = (side[0] * half + (0 if side[0] else place), side[1] * half + (place if side[0] else 0))
    plate = Plate(
        size=(width, high - low),
        thickness=thickness,
        at=(*at, (low + high) / 2),
        facing=(-side[0], -side[1], 0.0),
    )
    try:
        cell = assembled(plain(anodes=(plate,)), panels=COARSE)
    except Impossible as refused:
        event(f"refused: {str(refused)[:30]}")
        assume(False)
    wet = min(high, level) - low
    ends = (0 if low == 0 else 1) + (0 if high > level else 1)
    (anode,), (shell,) = cell.of_role(Role.ANODE), cell.of_role(Role.VESSEL)
    assert anode.surface.area == pytest.approx(
        wet * (width + 2 * thickness) + ends * width * thickness, rel=1e-9
    )
    floor = width * thickness if low == 0 else 0.0
    assert shell.surface.area == pytest.approx(0.072 + 1.08 * level - wet * width - floor, rel=1e-9)
    assert_closed(cell, seed)


@steady
@given(scale=st.floats(0.5, 3.0))
def test_a_cell_of_another_size_has_the_same_shape(scale: float) -> None:
    def grown(*values: float) -> tuple[float, ...]:
        return tuple(scale * value for value in values)

    def vector(values: tuple[float, float, float]) -> tuple[float, float, float]:
        return (scale * values[0], scale * values[1], scale * values[2])

    large = replace(
        PLAIN,
        tank=BoxTank(inside=vector((0.3, 0.24, 0.3))),
        liquid_depth=scale * level,
        anodes=tuple(
            replace(
                anode,
                size=grown(*anode.size),
                thickness=scale * anode.thickness,
                at=vector(anode.at),
            )
            for anode in (LEFT, RIGHT)
        ),
        parts=(PlacedPart(surface=block(vector((0.03, 0.02, 0.06))), at=vector(BLOCK.at)),),
        contacts=(replace(TOP, near=vector(TOP.near), wire_diameter=scale * TOP.wire_diameter),),
    )
    one, other = assembled(PLAIN, panels=COARSE), assembled(large, panels=COARSE)
    assert other.solution_volume == pytest.approx(scale**3 * one.solution_volume, rel=1e-9)
    for a, b in zip(one.bodies, other.bodies, strict=True):
        assert b.surface.area == pytest.approx(scale**2 * a.surface.area, rel=1e-9)
        assert len(b.surface.triangles) == pytest.approx(len(a.surface.triangles), rel=0.1)
    for gap in one.gaps:
        assert other.gap(gap.first, gap.second) == pytest.approx(scale * gap.distance, abs=1e-7)


@steady
@given(
    gap=st.floats(0.0012, 0.05),
    x=angles,
    up=st.floats(-0.02, 0.02),
)
def test_the_gap_between_a_ball_and_a_plate_is_the_ball_s_height_over_it(
    gap: float, x: float, up: float
) -> None:
    ball = PlacedPart(surface=BALL, at=(0.0, 0.0, 0.14 + up), rotation=(x, 2 * x, 0.0))
    reach = -posed(BALL, (0, 0, 0), (x, 2 * x, 0)).vertices[:, 0].min()
    plate = Plate(size=(0.1, 0.1), thickness=0.002, at=(-reach - gap - 0.001, 0.0, 0.14))
    cell = assembled(
        plain(
            anodes=(plate,),
            parts=(ball,),
            contacts=(replace(TOP, near=(0.0, 0.0, 0.16 + up)),),
        ),
        panels=COARSE,
    )
    assert cell.gap("part 1", "anode 1") == pytest.approx(gap, abs=1e-9)


@steady
@given(asked=st.tuples(st.floats(-0.02, 0.02), st.floats(-0.015, 0.015), st.floats(0.105, 0.175)))
def test_a_contact_lies_on_the_part_at_its_nearest_place(
    asked: tuple[float, float, float],
) -> None:
    try:
        cell = assembled(with_contact(near=asked), panels=COARSE)
    except Impossible as refused:
        event(f"refused: {str(refused)[:30]}")
        assume(False)
    (contact,) = cell.contacts
    offset = np.abs(np.array(asked) - BLOCK.at) - [0.015, 0.01, 0.03]
    outside = hypot(*np.maximum(offset, 0.0))
    inside = -min(0.0, float(offset.max()))
    assert contact.snapped_distance == pytest.approx(max(outside, inside), abs=1e-12)
    on = np.abs(np.abs(contact.position - BLOCK.at) - [0.015, 0.01, 0.03]).min()
    assert on < 1e-12
    assert sqrt(float(contact.normal @ contact.normal)) == pytest.approx(1.0)
