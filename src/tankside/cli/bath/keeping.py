"""tankside bath note and ledger: events typed in, events listed."""

import argparse
import time
from typing import TYPE_CHECKING, Any

from tankside.cli.bath.files import content
from tankside.cli.bath.pages import Page, first_up, print_json

if TYPE_CHECKING:
    from tankside.app.ports import Tools

_HIDDEN = ("ledger", "event", "id", "at_s", "crc32")


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
    from tankside.app.bath.moments import told_moment

    told = [_field(key, value) for key, value in row.items() if key not in _HIDDEN]
    numbers = ", ".join(one for one in told if one)
    what = f"{row['event']}: {numbers}" if numbers else row["event"]
    return f"{told_moment(row['at_s'])}  {what}  [{row['id']}]"


_TOLD: dict[str, tuple[float, str]] = {
    "kg": (1e3, "g"),
    "m3": (1e3, "L"),
    "m2": (1e2, "dm²"),
    "s": (1 / 3600.0, "h"),
    "C": (1 / 3600.0, "Ah"),
    "K": (1.0, "K"),
    "kg_m3": (1.0, "g/L"),
    "S_m": (1.0, "S/m"),
    "pH": (1.0, ""),
    "ratio": (1e2, "%"),
}
"""What the ledger's units are told in at a bench: factor and unit."""


def _field(key: str, value: Any) -> str:
    """One field of an event in a bench's words; nothing for what only the program needs."""
    if key == "product" and isinstance(value, dict):
        return _label(value)
    if key == "findings":
        return ", ".join(_found(one) for one in value)
    if key == "portions":
        return ", ".join(f"{one['product']} {_number('mass_kg', one['mass_kg'])}" for one in value)
    if key in ("additive", "notes") or "_std" in key or value == "":
        return "an additive" if key == "additive" and value is True else ""
    if isinstance(value, str):
        return value if key in ("product", "water") else f"{key} {value}"
    if isinstance(value, int | float):
        return _number(key, float(value))
    return ""


_NAMES = {"level_volume": "level", "surface_area": "surface", "room_temperature": "room",
          "relative_humidity": "humidity", "duration": "for"}  # fmt: skip
"""How fields are typed, where the ledger calls them otherwise."""


def _number(key: str, value: float) -> str:
    name, unit = _parted(key)
    name = _NAMES.get(name, name)
    if unit not in _TOLD:
        return f"{name} {value:g}"
    if unit == "K":
        return f"{name.replace('_', ' ')} {value - 273.15:.3g} °C"
    factor, told = _TOLD[unit]
    if name in ("volume", "mass"):
        return f"{value * factor:.4g} {told}"
    return f"{name.replace('_', ' ')} {value * factor:.4g} {told}"


def _parted(key: str) -> tuple[str, str]:
    for unit in sorted(_TOLD, key=len, reverse=True):
        if key.endswith(f"_{unit}"):
            return key.removesuffix(f"_{unit}"), unit
    return key, ""


def _found(one: dict[str, Any]) -> str:
    key = next(key for key in one if key.startswith("value_"))
    low, best, high = one[key]
    _, unit = _parted(key)
    factor, told = (1e3, "mg/L") if one["quantity"] == "chloride" else _TOLD[unit]
    name = one["quantity"].replace("_", " ")
    return f"{name} {best * factor:.4g} {told} ({low * factor:.4g} to {high * factor:.4g})".replace(
        "  ", " "
    )


def _label(product: dict[str, Any]) -> str:
    contents = ", ".join(
        f"{one['substance']} {100 * one['mass_fraction_kg_kg'][1]:.3g} %"
        for one in product["contents"]
    )
    return f"{product['name']}" + (f" ({contents})" if contents else "")
