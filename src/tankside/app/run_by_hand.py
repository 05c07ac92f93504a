"""Use case: a run by hand. The person turns the knob and types what the meters show.

Charge is the integral between readings, so they are asked for often while things change and seldom
afterwards; each is held against the plan, and what looks wrong is said at once.
"""

from dataclasses import dataclass

import numpy as np

from tankside.app.hand_readings import remarks_on, series_of
from tankside.app.run_ports import RunKeeper
from tankside.base.errors import BadInput
from tankside.base.messages import said
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

FIRST_READING_S, RAMP_READING_S = 120.0, 300.0
EARLY_READING_S, LATER_READING_S, EARLY_S = 900.0, 3600.0, 3600.0
"""When the meters are to be read: soon after the part went in, often while copper covers it, and in
the first EARLY_S of the long build oftener than later. Our judgement: a reading a person does not
get round to is worth nothing, and what goes wrong goes wrong early."""

LATEST_TWICE_S = 3.0
"""A reading of the same values this near an earlier one is the same, sent again because the answer
was lost [s]."""

READING = said("reading")
"""Name of the alarm that a reading raised."""


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

    def switched_on(self, at: float) -> Setting:
        """The supply is on at the first setting; the part hangs over the bath still."""
        if self.state.stage is Stage.PLANNED:
            self._happened(e.Begun(at=at))
        self._happened(e.PoweredOn(at=at))
        return self.recipe.settings[self.state.number or 0]

    def immersed(self, at: float) -> None:
        """The part is in the bath: the run starts, or goes on where it was paused."""
        if self.state.paused:
            self._happened(e.Immersed(at=at), e.Resumed(at=at))
            return
        first = self.recipe.settings[0]
        self._happened(
            e.Immersed(at=at),
            e.RampStarted(at=at),
            e.Set(at=at, current=first.current, voltage_limit=first.voltage_limit, number=0),
        )

    def began(self, at: float) -> Setting:
        """Both at one moment."""
        first = self.switched_on(at)
        self.immersed(at)
        return first

    def read(
        self,
        at: float,
        voltage: float,
        current: float,
        temperature: float | None = None,
        level_drop: float | None = None,
        *,
        told_at: float | None = None,
        more: bool = False,
    ) -> Told:
        """What the meters show; BadInput where they cannot show that. `told_at` is when the person
        is told what to set, where the reading comes later than it was taken [s since 1970]; with
        `more` readings waiting behind it, nothing is told to be set yet."""
        refused(voltage, current)
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
        bath = (said("{seen} {do}", seen=alarm.seen, do=alarm.do) for alarm in outside(seen))
        remarks = (
            *remarks_on(voltage, current, self.state, self.expected, self.amount().charge),
            *bath,
        )
        self._happened(*(e.AlarmRaised(at=at, by="watch", alarm=READING, words=r) for r in remarks))
        set_now, over = None, False
        if not more:
            set_now, over = self._due(at if told_at is None else max(at, told_at))
        return Told(
            state=self.state,
            progress=progress_of(self.recipe, self.state, self.amount(), self.in_setting()),
            amount=self.amount(),
            set_now=set_now,
            over=over,
            remarks=remarks,
        )

    def paused(self, at: float, reason: str) -> None:
        """The person switched off."""
        self._happened(e.Paused(at=at, reason=reason), e.PoweredOff(at=at, reason=reason))

    def resumed(self, at: float) -> None:
        """The person switched on again; a part that was lifted out goes in next."""
        self._happened(e.PoweredOn(at=at))
        if self.state.immersed and self.state.paused:
            self._happened(e.Resumed(at=at))

    def lifted(self, at: float) -> None:
        """The part is out of the bath."""
        self._happened(e.Lifted(at=at))

    def answered(self, at: float) -> None:
        """The person has seen what was remarked."""
        self._happened(*(e.AlarmAnswered(at=at, alarm=one) for one in self.state.open_alarms))

    def noted(self, at: float, text: str) -> None:
        """A remark of the person, or about what could not be counted."""
        self._happened(e.Noted(at=at, text=text))

    def aborted(self, at: float, reason: str) -> None:
        """The person switched off and gave it up."""
        self._happened(e.Aborted(at=at, reason=reason), e.PoweredOff(at=at, reason=reason))

    def ended(self, at: float) -> None:
        """The person switched off at the end."""
        self._happened(e.Ended(at=at), e.PoweredOff(at=at))

    def holds(self, at: float, voltage: float, current: float) -> bool:
        """Whether this very reading is kept already."""
        return any(
            abs(one.at - at) <= LATEST_TWICE_S and (one.voltage, one.current) == (voltage, current)
            for one in self.events
            if isinstance(one, e.Read)
        )

    def reading_due(self) -> float | None:
        """When the meters are to be read next [s since 1970]: at an interval that grows, and when
        the setting in force should be over. None while nothing runs."""
        state = self.state
        if state.stage not in RUNNING or state.number is None:
            return None
        reads = [one.at for one in self.events if isinstance(one, e.Read)]
        started = next(one.at for one in self.events if isinstance(one, e.RampStarted))
        if not reads:
            return started + FIRST_READING_S
        building = next((one.at for one in self.events if isinstance(one, e.PlatingStarted)), None)
        if building is None:
            wait = RAMP_READING_S
        else:
            wait = EARLY_READING_S if reads[-1] < building + EARLY_S else LATER_READING_S
        setting = self.recipe.settings[state.number]
        counted = self.in_setting()
        since = max(reads[-1], state.set_at)
        return min(reads[-1] + wait, since + setting.to_go(counted.plated, counted.charge))

    def supposed(self, now: float) -> Amount:
        """Plating up to `now` [s since 1970], if the current has stayed as it was last known."""
        counted = self.amount()
        if self.state.stage not in RUNNING or not self.state.powered:
            return counted
        last = next(
            one for one in reversed(self.events) if isinstance(one, e.Read | e.Set | e.Resumed)
        )
        current = self.state.current if isinstance(last, e.Resumed) else last.current
        span = min(max(0.0, now - last.at), LONGEST_HAND_GAP_S)
        return Amount(plated=counted.plated + span, charge=counted.charge + current * span)

    def amount(self) -> Amount:
        """Plating so far, by the readings; spans with the supply off count as nothing."""
        return self._amount(0.0)

    def series(self) -> Series:
        """The readings as samples."""
        return series_of(self.events)

    def in_setting(self) -> Amount:
        """Plating since the setting in force began, by the readings."""
        return self._amount(self.state.set_at)

    def _amount(self, since: float) -> Amount:
        series = self.series()
        counted = totals(series.between(since, np.inf), LONGEST_HAND_GAP_S)
        return Amount(plated=counted.sampled, charge=counted.charge)

    def _due(self, at: float) -> tuple[Setting | None, bool]:
        due = next_of(self.recipe, self.state, self.in_setting())
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

    def _happened(self, *events: Event) -> None:
        if not events:
            return
        state = self.state
        for event in events:
            state = advanced(state, event)
        self.keeper.add_events(events)
        self.events.extend(events)
        self.state = state


def refused(voltage: float, current: float) -> None:
    """BadInput where no bench supply shows such a voltage [V] and current [A]."""
    if not (0.0 <= voltage < 100.0 and 0.0 <= current < 1000.0):
        raise BadInput(
            "{voltage:g} V and {current:g} A are not readings of a bench supply",
            voltage=voltage,
            current=current,
        )


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
