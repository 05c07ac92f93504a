"""A coat's sheet resistance from a multimeter held to a part of any shape.

A reading between two marked places is R = R_s g + c: g is the two-point resistance of the shape for
one ohm per square, by the shell model with probe tips of finite size; c is what leads and tips add
every time. Readings scatter by a factor; its logarithm is normal (a worn tip, a thin brush stroke).

With flat beliefs on ln R_s, c believed to lie in the interval that is given, and the scatter known
or drawn from the readings themselves, Bayes' rule on a grid gives R_s nine times in ten. It answers
for one coat, everywhere alike: readings that do not fit one number show as a wide interval.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.field.panels import Panels
from tankside.field.seed.coat import Coat, DepositConduction, even_coat
from tankside.field.seed.contacts import ShellContact
from tankside.field.seed.network import pieces_of
from tankside.field.seed.sheet import Sheet
from tankside.field.seed.shell import seed_shell

PROBE_RADIUS = 5e-4
"""Of a multimeter's tip where it touches [m]: common practice, no source."""

LEADS = Interval(0.1, 0.3, 1.0)
"""Resistance of leads and tips [ohm]: common practice, no source."""

_SCATTERS = (0.01, 0.6)
"""Scatter of ln R between which it is sought where it is not given [-]."""

_GRID = 241, 31, 25
"""Places of the grid in ln R_s, c and ln scatter."""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A resistance [ohm] read between two places (3,) [m]."""

    first: Floats
    second: Floats
    resistance: float

    def __post_init__(self) -> None:
        for name in ("first", "second"):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))
        if not 0 < self.resistance < np.inf:
            raise BadInput(
                "a reading must be a resistance above zero, not {resistance!r} ohm; a meter that "
                "shows no value found no coat between its tips",
                resistance=self.resistance,
            )


@dataclass(frozen=True, kw_only=True)
class CoatEstimate:
    """Sheet resistance [ohm], of leads and tips [ohm], and the scatter of ln R [-], each nine times
    in ten; factors g of the readings [-], and each reading over what the best guess gives [-]."""

    sheet_resistance: Interval
    leads: Interval
    scatter: Interval
    factors: Floats
    misfits: Floats


def shape_factor(
    panels: Panels, where: Bools, reading: Reading, probe_radius: float = PROBE_RADIUS
) -> float:
    """Resistance between the reading's places of a coat of 1 ohm per square on `where` (n,) [-].

    BadInput where the places lie on separate pieces or under one tip.
    """
    return resistance_between(panels, even_coat(where, 1.0), reading, probe_radius)


def resistance_between(
    panels: Panels, coat: Coat, reading: Reading, probe_radius: float = PROBE_RADIUS
) -> float:
    """Resistance of a coat of any paints between the reading's places [ohm], without leads.

    BadInput as for `shape_factor`.
    """
    tips = tuple(
        ShellContact(name=f"the {name} tip", position=place, radius=probe_radius)
        for name, place in (("first", reading.first), ("second", reading.second))
    )
    shell = seed_shell(panels, coat, tips, DepositConduction(resistivity=1.0))
    network = shell.network
    one, other = (int(terminal) for terminal in network.terminals)
    if one == other:
        raise BadInput("both tips of a reading touch the same place; mark places farther apart")
    piece = pieces_of(network.nodes)
    at_one, at_other = ((network.nodes == node).any(axis=1).argmax() for node in (one, other))
    if piece[at_one] != piece[at_other]:
        raise BadInput("the two places of a reading lie on pieces of coat that are not joined")
    held = np.zeros(network.count, dtype=np.bool_)
    held[one] = True
    sheet = Sheet.of(panels, shell.coat, network, held)
    none = np.zeros(len(network.panels))
    weak = np.full(network.count, 1e-12 / float(np.nanmin(coat.sheet_resistance)))
    injected = np.zeros(network.count)
    injected[other] = 1.0
    potentials = sheet.factored(none, none, weak).potentials(injected)
    under = [float(coat.sheet_resistance[network.panels[tip]].mean()) for tip in network.under]
    return float(potentials[other] + network.coarseness @ np.array(under))


def estimated(
    readings: Sequence[Reading],
    factors: Floats,
    *,
    leads: Interval = LEADS,
    scatter: float | None = None,
) -> CoatEstimate:
    """The coat that the readings speak of, given their shape factors (k,) [-]; `scatter` of ln R
    [-] where it is known, such as 0.05 for five percent; else three readings at least."""
    if len(readings) != len(factors) or not len(factors):
        raise BadInput(
            "{readings} readings and {factors} shape factors do not go along",
            readings=len(readings),
            factors=len(factors),
        )
    if scatter is None and len(readings) < 3:
        raise BadInput(
            "{readings} readings do not tell how far they scatter; take three or more, or give "
            "the scatter",
            readings=len(readings),
        )
    read = np.log([reading.resistance for reading in readings])
    grid = _Grid.about(read, np.asarray(factors), leads, scatter)
    weight = grid.posterior(read, np.asarray(factors))
    found = grid.interval(weight, 0)
    sheet = Interval(*(float(np.exp(end)) for end in (found.low, found.best, found.high)))
    lead = grid.interval(weight, 1)
    spread = grid.interval(weight, 2)
    model = sheet.best * np.asarray(factors) + lead.best
    return CoatEstimate(
        sheet_resistance=sheet,
        leads=lead,
        scatter=Interval(*(float(np.exp(end)) for end in (spread.low, spread.best, spread.high))),
        factors=frozen_floats(factors),
        misfits=frozen_floats(np.exp(read) / model),
    )


@dataclass(frozen=True)
class _Grid:
    """Axes: ln R_s, c [ohm], ln scatter; `belief` (c,) before the readings."""

    logs: Floats
    leads: Floats
    scatters: Floats
    belief: Floats

    @classmethod
    def about(
        cls, read: Floats, factors: Floats, leads: Interval, scatter: float | None
    ) -> "_Grid":
        most = np.log(np.exp(read) / factors)
        low = np.log(np.maximum(np.exp(read) - leads.high, 0.02 * np.exp(read)) / factors)
        wide = 3.0 * (scatter if scatter is not None else max(float(np.std(most)), 0.05))
        width = max(leads.high - leads.low, 1e-9)
        c = np.linspace(max(0.0, leads.low - 0.3 * width), leads.high + 0.3 * width, _GRID[1])
        sigma = max((leads.high - leads.low) / 3.29, 1e-9)
        ends = _SCATTERS if scatter is None else (scatter, scatter)
        return cls(
            logs=np.linspace(float(low.min()) - wide, float(most.max()) + wide, _GRID[0]),
            leads=c,
            scatters=np.linspace(log(ends[0]), log(ends[1]), _GRID[2] if scatter is None else 1),
            belief=np.exp(-0.5 * ((c - leads.best) / sigma) ** 2),
        )

    def posterior(self, read: Floats, factors: Floats) -> Floats:
        """Weight of each place of the grid, summing to one."""
        model = np.exp(self.logs)[:, None, None] * factors + self.leads[None, :, None]
        squares = ((read - np.log(model)) ** 2).sum(axis=2)
        logs = -0.5 * squares[:, :, None] * np.exp(-2 * self.scatters)
        logs = logs - len(read) * self.scatters + np.log(self.belief + 1e-300)[None, :, None]
        weight = np.exp(logs - logs.max())
        return np.asarray(weight / weight.sum())

    def interval(self, weight: Floats, axis: int) -> Interval:
        """Median and the ends that leave out a twentieth on each side."""
        places = (self.logs, self.leads, self.scatters)[axis]
        along = weight.sum(axis=tuple(k for k in range(3) if k != axis))
        if len(places) == 1:
            return Interval.exact(float(places[0]))
        half = (along[1:] + along[:-1]) / 2
        total = np.concatenate([[0.0], np.cumsum(half)])
        low, best, high = np.interp([0.05, 0.5, 0.95], total / total[-1], places)
        return Interval(float(low), float(best), float(high))
