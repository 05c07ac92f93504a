"""Gross readings on a chain so simple that the answer is plain."""

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.bath.inventory import Priors
from tankside.bath.inventory.doubt import doubts, rivals, settled
from tankside.bath.inventory.smoothing import Link

OWN = Priors()
PRIOR = np.diag([25.0, 1.0, 1.0, 1.0, 1.0, 1.0])
START = np.zeros(6)


def chain(values: list[float], drift: float = 0.01) -> tuple[list[Link], Floats]:
    """A quantity that wanders a little, read again and again with a deviation of one."""
    slope = np.zeros((1, 6))
    slope[0, 0] = 1.0
    noise = np.zeros((5, 5))
    noise[0, 0] = drift
    links = [
        Link(
            transition=np.eye(6), shift=np.zeros(6), noise=noise, slopes=slope,
            offsets=np.zeros(1), values=np.array([value]),
        )
        for value in values
    ]  # fmt: skip
    return links, np.ones(len(values))


QUIET = [0.4, -0.8, 0.1, 1.1, -0.3, 0.6, -1.2, 0.2, 0.0, -0.5]


def test_sound_readings_are_believed() -> None:
    links, variances = chain(QUIET)
    found, gross, used = settled(links, START, PRIOR, variances, OWN)
    assert gross == frozenset()
    assert np.array_equal(used, variances)
    assert doubts(found, variances, used, OWN).max() < 0.5


@pytest.mark.parametrize("place", range(10))
@pytest.mark.parametrize("size", [7.0, -9.0, 20.0])
def test_one_bad_reading_is_found_wherever_it_stands(place: int, size: float) -> None:
    values = [*QUIET]
    values[place] = size
    links, variances = chain(values)
    found, gross, used = settled(links, START, PRIOR, variances, OWN)
    assert gross == {place}
    assert doubts(found, variances, used, OWN)[place] > 0.9
    assert rivals(links, START, PRIOR, variances, gross, OWN) == {place: ()}


def test_two_beside_each_other_are_both_found() -> None:
    values = [*QUIET]
    values[4], values[5] = 12.0, -9.0
    links, variances = chain(values)
    assert settled(links, START, PRIOR, variances, OWN)[1] == {4, 5}


def test_a_true_jump_is_not_a_row_of_bad_readings() -> None:
    """Where the quantity may move, five readings that agree are believed against five that do."""
    values = [*QUIET[:5], *(10.0 + one for one in QUIET[5:])]
    links, variances = chain(values, drift=16.0)
    assert len(settled(links, START, PRIOR, variances, OWN)[1]) <= 1


def test_of_two_alone_either_may_be_wrong() -> None:
    links, variances = chain([0.0, 14.0], drift=1e-4)
    vague = PRIOR * 100.0
    _, gross, _ = settled(links, START, vague, variances, OWN)
    assert len(gross) == 1
    (one,) = gross
    assert rivals(links, START, vague, variances, gross, OWN) == {one: (1 - one,)}
