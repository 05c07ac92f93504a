"""The bath's record: what is in it, how sure that is, how it went, and all that happened."""

from datetime import UTC, datetime
from typing import Any

from tankside.app.bath_sheet_port import Record
from tankside.app.ports import SheetRequest
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units import Kind
from tankside.bath.inventory import BathEstimate, Event
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.taught import learned_words, taught
from tankside.sheets.bath.answer_sheet import quantity_name
from tankside.sheets.bath.picture_course import course_picture, day
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import (
    amount,
    between,
    for_its_reader,
    listed,
    marked,
    measured,
    plain,
    span,
    spoken,
    worded,
    worded_of,
)

_UNITS = {
    "copper": "g/L",
    "sulfuric_acid": "g/L",
    "chloride": "mg/L",
    "additive": "g/L",
    "volume": "L",
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
        "heading": worded("Bath record: {name}", name=how.title),
        "subheading": worded_of(
            "As of {day}, from {count} note",
            "As of {day}, from {count} notes",
            count=len(ledger),
            day=day(now.at),
        ),
        "warnings": [
            worded(
                "The {quantity} read on {day} does not fit all other readings and was set aside; "
                "repeat it.",
                quantity=quantity_name(one.quantity),
                day=day(one.at),
            )
            for one in now.gross
        ],
        "state": [_state(now, name, record.windows.get(name)) for name in _UNITS],
        "chart": worded("Copper, acid, chloride and volume over time.") if len(course) > 1 else "",
        "learned": [
            [
                spoken(learned_words(one.name)),
                *(_rate(e, one.unit) for e in (one.believed, one.learned)),
            ]
            for one in now.learned
            if taught(one)
        ],
        "events": [_event(one) for one in ledger],
        "notes": [spoken(one) for one in now.notes],
    }


def _state(now: BathEstimate, name: str, window: tuple[float, float] | None) -> list[str]:
    unit = _UNITS[name]
    row = [
        quantity_name(name),
        measured(now.best(name), unit),
        between(now.interval(name), unit, 3),
    ]
    if window is None:
        return [*row, "", ""]
    inside = now.probability_inside(name, *window)
    wanted = between(Interval(window[0], window[0], window[1]), unit, 3)
    return [*row, wanted, worded("{chance} inside", chance=_chance(inside))]


def _chance(share: float) -> str:
    if share > 0.99:
        return worded("surely")
    return f"{100 * share:.0f} %" if share >= 0.01 else worded("surely not")


def _event(one: Event) -> list[str]:
    when = datetime.fromtimestamp(one.at, UTC).strftime("%Y-%m-%d %H:%M")
    what, more = _words(one)
    return [when, what, more]


def _words(one: Event) -> tuple[str, str]:
    """What an event was, and its amounts."""
    match one:
        case ev.MakeUp():
            parts = (f"{amount(p.mass, Kind.MASS)} {p.product}" for p in one.portions)
            return worded("made up"), listed(parts)
        case ev.TakeOver():
            return worded("taken over"), amount(one.volume, Kind.VOLUME)
        case ev.Addition():
            return worded("added"), f"{amount(one.mass, Kind.MASS)} {one.product}"
        case ev.TopUp():
            return worded("topped up"), f"{amount(one.volume, Kind.VOLUME)} {spoken(one.water)}"
        case ev.Evaporation():
            read = one.level_volume
            level = "" if read is None else amount(read, Kind.VOLUME)
            return worded("evaporated"), worded("to {volume}", volume=level) if level else ""
        case ev.DragOut():
            much = worded_of(
                "{count} part, {area}",
                "{count} parts, {area}",
                count=one.parts,
                area=amount(one.area, Kind.AREA),
            )
            return worded("drag-out"), much
        case ev.AmpereHours():
            return worded("plated"), amount(one.charge, Kind.CHARGE)
        case ev.Idle():
            return worded("idle with anodes"), amount(one.duration, Kind.TIME)
        case ev.Analysis():
            found = (_found(each.quantity, each.value.best) for each in one.findings)
            return worded("analysed"), listed(found)
        case ev.Withdrawal() | ev.Loss():
            lost = isinstance(one, ev.Loss)
            return worded("lost") if lost else worded("withdrawn"), amount(one.volume, Kind.VOLUME)
        case ev.Carbon():
            return worded("over carbon"), ""
        case ev.Retraction():
            return worded("taken back"), f"{one.of}: {spoken(one.reason)}".rstrip(": ")
        case ev.Bottle():
            return worded("on the shelf"), one.product.name
        case _:
            return spoken(type(one).__name__.lower()), ""


def _found(quantity: str, value: float) -> str:
    units = {"density": "g/mL", "conductivity": "S/m", "chloride": "mg/L"}
    unit = units.get(quantity, "g/L")
    if quantity == "pH":
        return marked(f"pH {value:.2f}")
    return f"{quantity_name(quantity)} {measured(value, unit)}"


def _rate(value: Interval, unit: str) -> str:
    """A learned number from its low to its high end, in a unit that tells it in few digits."""
    factor, sign = {
        "1/day": (100.0, worded("% a day")),
        "m": (1e6, "µm"),
        "kg/(m2 s)": (1e6 * 86400 / 100, worded("mg/dm² a day")),
        "m3/C": (3.6e6, worded("L/Ah")),
        "kg/kg": (1e6, "mg/kg"),
        "kg/m3": (1e-3, "g/mL"),
    }.get(unit, (1.0, "" if unit == "1" else unit))
    low, high = (plain(factor * end, 3) for end in (value.low, value.high))
    return f"{span(low, high)} {sign}".rstrip()
