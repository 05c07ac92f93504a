"""A run's record is in its reader's language, units and numbers: every kind of event, the chart,
what came out and what it cost. The run is INVENTED."""

import re
from dataclasses import replace

import numpy as np
import pytest

from tankside.app.ports import SheetRequest
from tankside.app.run_ports import RunRecord
from tankside.app.work.run_wishes import GIVEN_UP, PAUSED
from tankside.base.intervals import Interval
from tankside.base.messages import Reader
from tankside.base.units import UnitSystem
from tankside.runs import events as e
from tankside.runs.alarms import Sample, Watch, observed
from tankside.runs.audit import Believed, Point, Weighed, audited
from tankside.runs.costs import Prices, Spent, cost_of
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe, Setting
from tankside.runs.series import Series, totals
from tankside.sheets.run.picture_run import run_picture
from tankside.sheets.run.record_sheet import record_words, run_record
from tests.unit.sheets.brackets import bare, drawn_texts, how, outside, texts
from tests.unit.web.test_languages import bracketed

__all__ = ["bracketed", "how"]
BEGAN = 1.75e9
CHARGE = 30.0 * 3600
TYPED = ("a bubble", "wiped the hook", "sanded in 2.5 mm", "clock of the shop")
"""What a person wrote."""
METRIC = re.compile(r"\d\s?(?:µm|mm|cm|g|kg|cm²|°C)(?![\w/²])")


def expected() -> Expected:
    charge = np.linspace(0.0, 1.2 * CHARGE, 7)
    current = np.linspace(0.1, 4.0, 20)
    return Expected(
        charge=charge, current=current, voltage=np.tile(1.3 * current, (7, 1)), spread=0.1
    )


def every_event() -> list[e.Event]:
    """One of each kind, in an order that a run may take."""
    sample = Sample(
        time=BEGAN, voltage=0.3, current=2.5, set_current=2.5, voltage_limit=5.0, charge=900.0,
        ramp=True,
    )  # fmt: skip
    watch, raised = Watch(), []
    for second in range(60):
        watch, alarms = observed(watch, replace(sample, time=BEGAN + second), expected())
        raised += alarms
    touching = raised[0]
    by = iter(range(1, 100))
    return [
        e.Begun(at=BEGAN),
        e.PoweredOn(at=BEGAN + next(by)),
        e.Set(at=BEGAN + next(by), current=2.5, voltage_limit=5.5, number=0),
        e.Immersed(at=BEGAN + next(by)),
        e.RampStarted(at=BEGAN + next(by)),
        e.AlarmRaised(at=BEGAN + next(by), by="watch", alarm=touching.name, words=touching.seen),
        e.AlarmAnswered(at=BEGAN + next(by), alarm=touching.name, answer=TYPED[1]),
        e.Paused(at=BEGAN + next(by), reason=touching.name),
        e.PoweredOff(at=BEGAN + next(by), reason=PAUSED),
        e.Lifted(at=BEGAN + next(by)),
        e.Noted(at=BEGAN + next(by), text=TYPED[2]),
        e.PoweredOn(at=BEGAN + next(by)),
        e.Immersed(at=BEGAN + next(by)),
        e.Resumed(at=BEGAN + next(by)),
        e.PlatingStarted(at=BEGAN + next(by)),
        e.Read(at=BEGAN + next(by), voltage=3.25, current=2.5),
        e.Gap(at=BEGAN + 90.0, since=BEGAN + 50.0, reason=TYPED[3]),
        e.Aborted(at=BEGAN + 100.0, reason=GIVEN_UP),
    ]


@pytest.fixture
def record() -> RunRecord:
    believed = Believed(
        efficiency=Interval(0.97, 0.99, 1.0),
        share=Interval(0.85, 0.90, 0.95),
        area=Interval(0.018, 0.02, 0.022),
    )
    thin = Point(place=TYPED[0], thickness=2e-5, resolution=1e-6, planned=1e-4)
    weighed = Weighed(charge=CHARGE, mass_gain=0.0152, others_gain=0.0021, points=(thin,))
    spent = Spent(copper=0.035, plating=4e5, heater=2e6, pump=3e5, coat=0.021, chemicals=1.25,
                  work=2500.0, scrap=2.5)  # fmt: skip
    time = np.linspace(BEGAN, BEGAN + 3600, 100)
    volts, amperes, kelvins = (np.full(100, value) for value in (3.2, 2.5, 300.0))
    series = Series(time=time, voltage=volts, current=amperes, temperature=kelvins)
    return RunRecord(
        recipe=Recipe(settings=(Setting(current=2.5, voltage_limit=5.5, charge=CHARGE),)),
        expected=expected(),
        events=every_event(),
        series=series,
        totals=totals(series),
        audit=audited(believed, weighed),
        cost=cost_of(spent, Prices(currency="EUR", copper=12.5), title="", at=BEGAN),
    )


def test_every_word_is_in_the_reader_s_language(record: RunRecord, how: SheetRequest) -> None:
    kinds = {type(one) for one in record.events}
    assert kinds == {*e.EVENTS.values()} - {e.Ended}
    found = list(texts(record_words(record, how)))
    assert len(found) > 70
    assert [one for one in found if list(outside(one, (*TYPED, "EUR", "UTC")))] == []


def test_the_chart_and_the_page_are_too(record: RunRecord, how: SheetRequest) -> None:
    assert list(bare(run_record(record, how), *TYPED, "EUR")) == []


def test_an_ended_and_an_unbegun_run_are_too(record: RunRecord, how: SheetRequest) -> None:
    ended = [*record.events[:-1], e.Ended(at=BEGAN + 100.0)]
    for events in (ended, []):
        words = record_words(replace(record, events=events), how)
        assert [one for one in texts(words) if list(outside(one, (*TYPED, "EUR")))] == []


def test_numbers_and_units_are_the_reader_s(record: RunRecord, how: SheetRequest) -> None:
    readers = (Reader(), Reader(comma=True), Reader(units=UnitSystem.US))
    mine = [[*texts(record_words(record, replace(how, reader=reader)))] for reader in readers]
    assert all(TYPED[2] in found for found in mine)
    plain, comma, us = (" | ".join(found).replace(TYPED[2], "") for found in mine)
    assert len(re.findall(r"\d\.\d", plain)) > 10
    assert re.findall(r"\d\.\d", comma) == []
    assert len(METRIC.findall(plain)) > 8
    assert METRIC.findall(us) == []


def test_the_chart_s_numbers_are_the_reader_s(record: RunRecord, how: SheetRequest) -> None:
    from tankside.sheets.wording import written_for

    with written_for(Reader(comma=True)):
        found = drawn_texts(run_picture(record.series, record.expected, [BEGAN + 5.0]))
    assert any("," in one for one in found)
    assert not any(re.search(r"\d\.\d", one) for one in found)
