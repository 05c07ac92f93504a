"""Additives: charge proposes, the panel decides, the clock does nothing."""

import pytest

from tankside.base.errors import BadInput
from tankside.bath.dosing import Panel, additive_dose, additive_proposal
from tankside.bath.inventory import Addition, AmpereHours, Carbon, Event, Retraction, estimated
from tests.unit.bath.inventory.shelf import BOTTLES, DAY, make_up

USUAL = 4.0


def run(day: float, hours: float) -> AmpereHours:
    return AmpereHours(at=day * DAY, id=f"run {day}", charge=3600.0 * hours)


def ledger(*events: Event) -> tuple[Event, ...]:
    return (*BOTTLES, make_up(), *events)


def test_charge_proposes() -> None:
    held = ledger(run(1, 400.0), run(2, 600.0))
    told = additive_proposal(estimated(held), held, usual=USUAL)
    assert told.charge == 3600.0 * 1000.0
    assert told.panel_due
    assert told.held.low < told.held.best < told.held.high < USUAL * 1.2
    assert told.missing == pytest.approx((USUAL - told.held.best) * 0.018, rel=0.05)
    assert "1e+03 Ah" in told.sentence or "1000 Ah" in told.sentence
    assert "test panel" in told.sentence


def test_the_clock_proposes_nothing() -> None:
    """Months pass without current: the amount that may be missing does not change."""
    held = ledger(run(1, 5.0))
    soon = additive_proposal(estimated(held), held, usual=USUAL)
    late = additive_proposal(estimated(held, at=200 * DAY), held, usual=USUAL)
    assert not soon.panel_due
    assert not late.panel_due
    assert late.missing <= soon.missing  # water went, additive did not
    assert late.charge == soon.charge


def test_an_addition_and_carbon_begin_the_count_anew() -> None:
    added = Addition(at=3 * DAY, id="shine", product="brightener", mass=0.05)
    salt = Addition(at=3 * DAY, id="salt", product="crystals", mass=0.05)
    first, second = run(1, 500.0), run(4, 20.0)
    for anew in (added, Carbon(at=3 * DAY, id="carbon")):
        held = ledger(first, anew, second)
        assert additive_proposal(estimated(held), held, usual=USUAL).charge == second.charge
    held = ledger(first, salt, second)
    both = additive_proposal(estimated(held), held, usual=USUAL).charge
    assert both == first.charge + second.charge


@pytest.mark.parametrize(("panel", "share"), [(Panel.BRIGHT, 0.0), (Panel.DULL, 0.5),
                                              (Panel.OVERDOSED, 0.0)])  # fmt: skip
def test_the_panel_decides(panel: Panel, share: float) -> None:
    held = ledger(run(1, 1000.0))
    told = additive_proposal(estimated(held), held, usual=USUAL)
    assert additive_dose(told, panel) == pytest.approx(share * told.missing)


def test_a_usual_content_is_needed() -> None:
    held = ledger(run(1, 10.0))
    with pytest.raises(BadInput, match="above zero"):
        additive_proposal(estimated(held), held, usual=0.0)


def test_retracted_charge_does_not_count() -> None:
    held = ledger(run(1, 10.0), run(2, 20.0), Retraction(at=3 * DAY, id="r", of="run 2"))
    told = additive_proposal(estimated(held), held, usual=USUAL)
    assert told.charge == 36000.0
