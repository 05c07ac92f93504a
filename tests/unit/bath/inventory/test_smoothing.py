"""Filter and smoother against the whole chain written as one Gaussian."""

import numpy as np
import pytest

from tankside.base.arrays import Floats
from tankside.bath.inventory.smoothing import Link, smoothed

SIZE, LINKS = 8, 6


def chain(rng: np.random.Generator) -> tuple[list[Link], Floats, Floats, Floats]:
    links = []
    for number in range(LINKS):
        transition = np.eye(SIZE)
        transition[:5] += 0.2 * rng.standard_normal((5, SIZE))
        root = rng.standard_normal((5, 5))
        count = 0 if number == LINKS - 1 else int(rng.integers(1, 4))
        shift = np.zeros(SIZE)
        shift[:5] = rng.standard_normal(5)
        links.append(
            Link(
                transition=transition,
                shift=shift,
                noise=0.05 * root @ root.T,
                slopes=rng.standard_normal((count, SIZE)),
                offsets=rng.standard_normal(count),
                values=3.0 * rng.standard_normal(count),
            )
        )
    root = rng.standard_normal((SIZE, SIZE))
    variances = rng.uniform(0.1, 2.0, sum(len(one.values) for one in links))
    return links, rng.standard_normal(SIZE), root @ root.T, variances


def as_one(
    links: list[Link], start: Floats, covariance: Floats, variances: Floats
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Mean and covariance of all states (stacked) before any reading, all rows, all misses."""
    count = len(links) + 1
    means = [start]
    spread = np.zeros((count * SIZE, count * SIZE))
    spread[:SIZE, :SIZE] = covariance
    for number, one in enumerate(links, start=1):
        means.append(one.transition @ means[-1] + one.shift)
        here, before = slice(number * SIZE, (number + 1) * SIZE), slice(0, number * SIZE)
        last = slice((number - 1) * SIZE, number * SIZE)
        spread[here, before] = one.transition @ spread[last, before]
        spread[before, here] = spread[here, before].T
        spread[here, here] = one.transition @ spread[last, last] @ one.transition.T
        spread[number * SIZE : number * SIZE + 5, number * SIZE : number * SIZE + 5] += one.noise
    rows, wanted = [], []
    for number, one in enumerate(links, start=1):
        for slope, offset, value in zip(one.slopes, one.offsets, one.values, strict=True):
            row = np.zeros(count * SIZE)
            row[number * SIZE : (number + 1) * SIZE] = slope
            rows.append(row)
            wanted.append(value - offset)
    mean = np.concatenate(means)
    read = np.array(rows)
    misses = np.array(wanted) - read @ mean
    total = read @ spread @ read.T + np.diag(variances)
    return mean, spread, read, misses, total


@pytest.mark.parametrize("seed", range(4))
def test_states_are_those_of_the_whole(seed: int) -> None:
    links, start, covariance, variances = chain(np.random.default_rng(seed))
    found = smoothed(links, start, covariance, variances)
    mean, spread, read, misses, total = as_one(links, start, covariance, variances)
    gain = spread @ read.T @ np.linalg.inv(total)
    best = (mean + gain @ misses).reshape(-1, SIZE)
    after = spread - gain @ read @ spread
    assert np.array(found.states) == pytest.approx(best[1:], rel=1e-8, abs=1e-8)
    assert found.final == pytest.approx(best[-1], rel=1e-8, abs=1e-8)
    assert found.covariance == pytest.approx(after[-SIZE:, -SIZE:], rel=1e-7, abs=1e-8)


@pytest.mark.parametrize("seed", range(4))
def test_misses_are_against_all_other_readings(seed: int) -> None:
    links, start, covariance, variances = chain(np.random.default_rng(seed))
    found = smoothed(links, start, covariance, variances)
    _, _, _, misses, total = as_one(links, start, covariance, variances)
    for place in range(misses.size):
        others = [one for one in range(misses.size) if one != place]
        weight = np.linalg.solve(total[np.ix_(others, others)], total[others, place])
        assert found.misses[place] == pytest.approx(misses[place] - weight @ misses[others])
        variance = total[place, place] - weight @ total[others, place]
        assert found.spreads[place] == pytest.approx(variance**0.5)


def test_evidence_is_the_density_of_all_readings() -> None:
    links, start, covariance, variances = chain(np.random.default_rng(5))
    found = smoothed(links, start, covariance, variances)
    _, _, _, misses, total = as_one(links, start, covariance, variances)
    _, logarithm = np.linalg.slogdet(total)
    expected = -0.5 * (logarithm + misses @ np.linalg.solve(total, misses))
    assert found.evidence == pytest.approx(expected)
