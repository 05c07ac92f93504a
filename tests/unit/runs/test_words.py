"""Every stage and every event has its words."""

from tankside.runs import events, words
from tankside.runs.states import Stage


def test_every_stage_and_event_has_words() -> None:
    assert set(words.STAGES) == {stage.value for stage in Stage}
    assert set(words.EVENTS) == set(events.EVENTS)
