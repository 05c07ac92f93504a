"""Use case: the bath as its ledger told it at each of some moments, to be drawn against time."""

from dataclasses import dataclass
from typing import Any

from tankside.app.bath.estimate_form import UNITS
from tankside.app.forms import ends
from tankside.app.ledger_port import BathLedger
from tankside.base.intervals import Interval
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.bath_estimate import QUANTITIES
from tankside.bath.inventory.estimating import estimated

MOST = 16
"""Moments at most: each is an estimate of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """The bath at a moment [s since 1970-01-01 UTC] by what was known then: nine in ten of each
    quantity [kg m⁻³, m³]."""

    at: float
    held: dict[str, Interval]

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        bath = {f"{name}_{UNITS[name]}": ends(value) for name, value in self.held.items()}
        return {"at_s": self.at, "bath": bath}


def tell_the_history(ledger: BathLedger, *, most: int = MOST) -> tuple[Told, ...]:
    """The bath after some of its events, from the first after which there is one to the last. What
    was retracted later does not count in any of them."""
    whole = ev.ordered(ledger.read().ledger)
    begun = next(
        (n for n, one in enumerate(whole) if isinstance(one, ev.MakeUp | ev.TakeOver)), None
    )
    if begun is None:
        return ()
    ends = [
        n for n in range(begun, len(whole)) if n + 1 == len(whole) or whole[n + 1].at > whole[n].at
    ]
    step = max(1, -(-len(ends) // most))
    chosen = ends[::-1][::step][::-1]
    found = []
    for last in chosen:
        estimate = estimated(whole[: last + 1])
        held = {name: estimate.interval(name) for name in QUANTITIES}
        found.append(Told(at=estimate.at, held=held))
    return tuple(found)
