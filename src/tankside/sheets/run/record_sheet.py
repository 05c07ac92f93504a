"""The record of a run as a PDF: what was set and what flowed, what the watch saw, what came out,
what it cost, and every event."""

from datetime import UTC, datetime
from typing import Any

from tankside.app.ports import SheetRequest
from tankside.app.run_ports import RunRecord
from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.intervals import Interval
from tankside.base.units import shown
from tankside.runs import events as e
from tankside.runs.audit import Audit
from tankside.runs.costs import RunCost
from tankside.runs.events import NAMES, Event
from tankside.runs.recipe import Recipe
from tankside.runs.series import Totals
from tankside.runs.states import replayed
from tankside.sheets.run.picture_run import run_picture
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import clock, for_its_reader, plain


@for_its_reader
def run_record(record: RunRecord, how: SheetRequest) -> bytes:
    """The record as a PDF."""
    words = record_words(record, how)
    alarms = [one.at for one in record.events if isinstance(one, e.AlarmRaised)]
    pictures = {}
    if len(record.series) > 2:
        pictures["chart.svg"] = run_picture(record.series, record.expected, alarms)
        words["chart"] = "Volts and amperes over the hours of the run, with the volts expected."
    return typeset("tankside.sheets.run", "record", words, how, pictures)


@for_its_reader
def record_words(record: RunRecord, how: SheetRequest) -> dict[str, Any]:
    """Every word and number of the record, by its place in the layout."""
    events, audit, cost = record.events, record.audit, record.cost
    state = replayed(events)
    began = events[0].at if events else 0.0
    return {
        "heading": f"Run record: {how.title}",
        "subheading": f"{state.stage.value}; begun {_moment(began)} universal time"
        if events
        else "not begun",
        "figures": _figures(record.recipe, record.totals),
        "alarms": [
            f"{_moment(one.at)}: {one.words}" for one in events if isinstance(one, e.AlarmRaised)
        ],
        "chart": "",
        "audit": [] if audit is None else _audit_rows(audit),
        "findings": [] if audit is None else list(audit.findings),
        "cost": [] if cost is None else _cost_rows(cost),
        "cost_total": "" if cost is None else f"In all {cost.known:.2f} {cost.currency}".rstrip(),
        "events": [[_moment(one.at), NAMES[type(one)], _more(one)] for one in events],
    }


def _figures(recipe: Recipe, totals: Totals) -> list[dict[str, str]]:
    share = totals.charge / recipe.expected_charge
    return [
        _figure("charge", plain(totals.charge / 3600, 3), "Ah", f"{100 * share:.0f} % of the plan"),
        _figure(
            "copper at most",
            plain(1e3 * totals.charge * COPPER_PER_CHARGE_KG_PER_C, 3),
            "g",
            "on part and wires, by the charge",
        ),
        _figure("watched", clock(totals.sampled), "", f"{clock(totals.unknown)} unknown"),
        _figure("energy", plain(totals.energy / 3600, 3), "Wh", "at the bath"),
    ]


def _figure(name: str, figure: str, unit: str, remark: str) -> dict[str, str]:
    return {"name": name, "figure": figure, "unit": unit, "remark": remark}


def _audit_rows(audit: Audit) -> list[list[str]]:
    rows = [
        _row("copper on the part", audit.copper_mass, "g"),
        _row("mean thickness", audit.mean_thickness, "um"),
    ]
    names = {"efficiency": "copper's share of the current", "share": "the part's share"}
    rows += [
        [words, f"{100 * audit.factors[name].best:.1f} %", _percents(audit.factors[name])]
        for name, words in names.items()
    ]
    return rows


def _row(words: str, value: Interval, unit: str) -> list[str]:
    low, high = shown(value.low, unit).split()[0], shown(value.high, unit)
    return [words, shown(value.best, unit), f"{low} to {high}"]


def _percents(value: Interval) -> str:
    return f"{100 * value.low:.1f} to {100 * value.high:.1f} %"


def _cost_rows(cost: RunCost) -> list[list[str]]:
    return [
        [one.name, one.amount, "price not known" if one.cost is None else f"{one.cost:.2f}"]
        for one in cost.lines
    ]


def _more(one: Event) -> str:
    """What an event says beside its name."""
    match one:
        case e.Set():
            return f"{shown(one.current, 'A')}, ceiling {shown(one.voltage_limit, 'V')}"
        case e.Read():
            return f"{shown(one.voltage, 'V')}, {shown(one.current, 'A')}"
        case e.Gap():
            return f"{clock(one.at - one.since)} without a record: {one.reason}".rstrip(": ")
        case e.AlarmRaised():
            return f"{one.alarm}: {one.words}"
        case e.AlarmAnswered():
            return f"{one.alarm}: {one.answer}".rstrip(": ")
        case e.Noted():
            return one.text
        case e.Paused() | e.PoweredOff() | e.Aborted():
            return one.reason
        case _:
            return ""


def _moment(at: float) -> str:
    return datetime.fromtimestamp(at, UTC).strftime("%Y-%m-%d %H:%M")
