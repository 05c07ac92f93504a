"""Use case: what a ledger says is in the bath, how sure that is, and what it has learned."""

from dataclasses import dataclass
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.estimate_form import READ_IN, UNITS, LedgerAsked, read_ledger, window_row
from tankside.app.bath.moments import moment
from tankside.app.forms import ends
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.bath.inventory.bath_estimate import QUANTITIES, Learned, Surprise
from tankside.bath.inventory.taught import learned_words as learned_words  # also the cli's
from tankside.bath.inventory.taught import taught


@dataclass(frozen=True, slots=True, kw_only=True)
class StateRequest:
    """A ledger, and a later time as typed ("" for its last event)."""

    asked: LedgerAsked
    now: float
    at: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """One quantity: nine in ten of it [kg m⁻³, m³], its window, the chance of being inside."""

    quantity: str
    value: Interval
    window: tuple[float, float] | None
    inside: float | None

    @property
    def side(self) -> str:
        """Where the best value lies: "below", "inside", "above", or "" without a window."""
        if self.window is None:
            return ""
        low, high = self.window
        return "below" if self.value.best < low else "above" if self.value.best > high else "inside"


@dataclass(frozen=True, slots=True, kw_only=True)
class StateReply:
    """The bath at a time [s since 1970-01-01 UTC].

    whose      whose windows they are
    surprises  the readings that were set aside as grossly wrong
    learned    the shop's parameters that the ledger has narrowed
    """

    at: float
    events: int
    held: tuple[Held, ...]
    whose: str
    surprises: tuple[Surprise, ...]
    readings: int
    learned: tuple[Learned, ...]
    notes: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        return {
            "at_s": self.at,
            "events": self.events,
            "windows_of": self.whose,
            "bath": {
                f"{one.quantity}_{UNITS[one.quantity]}": {
                    **ends(one.value),
                    "window": None if one.window is None else window_row(
                        {one.quantity: one.window}, one.quantity),
                    "side": one.side or None,
                    "probability_inside": one.inside,
                }
                for one in self.held
            },
            "readings": self.readings,
            "set_aside": [
                {
                    "event": one.event,
                    "at_s": one.at,
                    "quantity": one.quantity,
                    f"value_{READ_IN[one.quantity]}": one.value,
                    f"expected_{READ_IN[one.quantity]}": one.expected,
                    "score": one.score,
                    "doubt": one.doubt,
                }
                for one in self.surprises
            ],
            "learned": [
                {
                    "name": one.name,
                    "words": learned_words(one.name),
                    "unit": one.unit,
                    "believed": ends(one.believed),
                    "learned": ends(one.learned),
                }
                for one in self.learned
            ],
            "notes": list(self.notes),
        }  # fmt: skip


@within_laws
def tell_the_state(request: StateRequest) -> StateReply:
    """The bath by its ledger; BadInput where the ledger cannot be."""
    at = moment(request.at, now=request.now, where="--at") if request.at else None
    read = read_ledger(request.asked, at=at)
    estimate = read.estimate
    last = max(event.at for event in read.held)
    if at is not None and at < last:
        raise BadInput("the ledger holds later events; a state is told at its end or after it",
                       where="--at")  # fmt: skip
    held = []
    for name in QUANTITIES:
        value = estimate.interval(name)
        if name == "additive" and value.high <= 0.0:
            continue
        window = read.windows.get(name)
        held.append(
            Held(
                quantity=name,
                value=value,
                window=window,
                inside=None if window is None else estimate.probability_inside(name, *window),
            )
        )
    return StateReply(
        at=estimate.at,
        events=len(read.held),
        held=tuple(held),
        whose=read.whose,
        surprises=estimate.gross,
        readings=len(estimate.surprises),
        learned=tuple(one for one in estimate.learned if taught(one)),
        notes=read.notes,
    )
