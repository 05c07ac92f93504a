"""The bath's record: what is in it, how sure that is, how it went, and all that happened."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units import Kind, UnitSystem, shown, told
from tankside.bath.inventory import BathEstimate, Event, Ledger
from tankside.bath.inventory import events as ev
from tankside.sheets.bath.picture_course import course_picture, day
from tankside.sheets.provenance import made_by
from tankside.sheets.typeset import Paper, typeset

_QUANTITIES = {
    "copper": ("copper", "g/L"),
    "sulfuric_acid": ("sulfuric acid", "g/L"),
    "chloride": ("chloride", "mg/L"),
    "additive": ("additive, indicative", "g/L"),
    "volume": ("volume", "L"),
}


def record_sheet(
    ledger: Ledger,
    course: Sequence[BathEstimate],
    windows: Mapping[str, tuple[float, float]],
    *,
    title: str,
    prepared: str,
    paper: Paper = "a4",
    units: UnitSystem = UnitSystem.METRIC,
) -> bytes:
    """The record as a PDF; `course` are estimates in order of time, the last one now."""
    if not course:
        raise BadInput("a record needs at least one estimate of the bath")
    words = record_words(ledger, course, windows, title, prepared, paper, units)
    pictures = {"chart.svg": course_picture(course, windows)} if len(course) > 1 else {}
    return typeset("tankside.sheets.bath", "record", words, pictures)


def record_words(
    ledger: Ledger,
    course: Sequence[BathEstimate],
    windows: Mapping[str, tuple[float, float]],
    title: str,
    prepared: str,
    paper: Paper,
    units: UnitSystem,
) -> dict[str, Any]:
    """Every word and number of the record, by its place in the layout."""
    now = course[-1]
    return {
        "paper": paper,
        "heading": f"Bath record: {title}",
        "subheading": f"As of {day(now.at)}, from {len(ledger)} notes",
        "made_by": f"{made_by()}, prepared {prepared}",
        "warnings": [
            f"The {one.quantity.replace('_', ' ')} read on {day(one.at)} does not fit all other "
            "readings and was set aside; repeat it."
            for one in now.gross
        ],
        "state": [_state(now, name, windows.get(name)) for name in _QUANTITIES],
        "chart": "Copper, acid, chloride and volume over time." if len(course) > 1 else "",
        "learned": [
            [one.name, _between(one.believed, one.unit), _between(one.learned, one.unit)]
            for one in now.learned
        ],
        "events": [_event(one, units) for one in ledger],
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


def _event(one: Event, units: UnitSystem) -> list[str]:
    when = datetime.fromtimestamp(one.at, UTC).strftime("%Y-%m-%d %H:%M")
    what, more = _words(one, units)
    return [when, what, more]


def _words(one: Event, units: UnitSystem) -> tuple[str, str]:
    """What an event was, and its amounts."""
    match one:
        case ev.MakeUp():
            parts = (f"{told(p.mass, Kind.MASS, units)} {p.product}" for p in one.portions)
            return "made up", ", ".join(parts)
        case ev.TakeOver():
            return "taken over", told(one.volume, Kind.VOLUME, units)
        case ev.Addition():
            return "added", f"{told(one.mass, Kind.MASS, units)} {one.product}"
        case ev.TopUp():
            return "topped up", f"{told(one.volume, Kind.VOLUME, units)} {one.water}"
        case ev.Evaporation():
            read = one.level_volume
            return "evaporated", "" if read is None else f"to {told(read, Kind.VOLUME, units)}"
        case ev.DragOut():
            return "drag-out", f"{one.parts} parts, {told(one.area, Kind.AREA, units)}"
        case ev.AmpereHours():
            return "plated", told(one.charge, Kind.CHARGE, units)
        case ev.Idle():
            return "idle with anodes", told(one.duration, Kind.TIME, units)
        case ev.Analysis():
            return "analysed", ", ".join(_found(f.quantity, f.value.best) for f in one.findings)
        case ev.Withdrawal() | ev.Loss():
            what = "withdrawn" if isinstance(one, ev.Withdrawal) else "lost"
            return what, told(one.volume, Kind.VOLUME, units)
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
