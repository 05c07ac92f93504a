"""Which portions bring the bath inside its window: a mixed-integer linear program.

With f the share withdrawn and n steps of each product, masses are m (1 - f) + Σ effect · step · n,
the volume is ν times them, and "at least z standard deviations inside low and high" is linear in f
and n once ν and the deviations are held; these are taken from the answer, with how often each
quantity may miss, and the program is solved anew. Whole numbers of steps make every dose
measurable. HiGHS, in scipy, solves it in milliseconds.
"""

from dataclasses import dataclass
from math import ceil, floor

import numpy as np

from tankside.base.arrays import Floats
from tankside.bath.dosing.outcome import Action, Add, Bench, Outcome, Withdraw, together
from tankside.bath.dosing.shelf import WITHDRAWAL
from tankside.bath.inventory.bath_estimate import QUANTITIES, normal_quantile, place_of
from tankside.bath.inventory.contents import ACID
from tankside.bath.inventory.volumes import specific_volumes
from tankside.bath.inventory.windows import Windows

_TURNS = 8
_MOST_WITHDRAWN = 0.9
"""Share of a bath that may be taken out; more is a new bath."""

_MOST_SLACK = 8.0
"""Standard deviations inside the window that are worth seeking."""

_MOST_FILLS = 20
"""How often a measure is filled for one portion; beyond that a larger one is wanted."""

_MOST_SHORT = 1e3
"""Standard deviations outside it that are put up with, where nothing better is to be had."""

_GAP = 1e-4
"""How close to the best the program's answer has to be, relative."""

_TIGHTER = 0.85
"""What is left of the allowed misses where an answer, computed in full, misses too often."""

_NEVER = 1e-6
"""Probability of a miss that is always allowed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What an answer should be best in.

    count, waste, cost   weight of an action, of the share of the bath withdrawn, of money
    slack                weight of standard deviations inside the window, sought instead of given
    may_withdraw         False where nothing may be taken out
    only                 products that may be used, None for all
    """

    count: float = 0.0
    waste: float = 0.0
    cost: float = 0.0
    slack: float = 0.0
    may_withdraw: bool = True
    only: frozenset[str] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Actions that the search proposes, what they lead to, and what the wish weighs them at."""

    actions: tuple[Action, ...]
    outcome: Outcome
    probability: float
    value: float


def searched(bench: Bench, windows: Windows, probability: float, wish: Wish) -> Found | None:
    """The best actions for a wish; None where no measurable portions are far enough inside.

    Each quantity may miss its window with a share of 1 - `probability`. What a quantity that lies
    well inside does not need of its share goes to those at an edge, and the program is solved anew.
    """
    shares = dict.fromkeys(windows, (1.0 - probability) / max(len(windows), 1))
    outcome, best = bench.after(()), None
    for _ in range(_TURNS):
        actions, value = _solved(bench, windows, outcome, shares, wish)
        if actions is None:
            break
        outcome = bench.after(actions)
        probabilities = outcome.probabilities(windows)
        found = Found(
            actions=actions, outcome=outcome, probability=together(probabilities), value=value
        )
        if best is not None and found.actions == best.actions:
            break
        best = found if best is None else _better(best, found, probability)
        shares = _shared_anew(shares, probabilities, probability)
    return best


def _better(one: Found, other: Found, probability: float) -> Found:
    """The one that is sure enough; of two such, the one closer to the wish."""
    enough = (one.probability >= probability, other.probability >= probability)
    if enough[0] != enough[1]:
        return one if enough[0] else other
    if not enough[0]:
        return one if one.probability >= other.probability else other
    return one if one.value <= other.value else other


def _shared_anew(
    shares: dict[str, float], probabilities: dict[str, float], probability: float
) -> dict[str, float]:
    """The allowed misses for the next turn; all less where the last answer missed too often."""
    allowed = 1.0 - probability
    misses = {name: 1.0 - one for name, one in probabilities.items()}
    over = sum(misses.values()) / allowed
    edge = [name for name in shares if misses[name] > 0.5 * shares[name]]
    if over > 1.0 or not edge:
        return {name: share * min(_TIGHTER / max(over, 1.0), 1.0) for name, share in shares.items()}
    idle = {name: 1.1 * misses[name] + _NEVER for name in shares if name not in edge}
    left = (allowed - sum(idle.values())) / len(edge)
    return {name: idle.get(name, left) for name in shares}


def _solved(
    bench: Bench, windows: Windows, last: Outcome, shares: dict[str, float], wish: Wish
) -> tuple[tuple[Action, ...] | None, float]:
    """One program and its value. Variables: withdrawn steps, steps of each item, then their
    switches, slack."""
    program = _Program(bench, last, wish)
    for name, ends in windows.items():
        program.keep_inside(name, ends, normal_quantile(1.0 - shares[name]))
    from scipy.optimize import (
        Bounds,
        LinearConstraint,
        milp,
    )  # a server's start need not wait for it

    answer = milp(
        program.weights(),
        constraints=[LinearConstraint(np.array(program.rows), program.lows, np.inf)],
        integrality=program.whole,
        bounds=Bounds(program.bottoms, program.tops),
        options={"mip_rel_gap": _GAP},
    )
    if answer.x is None:
        return None, np.inf
    steps = np.rint(answer.x[: 1 + len(bench.items)])
    return program.actions(steps), float(answer.fun)


class _Program:
    def __init__(self, bench: Bench, last: Outcome, wish: Wish) -> None:
        self.bench, self.last, self.wish = bench, last, wish
        count = 1 + len(bench.items)
        self.switches, self.slack = count, 2 * count
        self.now = bench.state[:5]
        volume = float(specific_volumes(self.now, bench.shop.priors.temperature) @ self.now)
        self.volume = volume
        self.columns = np.array(
            [-self.now * (WITHDRAWAL.resolution / volume)]
            + [
                bench.shop.effect_of(item.product.name, bench.state)[0] * item.step
                for item in bench.items
            ]
        )
        self.nu = specific_volumes(last.masses, bench.shop.priors.temperature)
        self.most = [self._most_withdrawn(), *(self._most(place) for place in range(count - 1))]
        self.tops = np.array([*self.most, *([1.0] * count), _MOST_SLACK if wish.slack else 0.0])
        self.bottoms = np.array([0.0] * (2 * count) + [-_MOST_SHORT if wish.slack else 0.0])
        self.whole = np.array([1.0] * (2 * count) + [0.0])
        self.rows: list[Floats] = []
        self.lows: list[float] = []
        self._couple(count)

    def _most_withdrawn(self) -> float:
        return floor(_MOST_WITHDRAWN * self.volume / WITHDRAWAL.resolution) * float(
            self.wish.may_withdraw
        )

    def _most(self, place: int) -> float:
        """Steps of an item at most: its stock, so many fills, three times the bath's mass."""
        item = self.bench.items[place]
        if self.wish.only is not None and item.product.name not in self.wish.only:
            return 0.0
        mass = min(3.0 * float(self.now.sum()), _MOST_FILLS * item.largest)
        if item.stock is not None:
            mass = min(mass, item.stock)
        return float(floor(mass / item.step + 1e-9))

    def _couple(self, count: int) -> None:
        """A portion needs its switch, and a switch a portion that can be measured."""
        least = [WITHDRAWAL.least / WITHDRAWAL.resolution] + [
            item.least / item.step for item in self.bench.items
        ]
        for place in range(count):
            off = np.zeros(self.slack + 1)
            off[place], off[self.switches + place] = -1.0, self.most[place]
            on = np.zeros(self.slack + 1)
            on[place], on[self.switches + place] = 1.0, -float(ceil(least[place] - 1e-9))
            self.rows += [off, on]
            self.lows += [0.0, 0.0]

    def keep_inside(self, name: str, ends: tuple[float, float], z: float) -> None:
        """A quantity at least z, and the slack, deviations inside both its ends."""
        std = self.last.std(name)
        place = place_of(name)
        for sign, end in ((1.0, ends[0]), (-1.0, ends[1])):
            if QUANTITIES[place] == "volume":
                law, offset, scale = sign * self.nu, -sign * end, 1.0
            else:
                law, offset = -sign * end * self.nu, 0.0
                law[place] += sign
                scale = float(self.nu @ self.last.masses)
            margin = std * scale
            row = np.zeros(self.slack + 1)
            row[: self.switches] = self.columns @ law
            row[self.slack] = -margin
            self.rows.append(row)
            aim = 0.0 if self.wish.slack else z * margin
            self.lows.append(aim - float(law @ self.now) - offset)

    def weights(self) -> Floats:
        wish = self.wish
        found = np.zeros(self.slack + 1)
        found[0] = wish.waste * WITHDRAWAL.resolution / self.volume
        for place, item in enumerate(self.bench.items, start=1):
            found[place] = wish.cost * (item.product.cost_per_kg or 0.0) * item.step
        found[self.switches : self.slack] = wish.count
        found[self.slack] = -wish.slack
        return found

    def actions(self, steps: Floats) -> tuple[Action, ...]:
        done: list[Action] = []
        if steps[0] > 0.0:
            done.append(Withdraw(volume=_clean(float(steps[0]) * WITHDRAWAL.resolution)))
        for item, count in zip(self.bench.items, steps[1:], strict=True):
            if count > 0.0:
                read = _clean(float(count) * item.measure.resolution)
                volume = read if item.measure.by_volume else None
                mass = _clean(float(count) * item.step)
                done.append(Add(product=item.product.name, mass=mass, volume=volume))
        return tuple(sorted(done, key=self._turn))

    def _turn(self, action: Action) -> float:
        """Withdrawals, then water and salts, acid last: it is never the one that is diluted."""
        if isinstance(action, Withdraw):
            return -np.inf
        return float(self.bench.shop.effects[action.product].best[ACID])


def _clean(value: float) -> float:
    """Without the noise of binary fractions."""
    return float(f"{value:.12g}")
