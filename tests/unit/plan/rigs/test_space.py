"""Designs are rigs: the own design changes nothing, and every design stays in the tank."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tankside.base.errors import BadInput
from tankside.cell.description import Plate
from tankside.plan.rigs.additions import AuxiliaryFreedom
from tankside.plan.rigs.anode_places import half_box
from tankside.plan.rigs.freedom import CLEARANCE
from tankside.plan.rigs.rig import STEP_M, Rig, box_of
from tankside.plan.rigs.space import DesignSpace, Freedoms, design_space
from tests.unit.plan.rigs.conftest import cup, hung

ALL = Freedoms(shields=1, thieves=1, current=True)
CUP = hung(cup(), (0.0175, 0.0, 0.09))
SPACE = design_space(CUP, ALL, 1.0)


def share(space: DesignSpace, freedom: str, variable: str) -> int:
    """The place of a variable in a design."""
    names = [(f.name, v.name) for f in space.freedoms for v in f.variables]
    return names.index((freedom, variable))


def test_the_own_design_is_the_own_rig() -> None:
    assert SPACE.rig(SPACE.own, CUP) == CUP
    assert SPACE.changed(SPACE.own) == ()


def test_every_freedom_is_there_and_in_order() -> None:
    assert [freedom.name for freedom in SPACE.freedoms] == [
        "pose of part 1",
        "place of anode 1",
        "place of anode 2",
        "an anode in the recess of part 1",
        "new shield 1",
        "new thief 1",
        "contacts of part 1",
        "a turn part-way",
        "the current",
    ]
    assert len(SPACE.own) == len(SPACE.variables) == SPACE.places[-1].stop


def test_nothing_allowed_is_refused() -> None:
    none = Freedoms(pose=False, contacts=False, anodes=False, auxiliary=0, turn=False)
    with pytest.raises(BadInput, match="nothing may be changed"):
        design_space(CUP, none, 1.0)


designs = st.lists(st.floats(0.0, 1.0), min_size=len(SPACE.own), max_size=len(SPACE.own)).map(
    np.array
)


ALL_BUT_UPRIGHT = np.zeros(len(SPACE.own))
ALL_BUT_UPRIGHT[12], ALL_BUT_UPRIGHT[15] = 1.2e-7, 1.0
"""A sheet above the part whose bearing a job file's digits do not hold."""


@settings(max_examples=40)
@example(ALL_BUT_UPRIGHT)
@given(designs)
def test_parts_and_sheets_stay_in_the_tank(
    design: "np.ndarray[tuple[int], np.dtype[np.float64]]",
) -> None:
    rig = SPACE.rig(design, CUP)
    low, high = box_of(rig.description.parts[0])
    slack = CLEARANCE - STEP_M - 1e-3  # whole degrees widen a box a little
    assert (np.abs([low[0], high[0]]) < 0.12 - slack).all()
    assert (np.abs([low[1], high[1]]) < 0.08 - slack).all()
    assert low[2] > slack
    assert high[2] < 0.14 - slack
    for anode in rig.description.anodes[:2]:
        assert isinstance(anode, Plate)
        half, _ = half_box(anode, -np.array(anode.facing))
        room = np.array([0.12, 0.08]) - half[:2]
        fits = room >= CLEARANCE  # a sheet that fits nowhere is left for the cell to refuse
        assert (np.abs(anode.at[:2]) < room)[fits].all()


@settings(max_examples=40)
@given(designs, designs)
def test_distance_is_a_distance(
    one: "np.ndarray[tuple[int], np.dtype[np.float64]]",
    other: "np.ndarray[tuple[int], np.dtype[np.float64]]",
) -> None:
    assert SPACE.distance(one, one) == 0.0
    assert SPACE.distance(one, other) == pytest.approx(SPACE.distance(other, one))
    via = SPACE.distance(one, SPACE.own) + SPACE.distance(SPACE.own, other)
    assert SPACE.distance(one, other) <= via + 1e-12


def test_bearings_go_round() -> None:
    one, other = SPACE.own.copy(), SPACE.own.copy()
    place = share(SPACE, "place of anode 1", "bearing")
    one[place], other[place] = 0.001, 0.999
    assert SPACE.distance(one, other) < 0.02
    assert SPACE.settled(one - 1.0)[place] == pytest.approx(0.001)


def test_what_is_behind_a_closed_gate_makes_no_difference() -> None:
    one = SPACE.own.copy()
    one[share(SPACE, "a turn part-way", "angle")] = 0.9
    assert SPACE.distance(one, SPACE.own) == 0.0
    assert SPACE.changed(one) == ()
    one[share(SPACE, "a turn part-way", "made")] = 0.9
    assert SPACE.distance(one, SPACE.own) > 0.2
    assert [SPACE.freedoms[k].name for k in SPACE.changed(one)] == ["a turn part-way"]
    assert SPACE.rig(one, CUP).turn is not None


def test_an_auxiliary_anode_hangs_down_the_middle_of_the_recess() -> None:
    design = SPACE.own.copy()
    design[share(SPACE, "an anode in the recess of part 1", "hung")] = 1.0
    design[share(SPACE, "an anode in the recess of part 1", "depth")] = 1.0
    rod = SPACE.rig(design, CUP).description.anodes[-1]
    freedom = next(f for f in SPACE.freedoms if isinstance(f, AuxiliaryFreedom))
    x, y, z = rod.at  # type: ignore[union-attr]
    assert abs(x) < 2e-3
    assert abs(y) < 2e-3
    bottom = z - rod.length / 2  # type: ignore[union-attr]
    # 15 % of the recess above its floor at 55 mm, and the rim at 90 mm
    assert bottom == pytest.approx(0.07 + freedom.mouth[2] - 0.85 * 0.035, abs=2e-3)
    assert z + rod.length / 2 == pytest.approx(0.105, abs=2e-3)  # type: ignore[union-attr]


def test_no_rod_is_hung_into_a_mouth_that_looks_down() -> None:
    down = hung(cup(), (0.0, 0.0, 0.09))
    flipped = Rig(
        description=SPACE.rig(_leant(180.0), CUP).description,
    )
    design = SPACE.own.copy()
    design[share(SPACE, "an anode in the recess of part 1", "hung")] = 1.0
    rigged = design_space(flipped, Freedoms(), 1.0).rig(_opened(flipped), flipped)
    assert len(rigged.description.anodes) == len(down.description.anodes)


def _leant(degrees: float) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    design = SPACE.own.copy()
    variable = SPACE.variables[share(SPACE, "pose of part 1", "lean about x")]
    design[share(SPACE, "pose of part 1", "lean about x")] = (degrees - variable.low) / (
        variable.high - variable.low
    )
    return design


def _opened(rig: Rig) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    space = design_space(rig, Freedoms(), 1.0)
    design = space.own.copy()
    design[share(space, "an anode in the recess of part 1", "hung")] = 1.0
    return design


def test_leaning_is_bounded() -> None:
    space = design_space(CUP, Freedoms(lean=30.0), 1.0)
    design = space.own.copy()
    design[:2] = 1.0
    part = space.rig(design, CUP).description.parts[0]
    from tankside.plan.rigs.rig import rotation_of

    leant = np.degrees(np.arccos(rotation_of(part).as_matrix()[2, 2]))
    assert leant == pytest.approx(30.0, abs=1.0)


def test_a_thief_is_a_ring_around_the_parts() -> None:
    design = SPACE.own.copy()
    design[share(SPACE, "new thief 1", "hung")] = 1.0
    rods = SPACE.rig(design, CUP).description.thieves
    assert len(rods) == 8
    low, high = box_of(CUP.description.parts[0])
    for rod in rods:
        ends = [
            np.array(rod.at) + side * rod.length / 2 * np.array(rod.axis)  # type: ignore[union-attr]
            for side in (-1, 1)
        ]
        for end in [*ends, np.array(rod.at)]:  # type: ignore[union-attr]
            outside = np.maximum(np.maximum(low - end, end - high), 0)
            assert np.linalg.norm(outside) > 0 or not ((end > low) & (end < high)).all()


def test_several_parts_are_free_each_on_its_own() -> None:
    from dataclasses import replace

    from tankside.cell.description import ContactSpec, PlacedPart

    one = CUP.description
    parts = tuple(PlacedPart(surface=cup(), at=(0.0, y, 0.07)) for y in (-0.04, 0.04))
    wires = tuple(
        ContactSpec(near=(0.0175, y, 0.09), wire_diameter=8e-4, part=number)
        for number, y in enumerate((-0.04, 0.04), 1)
    )
    both = Rig(description=replace(one, parts=parts, contacts=wires))
    space = design_space(both, Freedoms(anodes=False, turn=False), 2.0)
    assert [freedom.name for freedom in space.freedoms] == [
        "pose of part 1",
        "pose of part 2",
        "an anode in the recess of part 1",
        "an anode in the recess of part 2",
        "contacts of part 1",
        "contacts of part 2",
    ]
    assert space.rig(space.own, both) == both
    design = space.own.copy()
    design[share(space, "pose of part 2", "height")] = 1.0
    moved = space.rig(design, both).description
    assert moved.parts[0] == parts[0]
    assert moved.parts[1].at[2] > 0.09
    assert moved.contacts[0] == wires[0]
    assert moved.contacts[1].near[2] - moved.parts[1].at[2] == pytest.approx(0.02)
