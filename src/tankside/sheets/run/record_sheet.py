"""The record of a run as a PDF: what was set and what flowed, what the watch saw, what came out,
what it cost, and every event."""

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from tankside.app.ports import SheetRequest
from tankside.app.run_ports import RunRecord
from tankside.base.constants import COPPER_PER_CHARGE_KG_PER_C
from tankside.base.intervals import Interval
from tankside.runs import events as e
from tankside.runs.audit import Audit
from tankside.runs.costs import RunCost
from tankside.runs.events import NAMES, Event
from tankside.runs.recipe import Recipe
from tankside.runs.series import Totals
from tankside.runs.states import replayed
from tankside.runs.words import EVENTS, STAGES
from tankside.sheets.run.picture_run import run_picture
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import (
    by_digits,
    clock,
    figure,
    for_its_reader,
    listed,
    marked,
    money,
    noted,
    plain,
    reading,
    sign,
    spoken,
    worded,
)


@for_its_reader
def run_record(record: RunRecord, how: SheetRequest) -> bytes:
    """The record as a PDF."""
    words = record_words(record, how)
    alarms = [one.at for one in record.events if isinstance(one, e.AlarmRaised)]
    pictures = {}
    if len(record.series) > 2:
        pictures["chart.svg"] = run_picture(record.series, record.expected, alarms)
        words["chart"] = worded(
            "Volts and amperes over the hours of the run, with the volts expected."
        )
    return typeset("tankside.sheets.run", "record", words, how, pictures)


@for_its_reader
def record_words(record: RunRecord, how: SheetRequest) -> dict[str, Any]:
    """Every word and number of the record, by its place in the layout."""
    events, audit, cost = record.events, record.audit, record.cost
    return {
        "heading": worded("Run record: {name}", name=how.title),
        "subheading": _standing(events),
        "figures": _figures(record.recipe, record.totals),
        "alarms": [
            f"{_moment(one.at)}: {noted(one.words)}"
            for one in events
            if isinstance(one, e.AlarmRaised)
        ],
        "chart": "",
        "audit": [] if audit is None else _audit_rows(audit),
        "findings": [] if audit is None else [spoken(one) for one in audit.findings],
        "cost": [] if cost is None else _cost_rows(cost),
        "cost_total": "" if cost is None else _total(cost),
        "events": [[_moment(one.at), _name(one), _more(one)] for one in events],
    }


def _standing(events: Sequence[Event]) -> str:
    if not events:
        return worded("not begun")
    return worded(
        "{stage}; begun {moment} universal time",
        stage=spoken(STAGES[replayed(events).stage.value]),
        moment=_moment(events[0].at),
    )


def _figures(recipe: Recipe, totals: Totals) -> list[dict[str, str]]:
    share = f"{100 * totals.charge / recipe.expected_charge:.0f}"
    copper = totals.charge * COPPER_PER_CHARGE_KG_PER_C
    return [
        _figure(
            worded("charge"),
            plain(totals.charge / 3600, 3),
            "Ah",
            worded("{share} % of the plan", share=share),
        ),
        _figure(
            worded("copper at most"),
            plain(figure(copper, "g"), 3),
            sign("g"),
            worded("on part and wires, by the charge"),
        ),
        _figure(
            worded("watched"),
            clock(totals.sampled),
            "",
            worded("{time} unknown", time=clock(totals.unknown)),
        ),
        _figure(worded("energy"), plain(totals.energy / 3600, 3), "Wh", worded("at the bath")),
    ]


def _figure(name: str, figure: str, unit: str, remark: str) -> dict[str, str]:
    return {"name": name, "figure": figure, "unit": unit, "remark": remark}


def _audit_rows(audit: Audit) -> list[list[str]]:
    rows = [
        _row(worded("copper on the part"), audit.copper_mass, "g"),
        _row(worded("mean thickness"), audit.mean_thickness, "um"),
    ]
    names = {
        "efficiency": worded("copper's share of the current"),
        "share": worded("the part's share"),
    }
    rows += [
        [words, _percent(audit.factors[name].best), _percents(audit.factors[name])]
        for name, words in names.items()
    ]
    return rows


def _row(words: str, value: Interval, unit: str) -> list[str]:
    low, high = by_digits(value.low, unit).split()[0], by_digits(value.high, unit)
    return [words, by_digits(value.best, unit), worded("{low} to {high}", low=low, high=high)]


def _percent(share: float) -> str:
    return marked(f"{100 * share:.1f} %")


def _percents(value: Interval) -> str:
    low, high = (marked(f"{100 * end:.1f}") for end in (value.low, value.high))
    return worded("{low} to {high} %", low=low, high=high)


def _cost_rows(cost: RunCost) -> list[list[str]]:
    unknown = worded("price not known")
    return [
        [spoken(one.name), spoken(one.amount), unknown if one.cost is None else money(one.cost)]
        for one in cost.lines
    ]


def _total(cost: RunCost) -> str:
    return worded("In all {sum}", sum=money(cost.known, cost.currency))


def _name(one: Event) -> str:
    return spoken(EVENTS[NAMES[type(one)]])


def _more(one: Event) -> str:
    """What an event says beside its name."""
    match one:
        case e.Set():
            return worded(
                "{current}, ceiling {voltage}",
                current=reading(one.current, "A"),
                voltage=reading(one.voltage_limit, "V"),
            )
        case e.Read():
            return listed([reading(one.voltage, "V"), reading(one.current, "A")])
        case e.Gap():
            lost = worded("{time} without a record", time=clock(one.at - one.since))
            return _joined(lost, one.reason)
        case e.AlarmRaised():
            return _joined(noted(one.alarm), one.words)
        case e.AlarmAnswered():
            return _joined(noted(one.alarm), one.answer)
        case e.Noted():
            return noted(one.text)
        case e.Paused() | e.PoweredOff() | e.Aborted():
            return noted(one.reason)
        case _:
            return ""


def _joined(what: str, more: str) -> str:
    return f"{what}: {noted(more)}" if more else what


def _moment(at: float) -> str:
    return datetime.fromtimestamp(at, UTC).strftime("%Y-%m-%d %H:%M")
