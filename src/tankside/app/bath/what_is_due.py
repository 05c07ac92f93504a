"""Use case: what is due about a bath, for the bench's first page.

A quantity outside its window, one that will leave it within a month of work as usual, readings that
do not fit, an analysis or a level that is old, and the measurement that would help most.
"""

from dataclasses import dataclass
from math import ceil
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.estimate_form import LedgerAsked, Read, read_ledger
from tankside.app.bath.most_worth_measuring import NextRequest, next_measurement
from tankside.app.bath.tell_the_state import StateReply, StateRequest, tell_the_state
from tankside.app.bath.usual_week import WATER, typed_week, water_of, week_of
from tankside.app.bath.week_of_a_ledger import week_of_a_ledger
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.forecast import WEEK, Leaving, forecast

SOON_WEEKS = 4
"""Weeks ahead that a window about to be left is told [-]: our choice."""

OLD_ANALYSIS = 8 * WEEK
"""Age from which an analysis is old [s]: common practice, no source; weekly with much plating."""

OLD_LEVEL = 2 * WEEK
"""Age from which the level is due to be read [s]: common practice, no source."""

_MOST_WEEKS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class DueReply:
    """What is due.

    outside     quantities outside their window now: name and side
    leaving     windows that will be left within SOON_WEEKS, by the ledger's own usual week
    misfits     readings that were set aside
    analysed    the last analysis or beginning, where it is old [s since 1970-01-01 UTC], else None
    levelled    the last reading of the level likewise
    wanted      the measurement that is worth most where a decision hangs on one, else ""
    """

    outside: tuple[tuple[str, str], ...]
    leaving: tuple[Leaving, ...]
    misfits: int
    analysed: float | None
    levelled: float | None
    wanted: str

    @property
    def anything(self) -> bool:
        """True where something is."""
        return bool(
            self.outside or self.leaving or self.misfits or self.wanted
            or self.analysed is not None or self.levelled is not None
        )  # fmt: skip

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        return {
            "outside": [{"quantity": name, "side": side} for name, side in self.outside],
            "leaving": [
                {"quantity": one.quantity, "side": one.side, "likely_s": one.likely}
                for one in self.leaving
            ],
            "readings_set_aside": self.misfits,
            "analysis_old_since_s": self.analysed,
            "level_old_since_s": self.levelled,
            "worth_measuring": self.wanted,
        }


@within_laws
def what_is_due(asked: LedgerAsked, *, now: float) -> DueReply:
    """What is due about the bath of a ledger at the clock's time `now` [s since 1970-01-01 UTC]."""
    read = read_ledger(asked)
    state = tell_the_state(StateRequest(asked=asked, now=now))
    outside = _outside(state)
    reply = next_measurement(NextRequest(asked=asked))
    counting = ev.ordered(read.held)
    analysed = max(
        (one.at for one in counting if isinstance(one, ev.Analysis | ev.MakeUp | ev.TakeOver)),
        default=counting[0].at,
    )
    levelled = max((one.at for one in counting if _tells_the_level(one)), default=counting[0].at)
    return DueReply(
        outside=outside,
        leaving=_leaving(read, {name for name, _ in outside}, now),
        misfits=len(state.surprises),
        analysed=analysed if now - analysed > OLD_ANALYSIS else None,
        levelled=levelled if now - levelled > OLD_LEVEL else None,
        wanted=reply.ranked[0][0].words if reply.open else "",
    )


def _outside(state: StateReply) -> tuple[tuple[str, str], ...]:
    return tuple((one.quantity, one.side) for one in state.held if one.side in ("below", "above"))


def _tells_the_level(event: ev.Event) -> bool:
    if isinstance(event, ev.TakeOver):
        return True
    return getattr(event, "level_volume", None) is not None or isinstance(event, ev.MakeUp)


def _leaving(read: Read, out: set[str], now: float) -> tuple[Leaving, ...]:
    """Windows that are likely left soon if work goes on as the ledger knows it."""
    week = week_of_a_ledger(read.held)
    if not week:
        return ()
    entries, waters = typed_week([f"{key}={text}" for key, text in week.items()])
    water = water_of((waters or (WATER,))[0], read.held)
    weeks = ceil(max(now - read.estimate.at, 0.0) / WEEK) + SOON_WEEKS
    ahead = forecast(
        read.estimate, week_of(entries, water), read.windows, weeks=min(weeks, _MOST_WEEKS)
    )
    return tuple(
        one
        for one in ahead.leaving
        if one.quantity not in out and one.probability_now <= 0.5 and one.likely is not None
    )
