"""The unknown of an electrode panel, along the load line between potential and current.

    s = R i(eta) - eta

with R a resistance of unit area that the panel's own patch of solution sets. Where the kinetics is
slow (R |di/d(eta)| << 1), s is the potential; near the primary limit it is the current times R;
both limits, and the mass-transfer limit, are then equally well posed. As i falls with eta, s has
exactly one (eta, i), and |d(eta)/ds| <= 1, 0 <= R di/ds <= 1.
"""

from collections.abc import Callable

import numpy as np

from tankside.base.arrays import Floats, Ints
from tankside.base.errors import BadInput, NotConverged
from tankside.base.messages import Quantity
from tankside.field.problem import ElectrodeLaw

_LARGEST_ITERATIONS = 200
_RELATIVE_TOLERANCE = 1e-13
_LAST_STEP = 1e-8
"""A step of Newton's of this size, relative, leaves an error of about its square [-]."""

_ABSOLUTE_TOLERANCE_V = 1e-17

_Falling = Callable[[Floats, Ints], tuple[Floats, Floats]]
"""(value, slope) of the functions of the given numbers, at one argument each."""


def overpotential_on_load_line(
    law: ElectrodeLaw, load: Floats, resistance: Floats, start: Floats
) -> Floats:
    """eta (n,) [V] with R i(eta) - eta = load [V], for R [ohm m²]; `start` is a first guess [V].

    Newton's method inside a bracket that always holds the root: as s falls at least as fast as eta
    rises, the root lies no farther from any eta than the load is missed there.
    """

    def miss(overpotential: Floats, which: Ints) -> tuple[Floats, Floats]:
        chosen = resistance[which]
        current, slope = law.current_and_slope(overpotential)
        return chosen * current - overpotential - load[which], chosen * slope - 1.0

    at_start = miss(start, np.arange(len(load), dtype=np.int64))
    at_rest = resistance * _one_current_density(law, 0.0) - load
    low = np.maximum(start + np.minimum(at_start[0], 0.0), np.minimum(at_rest, 0.0))
    high = np.minimum(start + np.maximum(at_start[0], 0.0), np.maximum(at_rest, 0.0))
    return _root_of_falling(miss, low, high, start, at_start)


def overpotential_at(law: ElectrodeLaw, current_density: float) -> float:
    """eta [V] at which the law gives `current_density` [A m⁻²]; BadInput where it cannot."""
    direction = -1.0 if current_density > _one_current_density(law, 0.0) else 1.0
    reach = 1e-3
    while direction * (_one_current_density(law, direction * reach) - current_density) > 0:
        reach *= 2.0
        if reach > 1e9:
            raise BadInput(
                "the electrode's law cannot carry {current_density} at any potential; its copper "
                "limit is {limit}",
                current_density=Quantity(current_density, "A/m^2", 4),
                limit=Quantity(law.limit, "A/m^2", 4),
            )

    def miss(overpotential: Floats, which: Ints) -> tuple[Floats, Floats]:
        current, slope = law.current_and_slope(overpotential)
        return current - current_density, slope

    ends = sorted((0.0, direction * reach))
    low, high, start = (np.array([end]) for end in (*ends, direction * reach))
    root = _root_of_falling(miss, low, high, start)
    return float(root[0])


def _one_current_density(law: ElectrodeLaw, overpotential: float) -> float:
    return float(law.current_density(np.array([overpotential]))[0])


def _root_of_falling(
    miss: _Falling,
    low: Floats,
    high: Floats,
    start: Floats,
    at_start: tuple[Floats, Floats] | None = None,
) -> Floats:
    """Roots of falling functions in [low, high], elementwise: Newton, halving where it is slow.
    `at_start` is what `miss` says of `start`, where that is known."""
    root = np.clip(start, low, high)
    if at_start is not None and not np.array_equal(root, start):
        at_start = None
    low, high = low.copy(), high.copy()
    last = np.full_like(root, np.inf)
    pending = np.arange(len(root), dtype=np.int64)
    for _ in range(_LARGEST_ITERATIONS):
        here = root[pending]
        value, slope = miss(here, pending) if at_start is None else at_start
        at_start = None
        low[pending] = np.where(value > 0, here, low[pending])
        high[pending] = np.where(value > 0, high[pending], here)
        with np.errstate(divide="ignore", over="ignore"):
            step = np.where(slope < 0, -value / slope, np.inf)
        newton = here + step
        bad = (
            (newton < low[pending])
            | (newton > high[pending])
            | (np.abs(step) > 0.5 * last[pending])
        )
        bad |= ~np.isfinite(newton)
        moved = np.where(bad, 0.5 * (low[pending] + high[pending]), newton)
        moved = np.where(value == 0, here, moved)
        change = np.abs(moved - here)
        root[pending] = moved
        last[pending] = change
        tolerance = np.where(bad, _RELATIVE_TOLERANCE, _LAST_STEP)
        pending = pending[change > tolerance * np.abs(moved) + _ABSOLUTE_TOLERANCE_V]
        if not len(pending):
            return root
    raise NotConverged(
        "the potential of {pending} panels on their load line was not found",
        pending=len(pending),
        residual=float(last[pending].max()),
        iterations=_LARGEST_ITERATIONS,
    )
