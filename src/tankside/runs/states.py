"""The stages of a run and every way from one to the next, in one table.

The table refuses what makes no sense (plating before the supply is on) and draws the diagram in the
docs; the same table replays a journal. A part is to enter the bath live: how long it hung in acid
without current is counted, as a thin seed coat or strike dissolves meanwhile.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from tankside.base.errors import BadInput
from tankside.base.messages import said
from tankside.base.wording import both, in_a_row
from tankside.runs import events as e
from tankside.runs.events import NAMES, Event
from tankside.runs.words import EVENTS, STAGES


class Stage(StrEnum):
    """Where a run stands."""

    PLANNED = "planned"
    ENTRY = "entry"
    RAMP = "ramp"
    PLATING = "plating"
    PAUSED = "paused"
    ENDED = "ended"
    ABORTED = "aborted"


RUNNING = frozenset({Stage.RAMP, Stage.PLATING})
OVER = frozenset({Stage.ENDED, Stage.ABORTED})
_OPEN = tuple(stage for stage in Stage if stage not in OVER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Transition:
    """From a stage, by an event, to a stage (None: back to where the pause began); `needs` names
    what must hold before: "powered", "immersed"."""

    stage: Stage
    event: type[Event]
    to: Stage | None
    needs: tuple[str, ...] = ()


def _table() -> tuple[Transition, ...]:
    rows = [
        Transition(stage=Stage.PLANNED, event=e.Begun, to=Stage.ENTRY),
        Transition(
            stage=Stage.ENTRY, event=e.RampStarted, to=Stage.RAMP, needs=("powered", "immersed")
        ),
        Transition(stage=Stage.RAMP, event=e.PlatingStarted, to=Stage.PLATING, needs=("powered",)),
        Transition(stage=Stage.RAMP, event=e.Paused, to=Stage.PAUSED),
        Transition(stage=Stage.PLATING, event=e.Paused, to=Stage.PAUSED),
        Transition(stage=Stage.PAUSED, event=e.Resumed, to=None, needs=("powered", "immersed")),
        Transition(stage=Stage.RAMP, event=e.Ended, to=Stage.ENDED),
        Transition(stage=Stage.PLATING, event=e.Ended, to=Stage.ENDED),
        Transition(stage=Stage.PAUSED, event=e.Ended, to=Stage.ENDED),
    ]
    rows += [Transition(stage=stage, event=e.Aborted, to=Stage.ABORTED) for stage in _OPEN]
    at_work = (Stage.ENTRY, Stage.RAMP, Stage.PLATING, Stage.PAUSED)
    rows += _staying(at_work, e.PoweredOn, e.PoweredOff, e.Immersed, e.Lifted)
    rows += _staying(at_work, e.Set, e.Read, e.Gap)
    rows += _staying(OVER, e.PoweredOff, e.Lifted)
    rows += _staying(Stage, e.AlarmRaised, e.AlarmAnswered, e.Noted)
    return tuple(rows)


def _staying(stages: Iterable[Stage], *kinds: type[Event]) -> list[Transition]:
    """Events that change the state but not the stage."""
    return [Transition(stage=stage, event=kind, to=stage) for stage in stages for kind in kinds]


TRANSITIONS = _table()
_BY_KEY = {(row.stage, row.event): row for row in TRANSITIONS}


def transitions(stage: Stage) -> tuple[str, ...]:
    """Names of the events that a run at this stage can take."""
    return tuple(NAMES[row.event] for row in TRANSITIONS if row.stage is stage)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunState:
    """What follows from a run's events so far.

    at                 the last event's moment [s], 0 before any
    stage              where it stands; `paused_from` where a pause began
    powered, immersed  as the events say
    current, voltage_limit   as last set [A], [V]; 0 before
    number, set_at     the recipe's setting in force, and when it began [s]; None and 0 before any
    unpowered_in_bath  how long the part hung in the bath without current, up to `at` [s]
    gaps               how long nothing was recorded [s]
    open_alarms        raised and not yet answered
    """

    at: float = 0.0
    stage: Stage = Stage.PLANNED
    paused_from: Stage | None = None
    powered: bool = False
    immersed: bool = False
    current: float = 0.0
    voltage_limit: float = 0.0
    number: int | None = None
    set_at: float = 0.0
    unpowered_in_bath: float = 0.0
    gaps: float = 0.0
    open_alarms: tuple[str, ...] = ()

    @property
    def over(self) -> bool:
        """True once it is ended or aborted."""
        return self.stage in OVER

    @property
    def paused(self) -> bool:
        """True while it stands still."""
        return self.stage is Stage.PAUSED

    def unpowered_until(self, now: float) -> float:
        """Time in the bath without current up to `now` [s]."""
        waiting = max(0.0, now - self.at) if self.immersed and not self.powered else 0.0
        return self.unpowered_in_bath + waiting


def replayed(events: Iterable[Event]) -> RunState:
    """The state that events lead to, in their order."""
    state = RunState()
    for event in events:
        state = advanced(state, event)
    return state


def advanced(state: RunState, event: Event) -> RunState:
    """The state after one more event; BadInput where the table does not hold it, where what it
    needs does not hold, or where it lies before the last."""
    name = NAMES[type(event)]
    row = _BY_KEY.get((state.stage, type(event)))
    if row is None:
        raise BadInput(
            "a run that is {stage} cannot take {name!r}; it can take {known}",
            stage=STAGES[state.stage.value],
            name=EVENTS[name],
            known=in_a_row(EVENTS[one] for one in transitions(state.stage)),
        )
    if event.at < state.at:
        raise BadInput(
            "{name!r} lies {back:.1f} s before the event it follows; events are only added at the "
            "end",
            name=EVENTS[name],
            back=state.at - event.at,
        )
    missing = [need for need in row.needs if not getattr(state, need)]
    if missing:
        wanted = {
            "powered": said("the supply's output on"),
            "immersed": said("the part in the bath"),
        }
        raise BadInput(
            "{name!r} needs {missing} first",
            name=EVENTS[name],
            missing=both(wanted[need] for need in missing),
        )
    moved = replace(
        state,
        at=event.at,
        stage=_next(state, row),
        paused_from=state.stage if isinstance(event, e.Paused) else state.paused_from,
        unpowered_in_bath=state.unpowered_until(event.at) if state.at else 0.0,
    )
    return _told(moved, event)


def _next(state: RunState, row: Transition) -> Stage:
    if row.to is not None:
        return row.to
    return state.paused_from or state.stage


def _told(state: RunState, event: Event) -> RunState:
    """What the event itself says."""
    match event:
        case e.PoweredOn():
            return replace(state, powered=True)
        case e.PoweredOff():
            return replace(state, powered=False)
        case e.Immersed():
            return replace(state, immersed=True)
        case e.Lifted():
            return replace(state, immersed=False)
        case e.Set():
            moved = replace(state, current=event.current, voltage_limit=event.voltage_limit)
            begins = event.number is not None
            return replace(moved, number=event.number, set_at=event.at) if begins else moved
        case e.Gap():
            return replace(state, gaps=state.gaps + max(0.0, event.at - event.since))
        case e.AlarmRaised():
            return replace(state, open_alarms=(*state.open_alarms, event.alarm))
        case e.AlarmAnswered():
            left = tuple(alarm for alarm in state.open_alarms if alarm != event.alarm)
            return replace(state, open_alarms=left)
        case _:
            return state
