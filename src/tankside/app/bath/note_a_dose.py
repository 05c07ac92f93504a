"""Use case: what was really done of a proposed dose, noted in one go: all of it, or nothing.

Taking it back is one retraction for each event, as ledgers are only added to.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tankside.app.bath.keep_a_ledger import NoteReply, note_together
from tankside.app.bath.kept_shelf import WHERE, KeptShelf
from tankside.app.ledger_port import BathLedger
from tankside.base.errors import BadInput


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """One thing that was done, amounts as typed: so much of a product went in, or, with `product`
    "", so much bath was taken out. With no amount it was left out."""

    product: str
    amount: str


def note_a_dose(
    ledger: BathLedger, shelf: KeptShelf, done: Sequence[Done], *, at: str, now: float
) -> NoteReply:
    """Notes what was done `at` a time as typed ("" for now); BadInput names the step that cannot
    be."""
    notes: list[tuple[str, list[str]]] = []
    when = [f"at={at.strip()}"] if at.strip() else []
    for one in done:
        amount = one.amount.strip()
        if not amount:
            continue
        if one.product:
            notes.append(("addition", [f"product={one.product}", f"amount={amount}", *when]))
        else:
            notes.append(("withdrawal", [f"volume={amount}", *when]))
    if not notes:
        raise BadInput("nothing was noted: give the amount of at least one step")
    return note_together(ledger, notes, now=now, shelf=shelf.text() if shelf.tables() else "",
                         shelf_name=WHERE)  # fmt: skip


def take_back(ledger: BathLedger, ids: Sequence[str], *, reason: str = "", now: float) -> NoteReply:
    """Events that no longer count; they stay readable."""
    if not ids:
        raise BadInput("say which event is taken back")
    why = [f"reason={reason.strip()}"] if reason.strip() else []
    return note_together(ledger, [("retraction", [f"of={id}", *why]) for id in ids], now=now)
