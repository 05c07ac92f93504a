"""What a ledger says: contents, and the charge since carbon and additive."""

import pytest

from tankside.bath.inventory import estimated
from tankside.bath.inventory import events as ev
from tankside.diagnosis.known_numbers import bath_numbers
from tankside.diagnosis.of_ledger import ledger_numbers
from tests.unit.bath.inventory.shelf import BOTTLES, make_up

AMPERE_HOUR = 3600.0


def passed(number: int, hours: float) -> ev.AmpereHours:
    at = make_up().at + 86400.0 * number
    return ev.AmpereHours(at=at, id=f"charge-{number}", charge=hours * AMPERE_HOUR)


def test_charge_since_carbon_counts_from_the_last_treatment() -> None:
    begun = (*BOTTLES, make_up(), passed(1, 40.0))
    treated = (*begun, ev.Carbon(at=make_up().at + 2 * 86400.0, id="carbon"), passed(3, 10.0))
    for ledger, hours in ((begun, 40.0), (treated, 10.0)):
        estimate = estimated(ledger)
        found = ledger_numbers(estimate, ledger).charge_since_carbon
        assert found is not None
        volume = estimate.interval("volume")
        assert found.best == pytest.approx(hours * AMPERE_HOUR / volume.best)
        assert found.low < found.best < found.high


def test_contents_are_those_of_the_estimate() -> None:
    ledger = (*BOTTLES, make_up())
    estimate = estimated(ledger)
    found, plain = ledger_numbers(estimate, ledger), bath_numbers(estimate)
    assert found.copper_sulfate_pentahydrate == plain.copper_sulfate_pentahydrate
    assert found.chloride == plain.chloride
    assert found.temperature is None


def test_what_was_never_added_has_no_charge_since() -> None:
    ledger = (*BOTTLES, make_up(), passed(1, 5.0))
    additives = {e.product.name for e in BOTTLES if isinstance(e, ev.Bottle) and e.additive}
    used = any(portion.product in additives for portion in make_up().portions)
    found = ledger_numbers(estimated(ledger), ledger).charge_since_additive
    assert (found is not None) == used
