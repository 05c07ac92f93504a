"""Use cases of the ledger: note an event, a list of them, a finding, a make-up.

A product that the ledger does not know yet is looked up on the person's shelf, then among the
common grades, and its bottle is noted just before the event that first names it.
"""

import shlex
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.entries import Entries, pairs
from tankside.app.bath.ledger_products import LedgerProducts
from tankside.app.bath.list_a_ledger import event_rows
from tankside.app.bath.moments import moment, told_day
from tankside.app.bath.typed_events import KEYS, Typed, event_of
from tankside.app.ledger_port import BathLedger
from tankside.base.errors import BadInput, UnknownName
from tankside.base.wording import quoting
from tankside.bath.analysis.finding import Finding
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.estimating import estimated
from tankside.bath.inventory.text import WORDS

OF_KIND = {kind: word for word, kind in WORDS.items()}
"""The word of each kind of event."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteRequest:
    """An event as typed.

    kind       such as "top-up"
    entries    KEY=VALUE each
    now        the clock's time [s since 1970-01-01 UTC]
    shelf      content of a shelf's file, or "", and its name
    """

    kind: str
    entries: Sequence[str]
    ledger: BathLedger
    now: float
    shelf: bytes | str = ""
    shelf_name: str = "shelf"


@dataclass(frozen=True, slots=True, kw_only=True)
class NotesRequest:
    """A list of events, one a line as it would be typed behind `tankside bath note LEDGER`; the
    rest as of a NoteRequest."""

    text: str
    name: str
    ledger: BathLedger
    now: float
    shelf: bytes | str = ""
    shelf_name: str = "shelf"


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteReply:
    """What was added, bottles first, and what the ledger says that must be known."""

    added: tuple[ev.Event, ...]
    notes: tuple[str, ...] = ()

    @property
    def happened(self) -> tuple[str, ...]:
        """Ids of what was added, without the bottles that it named for the first time."""
        return tuple(one.id for one in self.added if not isinstance(one, ev.Bottle))

    def as_json(self) -> dict[str, Any]:
        """The events in the ledger's own form."""
        return {"added": event_rows(self.added), "notes": list(self.notes)}


@within_laws
def note_an_event(request: NoteRequest) -> NoteReply:
    """Adds one event to the ledger for good, with the bottles that it is the first to name.

    BadInput for what is malformed and for events that the ledger contradicts; nothing is written
    then.
    """
    held = request.ledger.read().ledger
    products = LedgerProducts(held, request.shelf, request.shelf_name)
    events = _typed(request.kind, request.entries, History(held), products, request.now)
    return noted(request.ledger, held, events)


@within_laws
def note_many(request: NotesRequest) -> NoteReply:
    """Adds all events of a list, or none of them; BadInput with the number of the line."""
    held = request.ledger.read().ledger
    products = LedgerProducts(held, request.shelf, request.shelf_name)
    history = History(held)
    found: list[ev.Event] = []
    for number, line in enumerate(request.text.splitlines(), start=1):
        try:
            kind, *entries = shlex.split(line, comments=True) or [""]
            if kind:
                found += _typed(kind, entries, history, products, request.now)
        except ValueError as error:  # BadInput is one, and so is a quote that is not closed
            raise BadInput(
                str(error),
                where=quoting("{where}, line {number}", where=request.name, number=number),
            ) from error
    if not found:
        raise BadInput("there is no note in it", where=request.name)
    return noted(request.ledger, held, tuple(found))


@within_laws
def note_together(
    ledger: BathLedger,
    notes: Sequence[tuple[str, Sequence[str]]],
    *,
    now: float,
    shelf: bytes | str = "",
    shelf_name: str = "shelf",
) -> NoteReply:
    """Adds several events, each a kind with its KEY=VALUE entries, or none of them; BadInput with
    the number of the one that cannot be."""
    held = ledger.read().ledger
    products, history = LedgerProducts(held, shelf, shelf_name), History(held)
    found: list[ev.Event] = []
    for number, (kind, entries) in enumerate(notes, start=1):
        try:
            found += _typed(kind, entries, history, products, now)
        except BadInput as error:
            raise BadInput(error.message, where=quoting("step {number}", number=number)) from error
    return noted(ledger, held, tuple(found))


def _typed(
    kind: str, entries: Sequence[str], history: "History", products: LedgerProducts, now: float
) -> tuple[ev.Event, ...]:
    """An event as typed, after the bottles that it is the first to name."""
    if kind not in KEYS:
        raise UnknownName("kind of event", kind, KEYS)
    typed = pairs(entries, where=kind)
    text = typed.pop("at", None)
    at = now if text is None else moment(text, now=now, where="at")
    name = typed.pop("id", "") or history.free_id(kind, at)
    event = event_of(
        Typed(
            kind=kind,
            entries=Entries(table=typed, where=kind),
            at=at,
            id=name,
            product=products.product,
        )
    )
    products.know(event)
    events = (*products.bottles(at), event)
    for one in events:
        history.add(one)
    return events


@within_laws
def note_findings(ledger: BathLedger, findings: tuple[Finding, ...], *, at: float) -> NoteReply:
    """Adds an analysis that was worked out here to a ledger."""
    held = ledger.read().ledger
    history = History(held)
    event = ev.Analysis(at=at, id=history.free_id("analysis", at), findings=findings)
    history.add(event)
    return noted(ledger, held, (event,))


class History:
    """What new events must know of those before them: which ids are taken, whether there is a bath
    yet."""

    def __init__(self, held: ev.Ledger) -> None:
        self._taken = {event.id for event in held}
        self._begun = any(isinstance(event, ev.MakeUp | ev.TakeOver) for event in held)

    def free_id(self, kind: str, at: float) -> str:
        """An id that says what and when, such as "top-up-2026-03-01", and is taken from then on."""
        name, number = f"{kind}-{told_day(at)}", 2
        while name in self._taken:
            name, number = f"{kind}-{told_day(at)}-{number}", number + 1
        self._taken.add(name)
        return name

    def add(self, event: ev.Event) -> None:
        """One more event; BadInput where it needs a bath, and none has been made."""
        self._begun = self._begun or isinstance(event, ev.MakeUp | ev.TakeOver)
        if not (self._begun or isinstance(event, ev.Bottle)):
            raise BadInput(
                "this ledger has not begun; note a make-up or a take-over first, or begin it with "
                "'tankside bath make BATH.toml --note LEDGER'"
            )
        self._taken.add(event.id)


def noted(ledger: BathLedger, held: ev.Ledger, events: tuple[ev.Event, ...]) -> NoteReply:
    """Adds the events, once the whole history has been tried with them."""
    taken = {event.id for event in held}
    fresh = tuple(_renamed(one, taken) for one in events)
    whole = (*held, *fresh)
    notes: tuple[str, ...] = ()
    if any(isinstance(one, ev.MakeUp | ev.TakeOver) for one in ev.ordered(whole)):
        ids = {one.id for one in fresh}
        notes = tuple(
            f"The reading of {one.quantity.replace('_', ' ')} [{one.event}] does not fit all "
            "others and is set aside: read it again, and retract it where it was a slip."
            for one in estimated(whole).gross
            if one.event in ids
        )
    ledger.append(fresh)
    return NoteReply(added=fresh, notes=notes)


def _renamed(event: ev.Event, taken: set[str]) -> ev.Event:
    """A bottle under an id that is free; other events keep theirs, to be refused if taken."""
    if not isinstance(event, ev.Bottle) or event.id not in taken:
        return event
    number = 2
    while f"{event.id} {number}" in taken:
        number += 1
    return replace(event, id=f"{event.id} {number}")
