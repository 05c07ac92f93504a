"""How much of each product makes the bath: a small linear programme inside one for the density.

Unknown are the mass of each product and the share of an old bath that is kept. What is wanted of
each quantity is an equation in moles, and so is the mass of the bath, which the density law gives
for its volume and which is found by secants. Bounds are the stock on the shelf. An old bath
is kept as far as it goes; then the cheapest, or the fewest products, are chosen. Where the aim
cannot be met exactly, the ends that will do are used, and the answer says so.
"""

from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import NotConverged
from tankside.bath import water
from tankside.bath.makeup.columns import Columns, bath_mixture, columns_of, old_mixture
from tankside.bath.makeup.request import (
    MARK_TEMPERATURE,
    MakeUpRequest,
    Preference,
)
from tankside.bath.mixture import Mixture, mixed, portion, volume

_KEEPING = 1e3
"""What a withdrawn old bath weighs against the dearest product [-]: more than any saving."""

_CENTRING = 1e2
_TOLERANCE = 1e-11
_GOOD_ENOUGH = 1e-6
"""A volume this near will do where the programme's own tolerance of 1e-7 keeps it from better."""

_MOST_ROUNDS = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """The products that make the bath.

    masses    of each product that is used [kg]
    kept      share of the old bath, 0 to 1
    mixture   all together, before anything reacts
    exact     True where every quantity is at its aim
    """

    masses: dict[str, float]
    kept: float
    mixture: Mixture
    exact: bool


def balanced(request: MakeUpRequest, *, unlimited: bool = False) -> Balance | None:
    """The make-up that a request asks for, None where there is none.

    `unlimited` takes no notice of what there is of each product. NotConverged where the density
    does not settle.
    """
    columns = columns_of(request, unlimited=unlimited)
    old = old_mixture(request.old) if request.old else None
    for exact in (True, False):
        found = _settled(request, columns, old, exact)
        if found is not None:
            fewest = request.preference is Preference.FEWEST
            return _with_fewer(request, columns, old, found) if fewest else found
    return None


def solved(
    columns: Columns, total: float, *, exact: bool, keeping: float = _KEEPING
) -> Floats | None:
    """Masses of products and the share of old bath [kg, -] for a bath of mass `total` [kg].

    Unknowns are scaled: products by the bath's mass, moles by what is wanted of them. `keeping` is
    what the old bath is worth beside the dearest product. None where nothing fits.
    """
    count, wanted = len(columns.mass), len(columns.aims)
    scale = np.maximum(np.maximum(columns.aims, columns.highs), 1e-9 * total)
    unit = np.array([*np.full(count - 1, total), 1.0])
    none, away = np.zeros((wanted, 2 * wanted)), np.zeros((wanted, 2 * wanted))
    away[np.arange(wanted), 2 * np.arange(wanted)] = -1.0
    away[np.arange(wanted), 2 * np.arange(wanted) + 1] = 1.0
    balances = np.hstack([columns.rows * unit / scale[:, None], away])
    totals = np.vstack([columns.mass, columns.spare]) * unit / total
    matrix = np.vstack([balances, np.hstack([totals, none[:1].repeat(3, axis=0)])])
    aims, rest = columns.aims / scale, 1.0 - columns.fixed.mass / total
    free = np.stack([columns.highs - columns.aims, columns.aims - columns.lows], axis=1)
    reach = np.zeros(2 * wanted) if exact else (free / scale[:, None]).ravel()
    from scipy.optimize import (
        Bounds,
        LinearConstraint,
        milp,
    )  # a server's start need not wait for it

    answer: Any = milp(
        np.concatenate([columns.price[:-1], [-keeping], _CENTRING / np.maximum(reach, 1e-9)]),
        constraints=LinearConstraint(
            matrix,
            np.concatenate([aims, [rest, 0.0, -np.inf]]),
            np.concatenate([aims, [rest, np.inf, 0.0]]),
        ),
        bounds=Bounds(np.zeros(count + 2 * wanted), np.concatenate([columns.most / unit, reach])),
    )
    if answer.x is None:
        return None
    return np.array(np.maximum(answer.x[:count], 0.0) * unit)


def _with_fewer(
    request: MakeUpRequest, columns: Columns, old: Mixture | None, found: Balance
) -> Balance:
    """The cheapest make-up with the fewest products that stays between the ends that will do.

    A vertex of the programme uses no more products than it has equations, so that only smaller
    sets need be tried.
    """
    if np.all(columns.highs - columns.lows <= 1e-9 * columns.highs):
        return found  # an exact aim is met by fewer products by chance alone
    at_hand = np.flatnonzero(columns.most[:-1] > 0.0).tolist()
    for size in range(len(found.masses)):
        fits = [
            (float(columns.price[:-1] @ answer[:-1]), chosen)
            for chosen in combinations(at_hand, size)
            if columns.covered_by(chosen, found.mixture.mass)
            and (answer := solved(columns.limited_to(chosen), found.mixture.mass, exact=False))
            is not None
        ]
        for _, chosen in sorted(fits):
            only = columns.limited_to(chosen)
            better = _settled(request, only, old, exact=True)
            better = better or _settled(request, only, old, exact=False)
            if better is not None and better.kept >= found.kept - _TOLERANCE:
                return better
    return found


def _settled(
    request: MakeUpRequest, columns: Columns, old: Mixture | None, exact: bool
) -> Balance | None:
    """The programme's answer whose mass fills the volume."""
    total = bath_mixture(request.target.wanted, request.volume).mass
    slope = water_density = water.density(MARK_TEMPERATURE)
    missing = request.volume
    before: tuple[float, float] | None = None
    for number in range(1, _MOST_ROUNDS + 1):
        answer = solved(columns, total, exact=exact)
        if answer is None:
            return None
        mixture = _mixture(request, answer, old, columns.fixed)
        missing = request.volume - volume(mixture, MARK_TEMPERATURE)
        near = _TOLERANCE if number < _MOST_ROUNDS else _GOOD_ENOUGH
        if abs(missing) < near * request.volume:
            used = zip(columns.names, answer[:-1], strict=True)
            return Balance(
                masses={name: float(mass) for name, mass in used if mass > 1e-9 * total},
                kept=float(answer[-1]),
                mixture=mixture,
                exact=exact,
            )
        if before is not None and before[1] != missing:
            slope = (total - before[0]) / (before[1] - missing)
            slope = min(max(slope, 0.2 * water_density), 5.0 * water_density)
        before = (total, missing)
        total += missing * slope
    raise NotConverged(
        "the mass that fills the bath's volume was not found",
        residual=missing / request.volume,
        iterations=_MOST_ROUNDS,
    )


def _mixture(
    request: MakeUpRequest, answer: Floats, old: Mixture | None, fixed: Mixture
) -> Mixture:
    parts = [fixed] + [
        portion(one.product, float(mass))
        for one, mass in zip(request.shelf, answer[:-1], strict=True)
    ]
    if old is not None:
        parts.append(old.scaled(float(answer[-1])))
    return mixed(*parts)
