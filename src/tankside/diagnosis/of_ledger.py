"""What a bath's ledger says of its troubles: contents by the estimate, and the charge since care.

Charge by volume since carbon and since an additive went in wears additives; the volume is that of
the estimate. What the ledger does not note (filtering, the bath's temperature) stays unknown.
"""

from dataclasses import replace

from tankside.base.intervals import Interval
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.bath_estimate import BathEstimate
from tankside.diagnosis.known_numbers import BathNumbers, bath_numbers


def ledger_numbers(estimate: BathEstimate, ledger: ev.Ledger) -> BathNumbers:
    """Contents, and charge by volume since carbon and since additive, where they were noted."""
    events = ev.ordered(ledger)
    additives = {e.product.name for e in events if isinstance(e, ev.Bottle) and e.additive}
    carbon = _since(events, [isinstance(e, ev.Carbon | ev.MakeUp) for e in events])
    additive = _since(events, [_adds(e, additives) for e in events])
    volume = estimate.interval("volume")
    return replace(
        bath_numbers(estimate),
        charge_since_carbon=_by_volume(carbon, volume),
        charge_since_additive=_by_volume(additive, volume),
    )


def _adds(event: ev.Event, additives: set[str]) -> bool:
    if isinstance(event, ev.MakeUp):
        return any(portion.product in additives for portion in event.portions)
    return isinstance(event, ev.Addition) and event.product in additives


def _since(events: ev.Ledger, marks: list[bool]) -> float | None:
    """Charge after the last marked event [C]; None where there is none."""
    if not any(marks):
        return None
    last = max(place for place, mark in enumerate(marks) if mark)
    return sum(e.charge for e in events[last:] if isinstance(e, ev.AmpereHours))


def _by_volume(charge: float | None, volume: Interval) -> Interval | None:
    if charge is None or volume.low <= 0.0:
        return None
    return Interval(charge / volume.high, charge / volume.best, charge / volume.low)
