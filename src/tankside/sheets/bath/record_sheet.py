"""The bath's record: what is in it, how sure that is, how it went, and all that happened."""

from datetime import UTC, datetime
from typing import Any

from tankside.app.bath_sheet_port import Record
from tankside.app.ports import SheetRequest
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units import Kind, shown
from tankside.bath.inventory import BathEstimate, Event
from tankside.bath.inventory import events as ev
from tankside.sheets.bath.picture_course import course_picture, day
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import amount, for_its_reader

_QUANTITIES = {
    "copper": ("copper", "g/L"),
    "sulfuric_acid": ("sulfuric acid", "g/L"),
    "chloride": ("chloride", "mg/L"),
    "additive": ("additive, indicative", "g/L"),
    "volume": ("volume", "L"),
}


@for_its_reader
def record_sheet(record: Record, how: SheetRequest) -> bytes:
    """The record as a PDF."""
    course = record.course
    if not course:
        raise BadInput("a record needs at least one estimate of the bath")
    pictures = {}
    if len(course) > 1:
        pictures["chart.svg"] = course_picture(course, record.windows)
    return typeset("tankside.sheets.bath", "record", record_words(record, how), how, pictures)


@for_its_reader
def record_words(record: Record, how: SheetRequest) -> dict[str, Any]:
    """Every word and number of the record, by its place in the layout."""
    ledger, course = record.ledger, record.course
    now = course[-1]
    return {
        "heading": f"Bath record: {how.title}",
        "subheading": f"As of {day(now.at)}, from {len(ledger)} notes",
        "warnings": [
            f"The {one.quantity.replace('_', ' ')} read on {day(one.at)} does not fit all other "
            "readings and was set aside; repeat it."
            for one in now.gross
        ],
        "state": [_state(now, name, record.windows.get(name)) for name in _QUANTITIES],
        "chart": "Copper, acid, chloride and volume over time." if len(course) > 1 else "",
        "learned": [
            [one.name, _between(one.believed, one.unit), _between(one.learned, one.unit)]
            for one in now.learned
        ],
        "events": [_event(one) for one in ledger],
        "notes": list(now.notes),
    }


def _state(now: BathEstimate, name: str, window: tuple[float, float] | None) -> list[str]:
    words, unit = _QUANTITIES[name]
    value = now.interval(name)
    low, high = shown(value.low, unit).split()[0], shown(value.high, unit)
    row = [words, shown(now.best(name), unit), f"{low} to {high}"]
    if window is None:
        return [*row, "", ""]
    inside = now.probability_inside(name, *window)
    ends = f"{shown(window[0], unit).split()[0]} to {shown(window[1], unit)}"
    return [*row, ends, f"{_chance(inside)} inside"]


def _chance(share: float) -> str:
    if share > 0.99:
        return "surely"
    return f"{100 * share:.0f} %" if share >= 0.01 else "surely not"


def _event(one: Event) -> list[str]:
    when = datetime.fromtimestamp(one.at, UTC).strftime("%Y-%m-%d %H:%M")
    what, more = _words(one)
    return [when, what, more]


def _words(one: Event) -> tuple[str, str]:
    """What an event was, and its amounts."""
    match one:
        case ev.MakeUp():
            parts = (f"{amount(p.mass, Kind.MASS)} {p.product}" for p in one.portions)
            return "made up", ", ".join(parts)
        case ev.TakeOver():
            return "taken over", amount(one.volume, Kind.VOLUME)
        case ev.Addition():
            return "added", f"{amount(one.mass, Kind.MASS)} {one.product}"
        case ev.TopUp():
            return "topped up", f"{amount(one.volume, Kind.VOLUME)} {one.water}"
        case ev.Evaporation():
            read = one.level_volume
            return "evaporated", "" if read is None else f"to {amount(read, Kind.VOLUME)}"
        case ev.DragOut():
            return "drag-out", f"{one.parts} parts, {amount(one.area, Kind.AREA)}"
        case ev.AmpereHours():
            return "plated", amount(one.charge, Kind.CHARGE)
        case ev.Idle():
            return "idle with anodes", amount(one.duration, Kind.TIME)
        case ev.Analysis():
            return "analysed", ", ".join(_found(f.quantity, f.value.best) for f in one.findings)
        case ev.Withdrawal() | ev.Loss():
            what = "withdrawn" if isinstance(one, ev.Withdrawal) else "lost"
            return what, amount(one.volume, Kind.VOLUME)
        case ev.Carbon():
            return "over carbon", ""
        case ev.Retraction():
            return "taken back", f"{one.of}: {one.reason}".rstrip(": ")
        case ev.Bottle():
            return "on the shelf", one.product.name
        case _:
            return type(one).__name__.lower(), ""


def _found(quantity: str, value: float) -> str:
    units = {"density": "g/mL", "conductivity": "S/m", "chloride": "mg/L"}
    unit = units.get(quantity, "g/L")
    name = quantity.replace("_", " ")
    return f"pH {value:.2f}" if quantity == "pH" else f"{name} {shown(value, unit)}"


def _between(value: Interval, unit: str) -> str:
    sign = "" if unit == "1" else f" {unit}"
    return f"{value.low:.3g} to {value.high:.3g}{sign}"
