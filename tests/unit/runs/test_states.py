"""The table of a run's stages: what it allows, what it refuses, what it counts."""

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.base.errors import BadInput
from tankside.runs import events as e
from tankside.runs.events import EVENTS, Event
from tankside.runs.states import (
    OVER,
    TRANSITIONS,
    RunState,
    Stage,
    advanced,
    replayed,
    transitions,
)


def usual() -> list[Event]:
    return [
        e.Begun(at=1000.0),
        e.PoweredOn(at=1010.0),
        e.Immersed(at=1020.0),
        e.RampStarted(at=1021.0),
        e.Set(at=1022.0, current=0.5, voltage_limit=3.0),
        e.PlatingStarted(at=1600.0),
        e.Ended(at=20000.0),
        e.PoweredOff(at=20001.0),
        e.Lifted(at=20030.0),
    ]


def test_a_usual_run() -> None:
    stages = [replayed(usual()[:count]).stage for count in range(len(usual()) + 1)]
    assert stages == [
        Stage.PLANNED,
        Stage.ENTRY,
        Stage.ENTRY,
        Stage.ENTRY,
        Stage.RAMP,
        Stage.RAMP,
        Stage.PLATING,
        Stage.ENDED,
        Stage.ENDED,
        Stage.ENDED,
    ]
    end = replayed(usual())
    assert end.over
    assert not end.powered
    assert end.unpowered_in_bath == pytest.approx(29.0)
    assert (end.current, end.voltage_limit) == (0.5, 3.0)


def test_a_pause_goes_back_to_where_it_began() -> None:
    events = [*usual()[:4], e.Paused(at=1100.0, reason="look"), e.Resumed(at=1160.0)]
    assert replayed(events[:5]).stage is Stage.PAUSED
    assert replayed(events).stage is Stage.RAMP


@pytest.mark.parametrize(
    ("events", "told"),
    [
        ([e.Begun(at=1.0), e.RampStarted(at=2.0)], "the supply's output on and the part in the"),
        ([e.Begun(at=1.0), e.Immersed(at=2.0), e.RampStarted(at=3.0)], "the supply's output on"),
        ([e.RampStarted(at=2.0)], "a run that is planned cannot take 'ramp started'"),
        ([*usual(), e.Begun(at=3e4)], "a run that is ended cannot take 'begun'"),
        ([e.Begun(at=5.0), e.PoweredOn(at=4.0)], "lies 1.0 s before the event it follows"),
    ],
)
def test_refuses(events: Sequence[Event], told: str) -> None:
    with pytest.raises(BadInput, match=told.replace("'", ".")):
        replayed(events)


def test_time_in_acid_without_current_is_counted_also_while_it_goes_on() -> None:
    state = replayed([e.Begun(at=10.0), e.Immersed(at=20.0)])
    assert state.unpowered_until(50.0) == pytest.approx(30.0)
    live = advanced(state, e.PoweredOn(at=60.0))
    assert live.unpowered_until(500.0) == pytest.approx(40.0)


def test_alarms_stay_open_until_answered_and_gaps_add_up() -> None:
    events = [
        *usual()[:6],
        e.AlarmRaised(at=1700.0, alarm="contact", words="current fell to nothing"),
        e.Gap(at=1800.0, since=1750.0, reason="power cut"),
    ]
    state = replayed(events)
    assert state.open_alarms == ("contact",)
    assert state.gaps == pytest.approx(50.0)
    assert advanced(state, e.AlarmAnswered(at=1900.0, alarm="contact")).open_alarms == ()


def test_every_open_stage_can_be_aborted_and_nothing_leaves_an_end() -> None:
    for stage in Stage:
        leaves = {row.to for row in TRANSITIONS if row.stage is stage}
        assert ("aborted" in transitions(stage)) == (stage not in OVER)
        if stage in OVER:
            assert leaves == {stage}


def test_every_event_has_a_place_in_the_table() -> None:
    assert {row.event for row in TRANSITIONS} == set(EVENTS.values())


def drawn(kind: type[Event], at: float) -> Event:
    extra = {
        e.Set: {"current": 1.0, "voltage_limit": 4.0},
        e.Read: {"voltage": 1.0, "current": 1.0},
        e.Gap: {"since": at},
        e.AlarmRaised: {"alarm": "short", "words": "..."},
        e.AlarmAnswered: {"alarm": "short"},
        e.Noted: {"text": "..."},
        e.Aborted: {"reason": "..."},
    }
    return kind(at=at, **extra.get(kind, {}))  # type: ignore[arg-type]


@given(st.lists(st.sampled_from(sorted(EVENTS)), max_size=40))
def test_replay_in_pieces_is_replay_at_once(names: list[str]) -> None:
    """Whatever the table lets through: stage by stage, or all together, the state is the same."""
    state, taken = RunState(), []
    for number, name in enumerate(names, 1):
        event = drawn(EVENTS[name], float(number))
        try:
            state = advanced(state, event)
        except BadInput:
            continue
        taken.append(event)
    assert replayed(taken) == state
    assert state.stage is not Stage.PLATING or any(isinstance(one, e.RampStarted) for one in taken)
