"""What came of a start: when copper covered each place, and what the contacts bore until then.

A place is covered when its deposit has reached a stated thickness. The front at any time is the
edge of what is covered by then. Around each contact is a collar, the panels within three radii of
its wire and those beside the ones under it: while the copper there is thin it carries the whole
part's current, and a burnt or hot collar parts the wire from the coat. Watch a growth with a
`FrontWatch` and ask it in the end.
"""

from dataclasses import dataclass
from math import inf

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.provenance import Evidence, Sourced
from tankside.field.deposit import Moment
from tankside.field.numbers import area_percentiles
from tankside.field.problem import FieldSolution
from tankside.field.seed.shell import SeedShell

COVERING_THICKNESS = Sourced(
    name="thickness from which copper covers a coat and carries the current for it",
    value=Interval(0.3e-6, 1e-6, 3e-6),
    unit="m",
    evidence=Evidence.GUESS,
    valid="conducting paint on a print",
    note="common practice counts a place as covered when it looks like copper, which is earlier",
)

HEAT_TRANSFER = Sourced(
    name="heat that a hot spot of about a millimetre gives to stirred liquid, by area and kelvin",
    value=Interval(300.0, 1000.0, 3000.0),
    unit="W m⁻² K⁻¹",
    evidence=Evidence.GUESS,
    valid="coat on plastic, which takes none of the heat",
    note="conduction into still water from a spot of radius r gives k / r, 1200 for 0.5 mm",
)

BURNING_FROM = 0.95
"""Fraction of copper's limiting current that counts as burning [-]: our choice, as in a plan."""

RISK_FROM = 0.6
"""Fraction of copper's limiting current from which thin copper is at risk [-]: our choice."""

_COLLAR = 3.0
"""Reach of a collar over the contact's radius [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Collar:
    """The coat around one contact while its copper was thinner than the covering thickness.

    largest_fraction    of copper's limiting current [-]
    burning_time        for which it was at BURNING_FROM or above [s]
    largest_current     that the contact fed to the coat [A], at any time
    largest_heat        Joule heat in coat and copper [W m⁻²];  temperature_rise by it [K]
    """

    name: str
    largest_fraction: float
    burning_time: float
    largest_current: float
    largest_heat: float
    temperature_rise: Interval

    @property
    def risk(self) -> str:
        """In a word: "burns", "risk" or "safe"."""
        if self.largest_fraction >= BURNING_FROM:
            return "burns"
        return "risk" if self.largest_fraction > RISK_FROM else "safe"


@dataclass(frozen=True, kw_only=True)
class Covering:
    """How copper spread over a coat.

    covering_thickness   [m]
    covered_at           (n,) [s]; infinite where it was not by the end, nan off the coat
    areas                (n,) of the panels [m²]
    worst_fraction       (n,) largest fraction of copper's limit while thinner than covering [-]
    times                (steps + 1,) [s], from switch-on;  current [A] and voltage [V] at them
    heat                 (steps + 1,) Joule heat in coat and copper [W]
    collars              contact by contact
    islands              sentences on places that no current reaches
    """

    covering_thickness: float
    covered_at: Floats
    areas: Floats
    worst_fraction: Floats
    times: Floats
    current: Floats
    voltage: Floats
    heat: Floats
    collars: tuple[Collar, ...]
    islands: tuple[str, ...]

    def __post_init__(self) -> None:
        for name in (
            "covered_at",
            "areas",
            "worst_fraction",
            "times",
            "current",
            "voltage",
            "heat",
        ):
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))

    def covered_share(self, time: float) -> float:
        """Share of the coat's area that is covered by a time [s]."""
        coat = ~np.isnan(self.covered_at)
        covered = float(self.areas[coat & (self.covered_at <= time)].sum())
        return covered / float(self.areas[coat].sum())

    def time_of(self, share: float) -> float:
        """When a share of the coat's area is covered [s]; infinite if not by the end."""
        coat = ~np.isnan(self.covered_at)
        late = np.where(np.isinf(self.covered_at[coat]), 1e300, self.covered_at[coat])
        time = area_percentiles(late, self.areas[coat], (100.0 * share,))[0]
        return inf if time > 1e200 else float(time)

    @property
    def charge(self) -> Floats:
        """Spent by each of `times` [C]."""
        pieces = np.diff(self.times) * (self.current[1:] + self.current[:-1]) / 2
        return np.concatenate([[0.0], np.cumsum(pieces)])


class FrontWatch:
    """Gathers what `Covering` tells; give it to `grow` as its watch."""

    def __init__(
        self, shell: SeedShell, covering_thickness: float = COVERING_THICKNESS.value.best
    ) -> None:
        if not covering_thickness > 0:
            raise BadInput(
                "the thickness that covers must be above zero, not {covering_thickness!r} m",
                covering_thickness=covering_thickness,
            )
        self.covering_thickness, self.shell = covering_thickness, shell
        self.coat: Bools = shell.coat.coated
        self.covered_at = np.where(self.coat, inf, np.nan)
        self.worst = np.zeros(len(self.covered_at))
        self.rows: list[tuple[float, float, float, float]] = []
        contacts = len(shell.contacts)
        self.collars: list[Bools] = []
        self.fraction, self.burning = np.zeros(contacts), np.zeros(contacts)
        self.fed, self.hottest = np.zeros(contacts), np.zeros(contacts)

    def __call__(self, moment: Moment) -> None:
        """One step of the growth."""
        if not self.rows:
            self.collars = _collars(self.shell, moment.before)
            self._looked(0.0, 0.0, moment.before, moment.thickness_before)
        before, after = moment.thickness_before, moment.thickness
        here = self.coat & (before < self.covering_thickness) & (after >= self.covering_thickness)
        share = (self.covering_thickness - before[here]) / (after[here] - before[here])
        self.covered_at[here] = moment.start + share * (moment.end - moment.start)
        self._looked(moment.end, moment.end - moment.start, moment.after, after)

    def covering(self) -> Covering:
        """What was gathered; BadInput where nothing was watched."""
        if not self.rows:
            raise BadInput("no growth was watched; give the watch to grow first")
        rows = np.array(self.rows)
        return Covering(
            covering_thickness=self.covering_thickness,
            covered_at=self.covered_at,
            areas=self.areas,
            worst_fraction=self.worst,
            times=rows[:, 0],
            current=rows[:, 1],
            voltage=rows[:, 2],
            heat=rows[:, 3],
            collars=tuple(self._collar(number) for number in range(len(self.collars))),
            islands=self.shell.network.islands,
        )

    def _looked(
        self, time: float, duration: float, solution: FieldSolution, thickness: Floats
    ) -> None:
        """Takes in a field; `duration` is how long it is taken to have held."""
        self.areas = solution.problem.panels.areas
        thin = self.coat & (thickness < self.covering_thickness)
        fraction = np.where(thin, solution.fraction_of_limit, 0.0)
        self.worst = np.maximum(self.worst, fraction)
        power = 0.0
        if isinstance(metal := solution.problem.metal, SeedShell):
            heat = metal.heat(solution.current_density)
            power = float(heat @ self.areas)
            self.fed = np.maximum(self.fed, metal.contact_currents(solution.current_density))
            for number, collar in enumerate(self.collars):
                here = float(fraction[collar].max(initial=0.0))
                self.fraction[number] = max(self.fraction[number], here)
                self.burning[number] += duration * (here >= BURNING_FROM)
                self.hottest[number] = max(
                    self.hottest[number], float(heat[collar].max(initial=0.0))
                )
        self.rows.append((time, solution.supply_current, solution.cell_voltage, power))

    def _collar(self, number: int) -> Collar:
        heat = float(self.hottest[number])
        transfer = HEAT_TRANSFER.value
        return Collar(
            name=self.shell.contacts[number].name,
            largest_fraction=float(self.fraction[number]),
            burning_time=float(self.burning[number]),
            largest_current=float(self.fed[number]),
            largest_heat=heat,
            temperature_rise=Interval(
                heat / transfer.high, heat / transfer.best, heat / transfer.low
            ),
        )


def _collars(shell: SeedShell, solution: FieldSolution) -> list[Bools]:
    """The panels around each contact (n,)."""
    panels, found = solution.problem.panels, []
    for contact, terminal in zip(shell.contacts, shell.network.terminals, strict=True):
        away = np.linalg.norm(panels.centroids - contact.position, axis=1)
        near = shell.coat.coated & (away <= _COLLAR * contact.radius)
        beside = (shell.network.nodes == terminal).any(axis=1)
        near[shell.network.panels[beside]] = True
        found.append(near)
    return found
