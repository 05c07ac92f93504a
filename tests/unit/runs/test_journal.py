"""A run's journal: what was written is read again, whatever is torn off its end."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.base.errors import BadInput
from tankside.runs import events as e
from tankside.runs.journal import decoded, encoded, rewritten

times = st.floats(1.0, 4e9)
amounts = st.floats(0.0, 100.0)
words = st.text(max_size=30)
some_event = st.one_of(
    st.builds(e.Begun, at=times, by=words),
    st.builds(e.PoweredOff, at=times, reason=words),
    st.builds(
        e.Set,
        at=times,
        current=amounts,
        voltage_limit=amounts,
        number=st.none() | st.integers(0, 20),
    ),
    st.builds(
        e.Read,
        at=times,
        voltage=amounts,
        current=amounts,
        temperature=st.none() | st.floats(270.0, 330.0),
        level_drop=st.none() | amounts,
    ),
    st.builds(e.Gap, at=times, since=times, reason=words),
    st.builds(e.AlarmRaised, at=times, alarm=words, words=words),
    st.builds(e.Noted, at=times, text=words),
)


@given(st.lists(some_event, max_size=12))
def test_what_was_written_is_read_again(events: list[e.Event]) -> None:
    journal = decoded(rewritten(events))
    assert list(journal.events) == events
    assert journal.torn == b""


@given(st.lists(some_event, min_size=1, max_size=6), st.data())
def test_a_torn_end_is_told_and_nothing_else_lost(
    events: list[e.Event], data: st.DataObject
) -> None:
    whole = rewritten(events)
    cut = data.draw(st.integers(0, len(whole)))
    journal = decoded(whole[:cut])
    assert list(journal.events) == events[: len(journal.events)]
    assert journal.whole_bytes + len(journal.torn) == cut
    left = whole[journal.whole_bytes : cut]
    assert left == journal.torn
    assert b"\n" not in left


def test_units_stand_in_the_names() -> None:
    row = json.loads(encoded(e.Set(at=5.0, current=1.5, voltage_limit=4.0)))
    assert row == {
        "event": "set", "at_s": 5.0, "by": "person", "current_A": 1.5, "voltage_limit_V": 4.0
    }  # fmt: skip


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (b"garbage\n", "journal, line 1: this line is no event: it is not JSON"),
        (b"[1]\n", "None is no event"),
        (b'{"event": "boiled", "at_s": 1}\n', "'boiled' is no event"),
        (b'{"event": "noted", "at_s": 1}\n', "'noted' lacks text"),
        (b'{"event": "noted", "at_s": 1, "text": "x", "smell": 2}\n', "'noted' has no smell"),
        (b'{"event": "noted", "at_s": "1", "text": "x"}\n', "'noted' has '1' as its at_s"),
        (b'{"event": "noted", "at_s": -1, "text": "x"}\n', "needs its moment in seconds"),
        (b'{"event": "set", "at_s": 1, "current_A": true, "voltage_limit_V": 1}\n', "True as its"),
    ],
)
def test_a_bad_line_is_refused_with_its_number(line: bytes, told: str) -> None:
    with pytest.raises(BadInput) as caught:
        decoded(line)
    assert told in str(caught.value)
    assert "line 1" in str(caught.value)
