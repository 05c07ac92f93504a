"""Use case: what is in a ledger, in the order in which it counts; a torn end mended."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tankside.app.ledger_port import BathLedger
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.text import Torn, encoded


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
    return [json.loads(line) for line in encoded(events).splitlines()]
