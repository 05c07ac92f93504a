"""Rinses: mass balances, filling still rinses, what comes back with evaporation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.rinsing import (
    MOST_FOLLOWED,
    dragged_out,
    film,
    films,
    parts_until,
    returned_share,
    rinse_goals,
    rinse_ratio,
    still_rinses,
    water_for,
)

exact = Interval.exact


@pytest.mark.parametrize("stages", [1, 2, 3, 4])
@pytest.mark.parametrize("r", [0.5, 1.0, 10.0, 99.0])
def test_counterflow_is_the_solution_of_its_mass_balances(stages: int, r: float) -> None:
    """D C(i-1) + Q C(i+1) = (D + Q) C(i) in every stage, clean water into the last: solved as a
    linear system, which knows nothing of the sum formula."""
    matrix = np.zeros((stages, stages))
    right = np.zeros(stages)
    for stage in range(stages):
        matrix[stage, stage] = 1.0 + r
        if stage > 0:
            matrix[stage, stage - 1] = -1.0
        else:
            right[stage] = 1.0
        if stage < stages - 1:
            matrix[stage, stage + 1] = -r
    last = np.linalg.solve(matrix, right)[-1]
    assert rinse_ratio(stages, r) == pytest.approx(1.0 / last, rel=1e-9)


@given(stages=st.integers(1, 6), ratio=st.floats(1.01, 1e5))
def test_the_water_for_a_ratio_gives_it(stages: int, ratio: float) -> None:
    assert rinse_ratio(stages, water_for(stages, ratio)) == pytest.approx(ratio, rel=1e-6)


def test_more_stages_need_far_less_water() -> None:
    waters = [water_for(stages, 5000.0) for stages in (1, 2, 3)]
    assert waters[0] == pytest.approx(4999.0)
    assert waters[0] > 50.0 * waters[1] > 50.0 * 3.0 * waters[2]


@given(
    volumes=st.lists(st.floats(0.5, 20.0), min_size=1, max_size=4),
    parts=st.integers(0, 200),
    drag=st.floats(1e-3, 0.1),
)
def test_still_rinses_keep_all_that_comes_in(volumes: list[float], parts: int, drag: float) -> None:
    """What the tanks hold and what the last part took along is what the bath gave."""
    litres = [volume * 1e-3 for volume in volumes]
    held = still_rinses(litres, drag * 1e-3, parts, bath=80.0)
    taken = sum(
        still_rinses(litres, drag * 1e-3, part, bath=80.0)[-1] for part in range(1, parts + 1)
    )
    inside = float(np.dot(held, litres))
    assert inside + taken * drag * 1e-3 == pytest.approx(parts * drag * 1e-3 * 80.0, rel=1e-9)
    assert (np.diff(held) <= 1e-12).all()


def test_the_last_part_before_the_rinse_is_spent() -> None:
    tanks, drag = [2e-3, 2e-3, 2e-3], 5e-6
    assert rinse_goals() == {"to begin with": 1000.0, "plated work": 5000.0}
    count = parts_until(tanks, drag, rinse_goals()["plated work"])
    assert still_rinses(tanks, drag, count)[-1] * 5000.0 <= 1.0
    assert still_rinses(tanks, drag, count + 1)[-1] * 5000.0 > 1.0
    assert parts_until([1e-3], 1e-6, 5000.0) == 0


def test_tubs_that_are_never_spent_are_not_followed_for_ever() -> None:
    assert parts_until([1.0, 1.0], 1e-9, 1000.0) == MOST_FOLLOWED


def test_evaporation_returns_more_with_more_stages() -> None:
    assert returned_share(1e-3, 1e-4, 1) == pytest.approx(10.0 / 11.0)
    assert returned_share(1e-3, 1e-4, 2) > returned_share(1e-3, 1e-4, 1)
    assert returned_share(0.0, 1e-4) == 0.0


def test_a_part_carries_its_film() -> None:
    out = dragged_out(
        0.04, film("vertical well drained"), copper=exact(50.0), sulfuric_acid=exact(60.0)
    )
    assert out.volume.best == pytest.approx(0.64e-6)
    assert out.copper_carried.best == pytest.approx(0.64e-6 * 50.0)
    assert out.copper_carried.low < out.copper_carried.best < out.copper_carried.high
    assert out.acid_carried.best == pytest.approx(0.64e-6 * 60.0)


def test_worse_draining_carries_more() -> None:
    order = [
        "vertical well drained",
        "vertical poorly drained",
        "vertical very poorly drained",
        "cup shaped",
    ]
    volumes = [films()[name].volume_per_area.best for name in order]
    assert volumes == sorted(volumes)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: rinse_ratio(0, 10.0), "1 to 8 stages"),
        (lambda: rinse_ratio(9, 10.0), "1 to 8 stages"),
        (lambda: rinse_ratio(1, -1.0), "not negative"),
        (lambda: water_for(1, 1.0), "more than one"),
        (lambda: still_rinses([], 1e-6, 1), "above zero"),
        (lambda: still_rinses([1e-3], 2e-3, 1), "more than its rinse holds"),
        (lambda: returned_share(-1.0, 1.0), "not negative"),
        (
            lambda: dragged_out(
                0.0, film("cup shaped"), copper=exact(1.0), sulfuric_acid=exact(1.0)
            ),
            "area is above zero",
        ),
    ],
)
def test_impossible_rinses_are_refused(call: object, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        call()  # type: ignore[operator]


def test_an_unknown_film_offers_close_ones() -> None:
    with pytest.raises(UnknownName, match="vertical well drained"):
        film("vertical, well drained")
