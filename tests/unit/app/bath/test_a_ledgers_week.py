"""What a ledger tells of a usual week, what is due, and doses noted whole."""

import pytest

from tankside.app.bath.estimate_form import LedgerAsked
from tankside.app.bath.kept_shelf import KeptShelf
from tankside.app.bath.moments import moment
from tankside.app.bath.note_a_dose import Done, note_a_dose, take_back
from tankside.app.bath.week_of_a_ledger import week_of_a_ledger
from tankside.app.bath.what_is_due import OLD_ANALYSIS, OLD_LEVEL, what_is_due
from tankside.base.errors import BadInput
from tankside.base.units import Kind, UnitSystem, quantity
from tankside.bath.inventory import events as ev
from tests.unit.app.bath.ledgers import NOW, begun, noted


def test_a_week_is_all_that_happened_over_the_weeks_that_it_took() -> None:
    ledger = begun()  # on 8 January
    assert week_of_a_ledger(ledger.events) == {}
    for at, charge in (("2024-01-15 18:00", "30 Ah"), ("2024-02-05 18:00", "50 Ah")):
        noted(ledger, "ampere-hours", f"charge={charge}", f"at={at}")
    noted(ledger, "drag-out", "area=6 dm^2", "parts=4", "at=2024-02-05 18:00")
    slip = noted(ledger, "ampere-hours", "charge=900 Ah", "at=2024-02-01").added[0].id
    noted(ledger, "retraction", f"of={slip}", "at=2024-02-05 18:00")
    week = week_of_a_ledger(ledger.events)
    assert quantity(week["charge"], Kind.CHARGE, where="") == pytest.approx(80 / 4 * 3600)
    assert quantity(week["area"], Kind.AREA, where="") == pytest.approx(0.06 * 4 / 4)
    assert set(week) == {"charge", "area"}
    us = week_of_a_ledger(ledger.events, UnitSystem.US)
    assert us["area"].endswith("in²") or us["area"].endswith("ft²")
    assert quantity(us["area"], Kind.AREA, where="") == pytest.approx(0.06, rel=0.01)


def test_age_alone_makes_analysis_and_level_due() -> None:
    ledger = begun()
    made = moment("2024-01-08 18:00", now=NOW, where="at")
    young = what_is_due(LedgerAsked(ledger=ledger), now=made + 86400.0)
    assert (young.analysed, young.levelled, young.outside) == (None, None, ())
    level = what_is_due(LedgerAsked(ledger=ledger), now=made + OLD_LEVEL + 1.0)
    assert (level.analysed, level.levelled) == (None, made)
    old = what_is_due(LedgerAsked(ledger=ledger), now=made + OLD_ANALYSIS + 1.0)
    assert (old.analysed, old.levelled) == (made, made)
    assert old.anything


def test_a_dose_is_one_entry_of_all_its_steps(tmp_path_factory: pytest.TempPathFactory) -> None:
    shelf = KeptShelf(tmp_path_factory.mktemp("home"))
    shelf.fill_with_the_example()
    ledger = begun()
    before = ledger.events
    acid = Done(product="battery acid", amount="100 mL")
    wrong = Done(product="blue crystals", amount="5")
    with pytest.raises(BadInput, match=r"step 2: .*no unit"):
        note_a_dose(ledger, shelf, [acid, wrong], at="2024-02-01", now=NOW)
    assert ledger.events == before
    out = Done(product="", amount="0,5 L")
    left = Done(product="blue crystals", amount=" ")
    reply = note_a_dose(ledger, shelf, [out, acid, left], at="2024-02-01", now=NOW)
    kinds = [type(one) for one in reply.added if one.id in reply.happened]
    assert kinds == [ev.Withdrawal, ev.Addition]
    take_back(ledger, reply.happened, reason="the other tank", now=NOW)
    counting = {one.id for one in ev.ordered(ledger.events)}
    assert counting.isdisjoint(reply.happened)
    assert {one.id for one in before} <= counting
