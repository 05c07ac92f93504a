"""Wires as six-sided tubes: exact in area, closed where they end, finer near the part."""

from dataclasses import replace
from math import pi, tan

import numpy as np
import pytest

from tankside.base.errors import Impossible
from tankside.cell.tubes import WIRE_SIDES, Tube, rounded, stretch_for, tube_surface
from tests.unit.cell.scenes import open_edges

STRAIGHT = Tube(
    axis=np.array([[0.01, 0.02, 0.1], [0.01, 0.02, 0.25]]), diameter=0.8e-3, open_end=True
)
BENT = Tube(
    axis=np.array([[0, 0, 0.1], [0.03, 0, 0.12], [0.04, 0.02, 0.15], [0.04, 0.02, 0.25]]),
    diameter=2e-3,
    open_end=True,
)


def section(diameter: float) -> float:
    return (pi * diameter) ** 2 / (4 * WIRE_SIDES * tan(pi / WIRE_SIDES))


@pytest.mark.parametrize("tube", [STRAIGHT, BENT])
def test_the_side_has_the_round_wires_area_and_the_end_is_closed(tube: Tube) -> None:
    surface = tube_surface(tube, 4.0)
    assert surface.area == pytest.approx(
        pi * tube.diameter * tube.length + section(tube.diameter), rel=1e-12
    )
    edges = open_edges([surface])
    assert len(edges) == WIRE_SIDES
    assert (edges[:, :, 2] == 0.25).all()


@pytest.mark.parametrize("tube", [STRAIGHT, BENT])
def test_a_closed_tube_has_the_sections_volume(tube: Tube) -> None:
    surface = tube_surface(replace(tube, open_end=False), 4.0)
    assert len(open_edges([surface])) == 0
    assert surface.signed_volume == pytest.approx(section(tube.diameter) * tube.length, rel=1e-12)


def test_panels_are_short_near_the_start_and_no_longer_than_the_stretch() -> None:
    surface = tube_surface(STRAIGHT, 4.0)
    side = STRAIGHT.side
    heights = np.unique(np.round(surface.vertices[:, 2], 9))
    steps = np.diff(heights)
    assert side < steps[0] < 1.5 * side
    assert steps.max() == pytest.approx(4 * side, rel=0.05)
    assert (np.diff(steps) > -1e-6).all()


def test_the_stretch_follows_the_budget_within_its_bounds() -> None:
    roomy = stretch_for([STRAIGHT], 10_000)
    tight = stretch_for([STRAIGHT, BENT], 900)
    assert roomy == 4.0
    assert 4.0 < tight < 12.0
    panels = sum(len(tube_surface(tube, tight).triangles) for tube in (STRAIGHT, BENT))
    assert panels == pytest.approx(900, rel=0.05)
    assert stretch_for([STRAIGHT, BENT], 1) == pytest.approx(12.0, abs=1e-3)
    assert stretch_for([], 100) == 4.0


def test_sharp_bends_are_rounded_and_gentle_ones_kept() -> None:
    line = np.array([[0, 0, 0], [0.1, 0, 0], [0.1, 0, 0.1], [0.11, 0, 0.2]])
    smooth = rounded(line, 1e-3, "thief 1")
    ways = np.diff(smooth, axis=0)
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    assert np.einsum("ij,ij->i", ways[:-1], ways[1:]).min() > np.cos(np.deg2rad(50.1))
    assert len(smooth) > len(line)
    assert (smooth[-2] == line[-2]).all()
    assert (smooth[0] == line[0]).all()
    assert (smooth[-1] == line[-1]).all()


def test_a_bend_without_room_is_refused() -> None:
    line = np.array([[0, 0, 0], [0.1, 0, 0], [0.1, 0, 0.001], [0, 0, 0.001]])
    with pytest.raises(Impossible, match=r"thief 1 bends sharply within 1 mm.*diameter of 5 mm"):
        rounded(line, 5e-3, "thief 1")
