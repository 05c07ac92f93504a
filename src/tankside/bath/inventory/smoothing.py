"""A chain of linear steps and scalar readings: the filter forward, the smoother backward.

    x' = F x + c + w, w ~ N(0, Q);   y = h·x + b + v, v ~ N(0, r)
Forward is Kalman's filter. Backward is the disturbance smoother of de Jong (1989), which needs no
inverse and gives, beside each smoothed state, what all *other* readings say of a reading: with
u = e/s - k·g and d = 1/s + k·N k, the reading misses that prediction by u/d, with variance 1/d.
"""

from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats


@dataclass(slots=True, kw_only=True)
class Link:
    """A step and the readings after it. `slopes` are rows h, `offsets` b, `values` y."""

    transition: Floats
    shift: Floats
    noise: Floats
    slopes: Floats
    offsets: Floats
    values: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Smoothed:
    """What a chain says.

    states       smoothed, after each link's readings
    final        filtered state at the end, with `covariance`
    misses       of each reading against all others [its unit]
    spreads      standard deviations of the misses
    evidence     logarithm of the density of all readings
    """

    states: list[Floats]
    final: Floats
    covariance: Floats
    misses: Floats
    spreads: Floats
    evidence: float


@dataclass(slots=True)
class _Update:
    gain: Floats
    slope: Floats
    error: float
    variance: float


def smoothed(chain: list[Link], start: Floats, covariance: Floats, variances: Floats) -> Smoothed:
    """Filter and smoother over a chain; `variances` of all readings in order."""
    mean, spread = start, covariance
    updates: list[list[_Update]] = []
    filtered: list[tuple[Floats, Floats]] = []
    evidence, number = 0.0, 0
    for link in chain:
        mean = link.transition @ mean + link.shift
        spread = link.transition @ spread @ link.transition.T
        spread[:5, :5] += link.noise
        held = []
        for slope, offset, value in zip(link.slopes, link.offsets, link.values, strict=True):
            one, mean, spread = updated(mean, spread, slope, value - offset, variances[number])
            evidence -= 0.5 * float(np.log(one.variance) + one.error**2 / one.variance)
            held.append(one)
            number += 1
        updates.append(held)
        filtered.append((mean, spread))
    states, misses, spreads = _backward(chain, updates, filtered, number)
    return Smoothed(
        states=states,
        final=mean,
        covariance=0.5 * (spread + spread.T),
        misses=misses,
        spreads=spreads,
        evidence=evidence,
    )


def updated(
    mean: Floats, spread: Floats, slope: Floats, value: float, variance: float
) -> tuple[_Update, Floats, Floats]:
    """One scalar reading taken in."""
    cross = spread @ slope
    total = float(slope @ cross) + variance
    error = float(value - slope @ mean)
    gain = cross / total
    one = _Update(gain, slope, error, total)
    return one, mean + gain * error, spread - gain[:, None] * cross


def _backward(
    chain: list[Link],
    updates: list[list[_Update]],
    filtered: list[tuple[Floats, Floats]],
    number: int,
) -> tuple[list[Floats], Floats, Floats]:
    size = filtered[0][0].size
    pull, weight = np.zeros(size), np.zeros((size, size))
    misses, spreads = np.zeros(number), np.zeros(number)
    states: list[Floats] = []
    for link, held, (mean, spread) in zip(
        reversed(chain), reversed(updates), reversed(filtered), strict=True
    ):
        states.append(mean + spread @ pull)
        for one in reversed(held):
            number -= 1
            through = weight @ one.gain
            inverse = 1.0 / one.variance
            precision = inverse + float(one.gain @ through)
            miss = one.error * inverse - float(one.gain @ pull)
            misses[number] = miss / precision
            spreads[number] = precision**-0.5
            pull = pull + one.slope * miss
            # (1 - k h)' N (1 - k h) + h h' / s
            half = one.slope[:, None] * (0.5 * precision * one.slope - through)
            weight = weight + half + half.T
        pull = link.transition.T @ pull
        weight = link.transition.T @ weight @ link.transition
    states.reverse()
    return states, misses, spreads
