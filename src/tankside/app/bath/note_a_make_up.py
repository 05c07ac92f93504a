"""Use case: a make-up is noted: the beginning of a ledger, or what was done to its bath."""

from tankside.app.bath.borders import within_laws
from tankside.app.bath.keep_a_ledger import History, NoteReply, noted
from tankside.app.bath.ledger_products import refuse_other_label
from tankside.app.bath.make_a_bath import MakeReply
from tankside.app.ledger_port import BathLedger
from tankside.base.errors import BadInput
from tankside.bath.inventory import events as ev
from tankside.bath.makeup.ledger import events_of


@within_laws
def note_a_make_up(made: MakeReply, ledger: BathLedger, *, at: float) -> NoteReply:
    """Notes a make-up: the beginning of a ledger, or what was withdrawn and added to its bath.

    BadInput where a new bath meets a ledger that has begun, where a typed old bath has no ledger,
    and where a bottle has the name of another in the ledger.
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
    known = {event.product.name: event.product for event in held if isinstance(event, ev.Bottle)}
    for one in made.plan.amounts:
        if one.product in known:
            refuse_other_label(known[one.product], made.products[one.product])
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
    history = History(held)
    events = events_of(
        made.plan, at=at, id_of=lambda what: history.free_id(what.replace(" ", "-"), at)
    )
    return noted(ledger, held, (*bottles, *events))
