"""The steady answer of a lumped cell at the highest current that its limits allow."""

from dataclasses import dataclass, field
from math import inf, pi, sqrt

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.errors import NotConverged
from tankside.field.loadline import overpotential_on_load_line
from tankside.field.seed.lumped import LumpedCell, LumpedState
from tankside.field.seed.shell import SeedShell

_LARGEST_ITERATIONS = 150
_MISSED = 1e-3
"""Current that may be missed, over all [-]: thickness follows to as much."""

_LONGEST_STEP = 0.3
"""Of a potential in one of Newton's steps [V]: our choice, a dozen thermal voltages."""

_SHORTER_AFTER = ((8, 0.6), (20, 0.3))
"""From so many of Newton's steps on they are shortened by so much [-]: a place that goes to and fro
over its rest potential, where the law has a kink, then settles."""

_FIRST_DISC = 3.0
"""Radius of the discs at switch-on over the contact's [-]: our choice, a collar's."""


def settled_lumped(cell: LumpedCell, shell: SeedShell, start: LumpedState | None) -> LumpedState:
    """The cell under the shell's deposit, sought from `start` or from nothing; NotConverged is our
    fault."""
    return _Newton(cell, shell, start).settled()


@dataclass(kw_only=True)
class _Line:
    """The linear answer: current (m,) and drop (m,) by the bar's change, as value and slope; the
    share's change likewise."""

    current: tuple[Floats, Floats]
    drop: tuple[Floats, Floats]
    share: tuple[float, float]


@dataclass
class _Newton:
    """Newton's method for drop, bar and share at once; the bar goes as far as the tightest limit of
    the linear answer."""

    cell: LumpedCell
    shell: SeedShell
    start: LumpedState | None
    areas: Floats = field(init=False)
    resistance: Floats = field(init=False)
    besides: Floats = field(init=False)

    def __post_init__(self) -> None:
        self.areas = self.cell.problem.panels.areas
        self.resistance = np.full(len(self.areas), self._disc())
        self.besides = self.cell.below - self.resistance * self.cell.full_density
        nothing = np.zeros(len(self.areas))
        known = self.start
        self.overpotential = nothing if known is None else known.overpotential
        self.drop = nothing if known is None else known.drop
        self.bar = 0.0 if known is None else known.bar
        self.share = 0.0 if known is None else known.share

    def settled(self) -> LumpedState:
        """Steps until the currents are those that sheet and solution carry."""
        carried, unsettled = None, 1.0
        for iteration in range(_LARGEST_ITERATIONS):
            current, response = self._reaction()
            if carried is not None and unsettled < _MISSED and self._agree(current, carried):
                return LumpedState(
                    overpotential=self.overpotential,
                    drop=self.drop,
                    current_density=current,
                    bar=self.bar,
                    share=self.share,
                )
            line = self._line(current, response)
            bar = self._furthest(line)
            share = line.share[0] + bar * line.share[1]
            drop = line.drop[0] + bar * line.drop[1] - self.drop
            change = float(np.abs(drop + bar + share * self.besides).max())
            length = _length(iteration, change)
            carried = current if carried is None else carried
            carried = carried + length * (line.current[0] + bar * line.current[1] - carried)
            self.drop = self.drop + length * drop
            self.bar += length * bar
            self.share += length * share
            unsettled *= 1.0 - length
        raise NotConverged(
            "a coat's start did not settle in {largest_iterations} steps",
            largest_iterations=_LARGEST_ITERATIONS,
            residual=unsettled,
            iterations=_LARGEST_ITERATIONS,
        )

    def _disc(self) -> float:
        """Resistance of unit area in front of the discs that carry the current [ohm m²]."""
        contacts = self.cell.shell.contacts
        if self.start is None or not self.start.current_density.any():
            radius = _FIRST_DISC * max(contact.radius for contact in contacts)
        else:
            current = self.start.current_density
            carrying = float(self.areas @ current) ** 2 / float(self.areas @ current**2)
            radius = sqrt(carrying / pi / len(contacts))
        return pi / 4 * radius / self.cell.problem.conductivity

    def _reaction(self) -> tuple[Floats, Floats]:
        """Current and what a volt more of drop takes off it, on the load line."""
        load = -(self.bar + self.drop + self.share * self.besides)
        law, live = self.cell.law, self.cell.live
        self.overpotential = overpotential_on_load_line(
            law, load, self.resistance, self.overpotential
        )
        current, slope = law.current_and_slope(self.overpotential)
        response = -slope / (1.0 - self.resistance * slope)
        return np.where(live, current, 0.0), np.where(live, response, 0.0)

    def _agree(self, current: Floats, carried: Floats) -> bool:
        total = float(self.areas @ current)
        share = self.share * self.cell.problem.total_current
        missed = float(self.areas @ np.abs(current - carried)), abs(total - share)
        return max(missed) <= _MISSED * float(self.areas @ np.abs(current))

    def _line(self, current: Floats, response: Floats) -> _Line:
        """The linear answer, with the share eliminated by what the coats then take."""
        reacting = self.shell.reacting(response)
        drops = [
            reacting(current + response * self.drop),
            -reacting(response),
            -reacting(response * self.besides),
        ]
        currents = [
            current - response * (drops[0] - self.drop),
            -response * (1.0 + drops[1]),
            -response * (self.besides + drops[2]),
        ]
        taken = [float(self.areas @ one) for one in currents]
        full = self.cell.problem.total_current
        share = (
            (taken[0] - full * self.share) / (full - taken[2]),
            taken[1] / (full - taken[2]),
        )
        return _Line(
            current=(currents[0] + share[0] * currents[2], currents[1] + share[1] * currents[2]),
            drop=(drops[0] + share[0] * drops[2], drops[1] + share[1] * drops[2]),
            share=share,
        )

    def _furthest(self, line: _Line) -> float:
        """The bar's change down to the first limit: a ceiling, the current, the voltage [V]."""
        value, slope = line.current
        rising = self.cell.live & (slope < -1e-12 * float(np.abs(slope).max()))
        at_ceiling = float(((self.cell.ceiling - value)[rising] / slope[rising]).max())
        full = self.cell.problem.total_current
        at_full = (full - float(self.areas @ value)) / float(self.areas @ slope)
        most = self.cell.problem.voltage_limit
        at_voltage = -inf if most is None else -most - self.cell.anodes - self.bar
        return max(at_ceiling, at_full, at_voltage)


def _length(iteration: int, change: float) -> float:
    """Of a step [-]."""
    length = min(1.0, _LONGEST_STEP / change) if change > 0 else 1.0
    for after, most in _SHORTER_AFTER:
        if iteration >= after:
            length = min(length, most)
    return length
