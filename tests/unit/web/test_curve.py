"""The curve's picture: places within its frame, in the order of the values, with round marks."""

from tankside.web.curve import BOTTOM, HEIGHT, LEFT, RIGHT, TOP, WIDTH, curve_of

FRONT = [{"hours": 3.0, "spread": 2.4}, {"hours": 5.0, "spread": 1.5}]


def test_every_dot_is_within_the_frame_and_in_order() -> None:
    curve = curve_of(FRONT, {"hours": 9.0, "spread": 3.0}, [{"hours": 4.0, "spread": 2.0}])
    assert curve.own is not None
    dots = [*curve.front, curve.own, *curve.proposals]
    for dot in dots:
        assert LEFT <= dot.x <= WIDTH - RIGHT
        assert TOP <= dot.y <= HEIGHT - BOTTOM
    assert sorted(dots, key=lambda dot: dot.x) == sorted(dots, key=lambda dot: dot.hours)
    assert sorted(dots, key=lambda dot: -dot.y) == sorted(dots, key=lambda dot: dot.cost)
    assert curve.proposals[0].words == "1"


def test_marks_are_round_numbers() -> None:
    curve = curve_of(FRONT, {"hours": 9.0, "spread": 3.0}, [])
    assert [value for _, value in curve.across] == [4.0, 6.0, 8.0]
    assert [value for _, value in curve.upwards] == [1.5, 2.0, 2.5, 3.0]


def test_one_rig_alone_has_a_picture_too() -> None:
    curve = curve_of([], {"hours": 2.0, "spread": 1.0}, [])
    assert curve.own is not None
    assert LEFT < curve.own.x < WIDTH - RIGHT
    assert len(curve.across) >= 1


def test_a_rig_that_does_not_start_has_no_dot_among_the_starts() -> None:
    front = [{"hours": 3.0, "cover_minutes": 12.0}, {"hours": 4.0, "cover_minutes": 9.0}]
    own = {"hours": 9.0, "cover_minutes": None}
    curve = curve_of(front, own, [], "cover_minutes")
    assert curve.own is None
    assert [dot.cost for dot in curve.front] == [12.0, 9.0]
    assert max(value for _, value in curve.across) <= 4.0
