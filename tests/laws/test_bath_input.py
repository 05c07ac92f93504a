"""Whatever is typed, a use case of the bath answers or refuses in a sentence; a refusal leaves no
trace."""

from collections.abc import Callable
from typing import TypeVar

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from tankside.app.bath.keep_a_ledger import NoteRequest, note_an_event
from tankside.app.bath.make_a_bath import MakeRequest, make_a_bath
from tankside.app.bath.show_the_shelf import ShelfRequest, show_the_shelf
from tankside.app.bath.titrate import TitrateRequest, titrate
from tankside.app.bath.typed_analysis import TypedSample
from tankside.app.bath.typed_events import KEYS
from tankside.base.errors import BadInput, Impossible
from tankside.bath.inventory.estimating import estimated
from tankside.substances.labels import ENTRIES
from tests.unit.app.bath.ledgers import FILES, NOW, MemoryLedger, begun

UNITS = ("", "g", "kg", "mL", "L", "g/L", "mg/L", "mol/L", "%", "h", "Ah", "dm^2", "degC", "cup",
         "us_gallon", "oz", "g/mL", "EUR", "ppm")  # fmt: skip
NUMBERS = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True).map(repr),
    st.integers(-1000, 100000).map(str),
    st.sampled_from(["0,5", "1.5", "1,000", "5 ± 1", "5 ± 9", "1-2", "2-1", "max 5", "1e999"]),
)
TEXTS = st.one_of(
    st.tuples(NUMBERS, st.sampled_from(UNITS)).map(" ".join),
    st.sampled_from(["tap", "blue crystals", "battery acid", "2024-02-01", "yes", "hdpe"]),
    st.text(max_size=8),
)
BEGUN = begun().events


def names(keys: tuple[str, ...]) -> st.SearchStrategy[str]:
    return st.sampled_from((*keys, "at", "id", "blue crystals"))


Answer = TypeVar("Answer")


def answered(use_case: Callable[[], Answer]) -> Answer | None:
    """The answer, None where it was refused in a sentence; any other error fails the test."""
    try:
        return use_case()
    except (BadInput, Impossible) as refusal:
        event(type(refusal).__name__)
        return None


@given(data=st.data())
@settings(deadline=None, max_examples=150)
def test_a_note_is_in_the_ledger_or_leaves_no_trace(data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from(sorted(KEYS)))
    typed = data.draw(st.dictionaries(names(KEYS[kind]), TEXTS, max_size=4))
    ledger = MemoryLedger(*BEGUN)
    request = NoteRequest(
        kind=kind, entries=[f"{key}={one}" for key, one in typed.items()], ledger=ledger, now=NOW
    )
    reply = answered(lambda: note_an_event(request))
    assert ledger.events == (BEGUN if reply is None else (*BEGUN, *reply.added))
    estimated(ledger.events)


@given(label=st.dictionaries(st.sampled_from(ENTRIES), TEXTS, min_size=1, max_size=4))
@settings(deadline=None, max_examples=150)
def test_a_label_is_read_or_refused(label: dict[str, str]) -> None:
    typed = tuple(f"{key}={one}" for key, one in label.items())
    reply = answered(lambda: show_the_shelf(ShelfRequest(label=typed)))
    if reply is not None:
        contents = reply.stocks[0].product.contents
        assert 0.0 <= sum(one.mass_fraction.low for one in contents) <= 1.0 + 1e-9


@given(reading=TEXTS, sample=TEXTS)
@settings(deadline=None, max_examples=100)
def test_a_reading_is_worked_out_or_refused(reading: str, sample: str) -> None:
    request = TitrateRequest(what="copper", readings=(reading,), sample=TypedSample(volume=sample))
    reply = answered(lambda: titrate(request))
    if reply is not None:
        assert reply.finding.value.best > 0.0
        assert reply.finding.std > 0.0


@given(volume=TEXTS)
@settings(deadline=None, max_examples=60)
def test_a_volume_is_made_or_refused(volume: str) -> None:
    request = MakeRequest(bath_text=FILES["bath.toml"], bath_name="bath.toml", volume=volume)
    reply = answered(lambda: make_a_bath(request))
    if reply is not None:
        masses = sum(one.mass.best for one in reply.plan.amounts)
        assert masses == pytest.approx(reply.plan.mass, rel=1e-5)
