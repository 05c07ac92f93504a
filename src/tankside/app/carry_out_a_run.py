"""Use case: carry out a run on a supply, second by second, and go on with one that was cut off.

The recipe is followed by what was really plated; every sample and event is kept before the next is
taken; alarms that cannot wait switch the output off. However this ends, the output is off.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, nan

from tankside.app.run_ports import Clock, Reading, RunKeeper, Supply
from tankside.base.errors import HardwareFault
from tankside.base.messages import said
from tankside.runs import events as e
from tankside.runs.alarms import Alarm, Sample, Watch, observed
from tankside.runs.conditions import Conditions, outside
from tankside.runs.conduct import Amount, Next, Progress, next_of, progress_of, unpowered_warning
from tankside.runs.events import Event
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe
from tankside.runs.series import LONGEST_GAP_S, Series, totals
from tankside.runs.states import RUNNING, RunState, Stage, advanced, replayed

PACE_S = 1.0
"""Between two samples."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """What a face shows once a second: the state, what flows, what was expected [V], how far it
    is, alarms newly raised, a warning or "", and how long the part has hung in the bath without
    current [s]."""

    state: RunState
    reading: Reading
    expected_voltage: float
    amount: Amount
    progress: Progress
    alarms: tuple[Alarm, ...]
    warning: str
    unpowered: float = 0.0


def _none() -> float | None:
    """No thermometer."""
    return None


class LiveRun:
    """A run on a supply: `begin` or `resume` it, then `second` by second until it is over."""

    def __init__(
        self,
        recipe: Recipe,
        expected: Expected,
        supply: Supply,
        clock: Clock,
        keeper: RunKeeper,
        *,
        thermometer: Callable[[], float | None] = _none,
        planned_temperature: float | None = None,
    ) -> None:
        """`thermometer` gives the bath's temperature [K], or None; alarms tell when it leaves the
        planned one [K]."""
        self.recipe, self.expected = recipe, expected
        self.supply, self.clock, self.keeper = supply, clock, keeper
        self.thermometer, self.planned_temperature = thermometer, planned_temperature
        self._outside: tuple[str, ...] = ()
        events, series = keeper.events(), keeper.series()
        self.state = replayed(events)
        self.watch = Watch()
        ramp = next((one.at for one in events if isinstance(one, e.RampStarted)), inf)
        self.amount = _amount(series.between(ramp, inf))
        self.at_setting = _amount(series.between(ramp, self.state.set_at))
        self._last: tuple[float, float] | None = None
        self._latest = max(self.state.at, float(series.time[-1]) if len(series) else 0.0)
        self._shift = max(0.0, self._latest - self.clock.now())
        self._note_gap(series)

    def begin(self) -> None:
        """Hung and ready: the output goes on before the part goes in, at the first setting."""
        self._happened(e.Begun(at=self._now()))
        first = self.recipe.settings[0]
        self.supply.set(first.current, first.voltage_limit)
        self.supply.on()
        self._happened(e.PoweredOn(at=self._now(), by="supply"))

    def immersed(self) -> None:
        """The part is in the bath: the run starts, or goes on where it was paused."""
        self._happened(e.Immersed(at=self._now()))
        if self.state.paused:
            self._happened(e.Resumed(at=self._now()))
        else:
            self._happened(e.RampStarted(at=self._now()))

    def lifted(self) -> None:
        """The part is out of the bath."""
        self._happened(e.Lifted(at=self._now()))

    def answered(self) -> None:
        """The person has seen the alarms."""
        at = self._now()
        self._happened(*(e.AlarmAnswered(at=at, alarm=one) for one in self.state.open_alarms))

    def pause(self, reason: str) -> None:
        """Output off; the part should come out of the bath soon."""
        self.supply.off()
        at = self._now()
        if self.state.stage in RUNNING:
            self._happened(e.Paused(at=at, reason=reason))
        self._off(at, reason)

    def resume(self) -> None:
        """Output on again at the setting in force, and the run goes on, once a part that was lifted
        out is in the bath; refused before the supply is touched where the run is over."""
        advanced(self.state, e.PoweredOn(at=self._now()))
        number = self.state.number or 0
        setting = self.recipe.settings[number]
        self.supply.set(setting.current, setting.voltage_limit)
        self.supply.on()
        at = self._now()
        self._happened(e.PoweredOn(at=at, by="supply"))
        if self.state.stage is Stage.PAUSED and self.state.immersed:
            self._happened(e.Resumed(at=at))
        self._last = None
        self.watch = Watch()

    def abort(self, reason: str) -> None:
        """Output off, and the run given up."""
        self.supply.off()
        at = self._now()
        self._off(at, reason)
        self._happened(e.Aborted(at=at, reason=reason))

    def second(self) -> Moment:
        """Takes one sample, keeps it, and does what is due; the clock then waits."""
        try:
            moment = self._lived()
        except HardwareFault as fault:
            self._fault(fault)
            raise
        self.clock.wait(PACE_S)
        return moment

    def _now(self) -> float:
        """The clock's time; where it was set back since the last time, on from there."""
        self._latest = max(self._latest + 1e-3, self.clock.now() + self._shift)
        return self._latest

    def _lived(self) -> Moment:
        now = self._now()
        reading = (
            self.supply.measured() if self.state.powered else Reading(voltage=0.0, current=0.0)
        )
        if self.state.powered:
            temperature = self.thermometer()
            self.keeper.add_sample(
                now, reading.voltage, reading.current, nan if temperature is None else temperature
            )
            self._counted(now, reading.current)
            seen = Conditions(temperature=temperature, planned_temperature=self.planned_temperature)
            conditions = self._conditions(now, seen)
        else:
            conditions = ()
        alarms = (*self._alarms(now, reading), *conditions)
        in_setting = self.amount.since(self.at_setting)
        due = next_of(self.recipe, self.state, in_setting)
        if due is not None:
            self._do(due)
            in_setting = self.amount.since(self.at_setting)
        return Moment(
            state=self.state,
            reading=reading,
            expected_voltage=self.expected.voltage_at(reading.current, self.amount.charge),
            amount=self.amount,
            progress=progress_of(self.recipe, self.state, self.amount, in_setting),
            alarms=alarms,
            warning=unpowered_warning(self.state, now),
            unpowered=self.state.unpowered_until(now),
        )

    def _conditions(self, now: float, seen: Conditions) -> tuple[Alarm, ...]:
        """Alarms of the bath itself that are new."""
        alarms = outside(seen)
        new = tuple(alarm for alarm in alarms if alarm.name not in self._outside)
        if seen.temperature is not None:
            self._outside = tuple(alarm.name for alarm in alarms)
        for alarm in new:
            self._happened(e.AlarmRaised(at=now, by="watch", alarm=alarm.name, words=alarm.seen))
        return new

    def _alarms(self, now: float, reading: Reading) -> tuple[Alarm, ...]:
        if self.state.stage not in RUNNING or not self.state.powered or self.state.number is None:
            return ()
        sample = Sample(
            time=now,
            voltage=reading.voltage,
            current=reading.current,
            set_current=self.state.current,
            voltage_limit=self.state.voltage_limit,
            charge=self.amount.charge,
            ramp=self.state.stage is Stage.RAMP,
        )
        self.watch, alarms = observed(self.watch, sample, self.expected)
        for alarm in alarms:
            self._happened(e.AlarmRaised(at=now, by="watch", alarm=alarm.name, words=alarm.seen))
        if any(alarm.off for alarm in alarms):
            self.pause(next(alarm.name for alarm in alarms if alarm.off))
        return alarms

    def _do(self, due: Next) -> None:
        if due.number is None:
            self.supply.off()
            at = self._now()
            self._happened(e.Ended(at=at, by="recipe"), e.PoweredOff(at=at, by="recipe"))
            return
        setting = self.recipe.settings[due.number]
        self.supply.set(setting.current, setting.voltage_limit)
        at = self._now()
        if due.begins_plating:
            self._happened(e.PlatingStarted(at=at, by="recipe"))
        if due.number != self.state.number:
            self._happened(
                e.Set(
                    at=at,
                    by="recipe",
                    current=setting.current,
                    voltage_limit=setting.voltage_limit,
                    number=due.number,
                )
            )
            self.at_setting = self.amount

    def _counted(self, now: float, current: float) -> None:
        if self._last is not None and now - self._last[0] <= LONGEST_GAP_S:
            span = now - self._last[0]
            charge = span * (current + self._last[1]) / 2
            if self.state.stage in RUNNING:
                self.amount = Amount(
                    plated=self.amount.plated + span, charge=self.amount.charge + charge
                )
        self._last = (now, current)

    def _note_gap(self, series: Series) -> None:
        """A run that was cut off while the output was on: the guardian has switched it off."""
        if not self.state.powered or self.state.over:
            return
        now = self._now()
        since = float(series.time[-1]) if len(series) else self.state.at
        reason = said("the program or the power was cut")
        self._happened(e.Gap(at=now, by="program", since=since, reason=reason))
        if self.state.stage in RUNNING:
            self._happened(e.Paused(at=now, by="program", reason=reason))
        self._happened(e.PoweredOff(at=now, by="program", reason=reason))

    def _fault(self, fault: HardwareFault) -> None:
        at = self._now()
        words = fault.message
        self._happened(e.AlarmRaised(at=at, by="supply", alarm=said("supply"), words=words))
        if self.state.stage in RUNNING:
            self._happened(e.Paused(at=at, by="supply", reason=words))
        self._off(at, words)

    def _off(self, at: float, reason: str) -> None:
        if self.state.powered:
            self._happened(e.PoweredOff(at=at, reason=reason))
        self._last = None

    def _happened(self, *events: Event) -> None:
        """Checked against the table, kept, and then true."""
        if not events:
            return
        state = self.state
        for event in events:
            state = advanced(state, event)
        self.keeper.add_events(events)
        self.state = state


def carried_out(run: LiveRun, told: Callable[[Moment], bool]) -> RunState:
    """Second by second until the run is over, paused, or `told` says False; the output is off
    then."""
    try:
        while not run.state.over and run.state.stage is not Stage.PAUSED:
            if not told(run.second()):
                run.pause(said("the person stopped it"))
                break
    finally:
        run.supply.close()
    return run.state


def _amount(series: Series) -> Amount:
    counted = totals(series)
    return Amount(plated=counted.sampled, charge=counted.charge)
