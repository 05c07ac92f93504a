"""Use case: a run by hand. The person turns the knob and types what the meters show.

Charge is the integral between readings, so they are asked for often while things change and seldom
afterwards; each is held against the plan, and what looks wrong is said at once.
"""

from dataclasses import dataclass

import numpy as np

from tankside.app.run_ports import RunKeeper
from tankside.base.errors import BadInput
from tankside.runs import events as e
from tankside.runs.conditions import Conditions, outside
from tankside.runs.conduct import Amount, Progress, next_of, progress_of
from tankside.runs.events import Event
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe, Setting
from tankside.runs.series import Series, totals
from tankside.runs.states import RUNNING, RunState, Stage, advanced, replayed

LONGEST_HAND_GAP_S = 6 * 3600.0
"""Readings further apart than this say nothing of the current between them: our judgement."""

HIGH, LOW = 1.4, 0.5
"""Voltage over the expected one from which a reading is questioned [-], widened by the spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """The answer to a reading: the state, how far it is, what to set now (None: leave it), whether
    the run is over, and remarks."""

    state: RunState
    progress: Progress
    amount: Amount
    set_now: Setting | None
    over: bool
    remarks: tuple[str, ...]


class HandRun:
    """A run whose readings are typed; `at` is the moment [s since 1970] that each is said for."""

    def __init__(
        self,
        recipe: Recipe,
        expected: Expected,
        keeper: RunKeeper,
        planned_temperature: float | None = None,
    ) -> None:
        self.planned_temperature = planned_temperature
        self.recipe, self.expected, self.keeper = recipe, expected, keeper
        self.events = list(keeper.events())
        self.state = replayed(self.events)

    def began(self, at: float) -> Setting:
        """The supply is on at the first setting, and the part went in."""
        first = self.recipe.settings[0]
        self._happened(
            e.Begun(at=at),
            e.PoweredOn(at=at),
            e.Immersed(at=at),
            e.RampStarted(at=at),
            e.Set(at=at, current=first.current, voltage_limit=first.voltage_limit, number=0),
        )
        return first

    def read(
        self,
        at: float,
        voltage: float,
        current: float,
        temperature: float | None = None,
        level_drop: float | None = None,
    ) -> Told:
        """What the meters show; BadInput where they cannot show that."""
        if not (0.0 <= voltage < 100.0 and 0.0 <= current < 1000.0):
            raise BadInput(f"{voltage:g} V and {current:g} A are not readings of a bench supply")
        self._happened(
            e.Read(
                at=at,
                voltage=voltage,
                current=current,
                temperature=temperature,
                level_drop=level_drop,
            )
        )
        seen = Conditions(
            temperature=temperature,
            level_drop=level_drop,
            planned_temperature=self.planned_temperature,
        )
        bath = (f"{alarm.seen} {alarm.do}" for alarm in outside(seen))
        remarks = (*self._remarks(voltage, current), *bath)
        set_now, over = self._due(at)
        return Told(
            state=self.state,
            progress=progress_of(self.recipe, self.state, self.amount(), self._in_setting()),
            amount=self.amount(),
            set_now=set_now,
            over=over,
            remarks=remarks,
        )

    def paused(self, at: float, reason: str) -> None:
        """The person switched off."""
        self._happened(e.Paused(at=at, reason=reason), e.PoweredOff(at=at, reason=reason))

    def resumed(self, at: float) -> None:
        """The person switched on again."""
        self._happened(e.PoweredOn(at=at), e.Resumed(at=at))

    def ended(self, at: float) -> None:
        """The person switched off at the end."""
        self._happened(e.Ended(at=at), e.PoweredOff(at=at))

    def amount(self) -> Amount:
        """Plating so far, by the readings; spans with the supply off count as nothing."""
        return self._amount(0.0)

    def series(self) -> Series:
        """The readings as samples; where the supply was switched, with a reading of none or of the
        last one put in, so that the integral sees the pause."""
        rows: list[tuple[float, float, float]] = []
        for event in self.events:
            if isinstance(event, e.Read):
                _put(rows, event.at, event.voltage, event.current)
            elif isinstance(event, e.PoweredOff) and rows:
                _put(rows, event.at, rows[-1][1], rows[-1][2])
                _put(rows, event.at + 1e-3, 0.0, 0.0)
            elif isinstance(event, e.Resumed) and rows:
                _put(rows, event.at, 0.0, 0.0)
            elif isinstance(event, e.Set):
                _put(rows, event.at, 0.0 if not rows else rows[-1][1], event.current)
        table = np.array(rows).reshape(-1, 3)
        return Series.of(table[:, 0], table[:, 1], table[:, 2])

    def _in_setting(self) -> Amount:
        return self._amount(self.state.set_at)

    def _amount(self, since: float) -> Amount:
        series = self.series()
        counted = totals(series.between(since, np.inf), LONGEST_HAND_GAP_S)
        return Amount(plated=counted.sampled, charge=counted.charge)

    def _due(self, at: float) -> tuple[Setting | None, bool]:
        due = next_of(self.recipe, self.state, self._in_setting())
        if due is None:
            return None, False
        if due.number is None:
            return None, True
        setting = self.recipe.settings[due.number]
        if due.begins_plating:
            self._happened(e.PlatingStarted(at=at))
        if due.number == self.state.number:
            return None, False
        self._happened(
            e.Set(
                at=at,
                current=setting.current,
                voltage_limit=setting.voltage_limit,
                number=due.number,
            )
        )
        return setting, False

    def _remarks(self, voltage: float, current: float) -> tuple[str, ...]:
        found = []
        if self.state.stage in RUNNING and current < 0.1 * self.state.current:
            found.append("Hardly any current flows: look for a wire that came off.")
        elif abs(current - self.state.current) > 0.1 * self.state.current:
            found.append(
                f"{current:.3g} A flow where {self.state.current:.3g} A were set; set it anew, or "
                "look why the voltage limit rules."
            )
        wanted = self.expected.voltage_at(current, self.amount().charge)
        if wanted > 0.0 and current > 0.0:
            ratio, spread = voltage / wanted, self.expected.spread
            if ratio > HIGH + spread:
                found.append(
                    f"{voltage:.3g} V is well above the {wanted:.3g} V expected: look at contacts "
                    "and anodes."
                )
            elif ratio < LOW * (1 - spread):
                found.append(
                    f"{voltage:.3g} V is well below the {wanted:.3g} V expected: look whether the "
                    "part or a wire touches an anode."
                )
        return tuple(found)

    def _happened(self, *events: Event) -> None:
        state = self.state
        for event in events:
            state = advanced(state, event)
        self.keeper.add_events(events)
        self.events.extend(events)
        self.state = state


def stage_words(state: RunState) -> str:
    """The stage as a person says it."""
    return {
        Stage.PLANNED: "not begun",
        Stage.ENTRY: "about to go in",
        Stage.RAMP: "copper is covering the part",
        Stage.PLATING: "plating",
        Stage.PAUSED: "paused",
        Stage.ENDED: "ended",
        Stage.ABORTED: "given up",
    }[state.stage]


def _put(rows: list[tuple[float, float, float]], at: float, voltage: float, current: float) -> None:
    """A row, a hair after the last where they coincide."""
    if rows and at <= rows[-1][0]:
        at = rows[-1][0] + 1e-3
    rows.append((at, voltage, current))
