"""Use case: a usual week, as a ledger tells it: what was plated, lifted out and left idle, over the
weeks that it has run.
"""

from collections.abc import Iterable
from typing import TypeVar

from tankside.base.units import Kind, UnitSystem, told
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.forecast import WEEK

LEAST_WEEKS = 1.0
"""Weeks under which a ledger tells no usual week [-]: our choice."""

One = TypeVar("One", bound=ev.Event)


def week_of_a_ledger(held: ev.Ledger, units: UnitSystem = UnitSystem.METRIC) -> dict[str, str]:
    """A week's entries (keys of USE_KEYS) as they would be typed; those left out of which the
    ledger says nothing, and all where it is younger than a week."""
    counting = ev.ordered(held)
    if not counting:
        return {}
    weeks = (counting[-1].at - counting[0].at) / WEEK
    if weeks < LEAST_WEEKS:
        return {}
    idle = list(_of(counting, ev.Idle))
    open_hours = [
        one for one in _of(counting, ev.Evaporation) if one.duration * one.surface_area > 0.0
    ]
    totals = {
        "charge": (sum(one.charge for one in _of(counting, ev.AmpereHours)), Kind.CHARGE),
        "area": (sum(one.area * one.parts for one in _of(counting, ev.DragOut)), Kind.AREA),
        "idle": (sum(one.duration for one in idle), Kind.TIME),
        "open": (sum(one.duration for one in open_hours), Kind.TIME),
    }
    found = {
        key: told(total / weeks, kind, units, 2) for key, (total, kind) in totals.items() if total
    }
    if idle:
        found["anode_area"] = told(idle[-1].anode_area, Kind.AREA, units)
    if open_hours:
        last = open_hours[-1]
        found["surface"] = told(last.surface_area, Kind.AREA, units)
        found["temperature"] = told(last.temperature, Kind.TEMPERATURE, units)
        found["room"] = told(last.room_temperature, Kind.TEMPERATURE, units)
        found["humidity"] = told(last.relative_humidity, Kind.FRACTION, units)
    waters = [one.water for one in _of(counting, ev.TopUp)]
    if waters:
        found["water"] = waters[-1]
    return found


def _of(events: Iterable[ev.Event], kind: type[One]) -> Iterable[One]:
    return (one for one in events if isinstance(one, kind))
