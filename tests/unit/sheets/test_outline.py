"""Outlines and gaps of the cell drawing against plain geometry."""

from collections.abc import Callable

import numpy as np
import pytest

from tankside.part.mesh import TriangleMesh
from tankside.sheets.labels import placed
from tankside.sheets.outline import Outline, gap, outline


def enclosed(polygons: Outline) -> float:
    total = 0.0
    for polygon in polygons:
        ends = np.roll(polygon, -1, axis=0)
        total += float((polygon[:, 0] * ends[:, 1] - ends[:, 0] * polygon[:, 1]).sum()) / 2
    return total


@pytest.mark.parametrize("axes", [(0, 1), (0, 2), (1, 2)])
def test_a_sphere_throws_a_disc(ball: Callable[..., TriangleMesh], axes: tuple[int, int]) -> None:
    shadow = outline(ball(0.02, (0.05, 0.02, 0.13), 32), axes)
    assert len(shadow) == 1
    assert enclosed(shadow) == pytest.approx(np.pi * 0.02**2, rel=0.01)


def test_two_balls_in_one_body_throw_two_discs(ball: Callable[..., TriangleMesh]) -> None:
    one, other = ball(0.01, (0.0, 0.0, 0.0)), ball(0.01, (0.05, 0.0, 0.0))
    both = TriangleMesh(
        vertices=np.vstack([one.vertices, other.vertices]),
        triangles=np.vstack([one.triangles, other.triangles + len(one.vertices)]),
    )
    assert len(outline(both, (0, 1))) == 2


def test_a_sheet_seen_edge_on_has_no_outline() -> None:
    sheet = TriangleMesh(
        vertices=np.array([[0.0, 0, 0], [1, 0, 0], [1, 0, 1]]), triangles=np.array([[0, 1, 2]])
    )
    assert outline(sheet, (0, 1)) == ()


def test_gap_between_ball_and_plate_is_measured_at_the_nearest_place() -> None:
    turn = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    disc = (0.02 * np.column_stack([np.cos(turn), np.sin(turn)]),)
    plate = (np.array([[0.13, -0.08], [0.135, -0.08], [0.135, 0.08], [0.13, 0.08]]),)
    for line in (gap(disc, plate), gap(plate, disc)):
        assert line.length == pytest.approx(0.11, rel=1e-3)
        assert abs(line.start[1]) < 1e-3
    np.testing.assert_allclose(gap(plate, disc).start, [0.13, 0.0], atol=1e-3)


def test_gap_between_parallel_faces_is_drawn_in_the_middle() -> None:
    rows = np.linspace(-0.04, 0.04, 9)
    left = np.column_stack([np.zeros(9), rows])
    block = (np.vstack([left - [0.01, 0.0], left[::-1]]),)
    plate = (np.array([[0.1, -0.08], [0.11, -0.08], [0.11, 0.08], [0.1, 0.08]]),)
    line = gap(block, plate)
    assert line.length == pytest.approx(0.1)
    assert abs(line.start[1]) < 1e-9


def test_labels_keep_off_what_is_taken_and_off_each_other() -> None:
    taken = np.zeros((100, 160), bool)
    taken[20:80, 60:100] = True
    first, after = placed([(80.0, 50.0)], 40.0, 20.0, taken)
    second, _ = placed([(80.0, 50.0)], 40.0, 20.0, after)
    for box in (first, second):
        assert box.left >= 0
        assert box.left + box.width <= 160
        assert box.left + box.width <= 60 or box.left >= 100 or box.top >= 80 or box.top + 20 <= 20
    assert after.sum() > taken.sum()
    apart = (
        abs(first.middle[0] - second.middle[0]) >= 40
        or abs(first.middle[1] - second.middle[1]) >= 20
    )
    assert apart


def test_a_label_without_room_still_lies_in_the_picture() -> None:
    box, _ = placed([(5.0, 5.0)], 40.0, 20.0, np.ones((50, 60), bool))
    assert 0 <= box.left <= 20
    assert 0 <= box.top <= 30
