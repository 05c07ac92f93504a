"""The front and the few that come back, against the plain definitions."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.plan.rigs.choice import allowance, good_and_different, least_distance, non_dominated

rows = st.lists(st.tuples(*[st.integers(0, 6).map(float)] * 3), min_size=1, max_size=25).map(
    np.array
)


@given(rows)
def test_the_front_is_what_none_beats(
    costs: "np.ndarray[tuple[int, int], np.dtype[np.float64]]",
) -> None:
    kept = non_dominated(costs)
    assert kept.any()
    for row, on_front in zip(costs, kept, strict=True):
        beaten = any((other <= row).all() and (other < row).any() for other in costs)
        assert on_front == (not beaten)


def test_the_best_comes_first_and_the_rest_are_good_and_apart() -> None:
    places = [0.0, 0.02, 0.5, 0.55, 1.0, 3.0]
    scores = [0.0, 0.01, 0.05, 0.04, 0.1, 0.5]

    def distance(a: int, b: int) -> float:
        return abs(places[a] - places[b])

    found = good_and_different(scores, distance, 4, worse=0.2, apart=0.25)
    assert found == (0, 4, 2)  # 5 is too bad; 1 and 3 are too like those taken
    assert least_distance(found, distance) == pytest.approx(0.5)


def test_no_more_than_asked_and_none_of_none() -> None:
    def distance(a: int, b: int) -> float:
        return 1.0

    assert good_and_different([1.0, 1.0, 1.0], distance, 2) == (0, 1)
    assert good_and_different([], distance, 2) == ()
    assert least_distance([3], distance) == float("inf")


def test_half_of_a_large_gain_is_good_enough() -> None:
    assert allowance(best=-1.0, own=0.0) == 0.5
    assert allowance(best=-0.1, own=0.0) == 0.12
