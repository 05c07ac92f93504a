"""tankside bath note and ledger: events typed in, events listed."""

import argparse
import time
from typing import TYPE_CHECKING, Any

from tankside.cli.bath.files import content
from tankside.cli.bath.pages import Page, first_up, print_json

if TYPE_CHECKING:
    from tankside.app.ports import Tools


def note(options: argparse.Namespace, tools: "Tools") -> int:
    """Notes one event, with the bottles that it is the first to name."""
    from tankside.app.bath.keep_a_ledger import NoteRequest, note_an_event

    shelf, shelf_name = content(options.shelf, tools, "--shelf")
    reply = note_an_event(
        NoteRequest(
            kind=options.event,
            entries=options.entries,
            ledger=tools.ledger(options.ledger),
            now=time.time(),
            shelf=shelf,
            shelf_name=shelf_name,
        )
    )
    show_noted(reply, options)
    return 0


def notes(options: argparse.Namespace, tools: "Tools") -> int:
    """Notes all events of a list, or none of them."""
    from tankside.app.bath.keep_a_ledger import NotesRequest, note_many
    from tankside.app.bath.moments import told_day

    shelf, shelf_name = content(options.shelf, tools, "--shelf")
    text, name = content(options.list, tools, "notes")
    reply = note_many(
        NotesRequest(
            text=text.decode("utf-8-sig", errors="replace"),
            name=name,
            ledger=tools.ledger(options.ledger),
            now=time.time(),
            shelf=shelf,
            shelf_name=shelf_name,
        )
    )
    if options.json:
        print_json(reply.as_json())
        return 0
    days = [told_day(event.at) for event in reply.added]
    page = Page(f"Noted in {options.ledger}: {len(reply.added)} events, {min(days)} to {max(days)}")
    page.points("MIND", reply.notes, mark="!")
    page.printed()
    return 0


def show_noted(reply: Any, options: argparse.Namespace) -> None:
    """What was added, and what must be known of it."""
    if options.json:
        print_json(reply.as_json())
        return
    page = Page(f"Noted in {getattr(options, 'ledger', None) or options.note}:")
    for row in reply.as_json()["added"]:
        page.point(_line(row))
    page.points("MIND", reply.notes, mark="!")
    page.printed()


def ledger(options: argparse.Namespace, tools: "Tools") -> int:
    """Lists the events; with --mend a torn end is set aside first."""
    from tankside.app.bath.list_a_ledger import list_a_ledger

    reply = list_a_ledger(tools.ledger(options.ledger), mend=options.mend)
    if options.json:
        print_json(reply.as_json())
        return 0
    page = Page(f"{options.ledger}: {len(reply.events)} events")
    if reply.set_aside:
        page.points("MENDED", [f"The torn end now stands in {reply.set_aside}."])
    if reply.torn is not None:
        page.points("MIND", [f"{first_up(reply.torn.sentence)} (--mend does so)."], mark="!")
    rows = reply.as_json()["events"]
    last = options.last if 0 < options.last < len(rows) else len(rows)
    page.head("EVENTS" if last == len(rows) else f"EVENTS, the last {last}")
    for row in rows[-last:]:
        gone = "RETRACTED " if row["id"] in reply.retracted else ""
        page.point(f"{gone}{_line(row)}")
    page.printed()
    return 0


def _line(row: dict[str, Any]) -> str:
    """An event in one line: when, what, with which numbers, under which id."""
    from tankside.app.bath.event_words import numbers_of
    from tankside.app.bath.moments import told_moment

    numbers = numbers_of(row)
    what = f"{row['event']}: {numbers}" if numbers else row["event"]
    return f"{told_moment(row['at_s'])}  {what}  [{row['id']}]"
