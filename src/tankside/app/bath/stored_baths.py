"""Use cases of baths in the store: made from a target and the kept shelf, taken over as they are,
and found again by name."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tankside.app.bath.keep_a_ledger import NoteReply, NoteRequest, note_an_event
from tankside.app.bath.kept_shelf import KeptShelf, toml_of
from tankside.app.bath.make_a_bath import MakeReply, MakeRequest, make_a_bath
from tankside.app.bath.note_a_make_up import note_a_make_up
from tankside.app.bath.stored_ledger import StoredLedger
from tankside.app.keep.naming import found
from tankside.app.store_ports import Store
from tankside.app.store_records import BathRecord, Kept
from tankside.base.errors import BadInput

FAMILY = "acid sulfate"
"""Of the baths that a ledger follows."""

AIMS = ("family", "volume", "copper_sulfate_pentahydrate", "sulfuric_acid", "chloride")
MIXING = ("start", "coldest")


@dataclass(frozen=True, slots=True, kw_only=True)
class BathAsked:
    """What a bath is to be, as typed: a family by name, its volume, and aims of its own ("" for the
    family's); the room's temperature at the start, and the coldest night."""

    answers: Mapping[str, str]

    def text(self, shelf: KeptShelf) -> str:
        """The same as a bath's file, with the kept shelf beside it."""
        tables: dict[str, Any] = {
            "target": {k: self.answers[k] for k in AIMS if self.answers.get(k, "").strip()},
            "mixing": {k: self.answers[k] for k in MIXING if self.answers.get(k, "").strip()},
            **shelf.tables(),
        }
        return toml_of(tables)


def make_from_the_shelf(shelf: KeptShelf, asked: BathAsked) -> MakeReply:
    """What to measure, in which order; BadInput or Impossible in one sentence."""
    if not shelf.tables():
        raise BadInput("nothing stands on the shelf yet; put your bottles there first")
    return make_a_bath(MakeRequest(bath_text=asked.text(shelf), bath_name="the bath"))


def begin_a_bath(store: Store, name: str, made: MakeReply, *, at: float) -> Kept[BathRecord]:
    """A new bath in the store whose ledger begins with this make-up; BadInput where the name is
    taken, and nothing is kept then."""
    bath = _new(store, name)
    try:
        note_a_make_up(made, StoredLedger(store, bath.id), at=at)
    except BadInput:
        store.baths.remove(bath)
        raise
    return bath


def take_a_bath_over(
    store: Store, name: str, entries: Mapping[str, str], *, now: float
) -> Kept[BathRecord]:
    """A bath that is there already: its volume and what it holds, as typed with spreads."""
    bath = _new(store, name)
    filled = [f"{key}={value}" for key, value in entries.items() if value.strip()]
    try:
        note_an_event(
            NoteRequest(
                kind="take-over", entries=filled, ledger=StoredLedger(store, bath.id), now=now
            )
        )
    except BadInput:
        store.baths.remove(bath)
        raise
    return bath


def note_for_a_bath(
    store: Store,
    bath: str,
    shelf: KeptShelf,
    kind: str,
    entries: Mapping[str, str],
    *,
    now: float,
) -> NoteReply:
    """One event in a stored bath's ledger, from a form's answers."""
    filled = [f"{key}={value}" for key, value in entries.items() if value.strip()]
    return note_an_event(
        NoteRequest(
            kind=kind,
            entries=filled,
            ledger=StoredLedger(store, bath),
            now=now,
            shelf=shelf.text() if shelf.tables() else "",
            shelf_name="the shelf",
        )
    )


def _new(store: Store, name: str) -> Kept[BathRecord]:
    wanted = name.strip()
    if not wanted:
        raise BadInput("give the bath a name, as you call it")
    if found(store.baths, wanted) is not None:
        raise BadInput(
            "there is a bath called {wanted!r} already; give this one another name", wanted=wanted
        )
    return store.baths.add(wanted, BathRecord(family=FAMILY))
