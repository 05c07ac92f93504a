"""A ledger in memory, and the files of the prop workshop, for the use cases' tests."""

from collections.abc import Sequence
from pathlib import Path

from tankside.app.bath.example_bath import example_files
from tankside.app.bath.keep_a_ledger import NoteReply, NoteRequest, note_an_event
from tankside.app.bath.make_a_bath import MakeRequest, make_a_bath
from tankside.app.bath.moments import moment
from tankside.app.bath.note_a_make_up import note_a_make_up
from tankside.bath.inventory.events import Event, ordered
from tankside.bath.inventory.text import Decoded

NOW = 1_750_000_000.0
FILES = example_files()


class MemoryLedger:
    """A ledger that is kept nowhere."""

    def __init__(self, *events: Event) -> None:
        self.events: tuple[Event, ...] = events

    def read(self) -> Decoded:
        return Decoded(ledger=self.events)

    def append(self, events: Sequence[Event]) -> None:
        ordered((*self.events, *events))
        self.events = (*self.events, *events)

    def set_aside(self) -> Path | None:
        return None


def begun() -> MemoryLedger:
    """The ledger of the workshop's bath, made on 8 January 2024."""
    ledger = MemoryLedger()
    made = make_a_bath(MakeRequest(bath_text=FILES["bath.toml"], bath_name="bath.toml"))
    note_a_make_up(made, ledger, at=moment("2024-01-08 18:00", now=NOW, where="at"))
    return ledger


def noted(ledger: MemoryLedger, kind: str, *entries: str, shelf: bytes = b"") -> NoteReply:
    """An event typed in."""
    return note_an_event(
        NoteRequest(kind=kind, entries=entries, ledger=ledger, now=NOW, shelf=shelf)
    )
