"""Use cases of the ledger itself: note an event, list what is there, mend a torn end.

A product that the ledger does not know yet is looked up on the person's shelf, then among the
common grades, and its bottle is noted just before the event that first names it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from tankside.app.bath.entries import Entries, pairs
from tankside.app.bath.make_a_bath import MakeReply
from tankside.app.bath.moments import moment, told_day
from tankside.app.bath.shelf_file import bench_of
from tankside.app.bath.tables import tables_of
from tankside.app.bath.typed_events import KEYS, Typed, event_of
from tankside.app.ledger_port import BathLedger
from tankside.base.errors import BadInput, UnknownName
from tankside.bath.analysis.finding import Finding
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.estimating import estimated
from tankside.bath.inventory.text import WORDS, Torn, encoded
from tankside.bath.makeup.ledger import events_of
from tankside.substances.products import Product, grade, grades

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
class NoteReply:
    """What was added, bottles first, and what the ledger says that must be known."""

    added: tuple[ev.Event, ...]
    notes: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The events in the ledger's own form."""
        return {"added": event_rows(self.added), "notes": list(self.notes)}


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerReply:
    """All that is in a ledger, in the order in which it counts.

    retracted   ids of events that do not count
    torn        the end that a kill left, if any, and the file that it was moved to
    """

    events: tuple[ev.Event, ...]
    retracted: frozenset[str]
    torn: Torn | None
    set_aside: str

    def as_json(self) -> dict[str, Any]:
        """The events in the ledger's own form."""
        return {
            "events": event_rows(self.events),
            "retracted": sorted(self.retracted),
            "torn": None if self.torn is None else self.torn.sentence,
            "set_aside": self.set_aside,
        }


def note_an_event(request: NoteRequest) -> NoteReply:
    """Adds one event to the ledger for good, with the bottles that it is the first to name.

    BadInput for what is malformed and for events that the ledger contradicts; nothing is written
    then.
    """
    if request.kind not in KEYS:
        raise UnknownName("kind of event", request.kind, KEYS)
    typed = pairs(request.entries, where=request.kind)
    text = typed.pop("at", None)
    at = request.now if text is None else moment(text, now=request.now, where="at")
    held = request.ledger.read().ledger
    shelf = _Shelf(held, request)
    name = typed.pop("id", "") or free_id(request.kind, at, held)
    event = event_of(
        Typed(
            kind=request.kind,
            entries=Entries(table=typed, where=request.kind),
            at=at,
            id=name,
            product=shelf.product,
        )
    )
    _refuse_first(event, held)
    return _noted(request.ledger, held, (*shelf.bottles(at), event))


def note_findings(ledger: BathLedger, findings: tuple[Finding, ...], *, at: float) -> NoteReply:
    """Adds an analysis that was worked out here to a ledger."""
    held = ledger.read().ledger
    event = ev.Analysis(at=at, id=free_id("analysis", at, held), findings=findings)
    _refuse_first(event, held)
    return _noted(ledger, held, (event,))


def note_a_make_up(made: MakeReply, ledger: BathLedger, *, at: float) -> NoteReply:
    """Notes a make-up: the beginning of a ledger, or what was withdrawn and added to its bath.

    BadInput where a new bath meets a ledger that has begun, or a typed old bath has no ledger.
    """
    held = ledger.read().ledger
    if held and not made.old:
        raise BadInput(
            "this ledger has begun already; a new bath begins a new one, and with --old LEDGER the "
            "bath that is there is put right"
        )
    if made.old == "typed":
        raise BadInput(
            "a ledger that begins with an old bath begins with what is known of it: note a "
            "take-over, then make the bath with --old LEDGER"
        )
    known = {event.product.name for event in held if isinstance(event, ev.Bottle)}
    bottles = tuple(
        ev.Bottle(
            at=at,
            id=f"bottle of {one.product}",
            product=made.products[one.product],
            additive=not made.products[one.product].contents,
        )
        for one in made.plan.amounts
        if one.product not in known
    )
    taken = [*held]

    def id_of(what: str) -> str:
        name = free_id(what.replace(" ", "-"), at, tuple(taken))
        taken.append(ev.Carbon(at=at, id=name))
        return name

    return _noted(ledger, held, (*bottles, *events_of(made.plan, at=at, id_of=id_of)))


def list_a_ledger(ledger: BathLedger, *, mend: bool = False) -> LedgerReply:
    """What is in a ledger; with `mend`, a torn end is moved into a file of its own."""
    aside = ledger.set_aside() if mend else None
    held = ledger.read()
    retracted = frozenset(e.of for e in held.ledger if isinstance(e, ev.Retraction))
    kept = {event.id for event in ev.ordered(held.ledger)}
    rest = (e for e in held.ledger if e.id not in kept)
    return LedgerReply(
        events=tuple(sorted((*ev.ordered(held.ledger), *rest), key=lambda e: e.at)),
        retracted=retracted,
        torn=held.torn,
        set_aside="" if aside is None else aside.name,
    )


def event_rows(events: Sequence[ev.Event]) -> list[Any]:
    """Events as JSON, in the ledger's own form."""
    import json

    return [json.loads(line) for line in encoded(events).splitlines()]


def free_id(kind: str, at: float, held: ev.Ledger) -> str:
    """An id that says what and when, such as "top-up-2026-03-01", and is not taken."""
    taken = {event.id for event in held}
    name, number = f"{kind}-{told_day(at)}", 2
    while name in taken:
        name, number = f"{kind}-{told_day(at)}-{number}", number + 1
    return name


class _Shelf:
    """Products by name, of the ledger, the shelf, the grades; remembers those that are new."""

    def __init__(self, held: ev.Ledger, request: NoteRequest) -> None:
        self._known = {e.product.name: e.product for e in held if isinstance(e, ev.Bottle)}
        self._shelf: dict[str, Product] = {}
        if request.shelf:
            where = request.shelf_name
            bench = bench_of(tables_of(request.shelf, where=where), where=where)
            self._shelf = {one.product.name: one.product for one in bench.stocks}
        self._new: dict[str, Product] = {}

    def product(self, name: str) -> Product:
        """The product; "tap" is also "tap water"."""
        for word in (name, f"{name} water"):
            for held in (self._known, self._new):
                if word in held:
                    return held[word]
            found = self._shelf.get(word) or _graded(word)
            if found is not None:
                self._new[found.name] = found
                return found
        known = {*self._known, *self._shelf, *(one.name for one in grades())}
        raise UnknownName("product", name, known)

    def bottles(self, at: float) -> tuple[ev.Bottle, ...]:
        """The bottles that must be noted first."""
        return tuple(
            ev.Bottle(at=at, id=f"bottle of {name}", product=one)
            for name, one in self._new.items()
            if name not in self._known
        )


def _graded(name: str) -> Product | None:
    try:
        return grade(name)
    except UnknownName:
        return None


def _refuse_first(event: ev.Event, held: ev.Ledger) -> None:
    begins = (ev.Bottle, ev.MakeUp, ev.TakeOver)
    if not isinstance(event, begins) and not any(
        isinstance(one, ev.MakeUp | ev.TakeOver) for one in held
    ):
        raise BadInput(
            "this ledger has not begun; note a make-up or a take-over first, or begin it with "
            "'tankside bath make BATH.toml --note LEDGER'"
        )


def _noted(ledger: BathLedger, held: ev.Ledger, events: tuple[ev.Event, ...]) -> NoteReply:
    """Adds the events, once the whole history has been tried with them."""
    taken = {event.id for event in held}
    fresh = tuple(_renamed(one, taken) for one in events)
    whole = (*held, *fresh)
    notes: tuple[str, ...] = ()
    if any(isinstance(one, ev.MakeUp | ev.TakeOver) for one in ev.ordered(whole)):
        last = fresh[-1]
        notes = tuple(
            f"The reading of {one.quantity.replace('_', ' ')} does not fit all others and is set "
            "aside: read it again, and retract it where it was a slip."
            for one in estimated(whole).gross
            if one.event == last.id
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
