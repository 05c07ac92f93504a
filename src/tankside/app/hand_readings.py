"""Readings that a person typed: as samples for the integral, and remarks where they are odd."""

from collections.abc import Iterable

import numpy as np

from tankside.base.messages import Quantity, said
from tankside.runs import events as e
from tankside.runs.events import Event
from tankside.runs.expected import Expected
from tankside.runs.series import Series
from tankside.runs.states import RUNNING, RunState

HIGH, LOW = 1.4, 0.5
"""Voltage over the expected one from which a reading is questioned [-], widened by the spread."""


def series_of(events: Iterable[Event]) -> Series:
    """The readings of a run by hand as samples; where the supply was switched, with a reading of
    none or of the last one put in, so that the integral sees the pause."""
    rows: list[tuple[float, float, float]] = []
    held = 0.0
    for event in events:
        if isinstance(event, e.Read):
            _put(rows, event.at, event.voltage, event.current)
        elif isinstance(event, e.PoweredOff) and rows:
            _put(rows, event.at, rows[-1][1], rows[-1][2])
            _put(rows, event.at + 1e-3, 0.0, 0.0)
        elif isinstance(event, e.Resumed) and rows:
            _put(rows, event.at, 0.0, 0.0)
            _put(rows, event.at + 1e-3, rows[-1][1], held)
        elif isinstance(event, e.Set):
            held = event.current
            _put(rows, event.at, 0.0 if not rows else rows[-1][1], event.current)
    table = np.array(rows).reshape(-1, 3)
    return Series.of(table[:, 0], table[:, 1], table[:, 2])


def remarks_on(
    voltage: float, current: float, state: RunState, expected: Expected, charge: float
) -> tuple[str, ...]:
    """What is odd about a reading [V], [A] of a run in this state, that has had so much `charge`
    [C]; nothing where it is as planned."""
    found = []
    if state.stage in RUNNING and current < 0.1 * state.current:
        found.append(said("Hardly any current flows: look for a wire that came off."))
    elif abs(current - state.current) > 0.1 * state.current:
        found.append(
            said(
                "{current} flow where {wanted} were set; set it anew, or look why the "
                "voltage limit rules.",
                current=Quantity(current, "A"),
                wanted=Quantity(state.current, "A"),
            )
        )
    wanted = expected.voltage_at(current, charge)
    if wanted > 0.0 and current > 0.0:
        ratio, spread = voltage / wanted, expected.spread
        if ratio > HIGH + spread:
            found.append(
                said(
                    "{voltage} is well above the {wanted} expected: look at contacts and anodes.",
                    voltage=Quantity(voltage, "V"),
                    wanted=Quantity(wanted, "V"),
                )
            )
        elif ratio < LOW * (1 - spread):
            found.append(
                said(
                    "{voltage} is well below the {wanted} expected: look whether the part or a "
                    "wire touches an anode.",
                    voltage=Quantity(voltage, "V"),
                    wanted=Quantity(wanted, "V"),
                )
            )
    return tuple(found)


def _put(rows: list[tuple[float, float, float]], at: float, voltage: float, current: float) -> None:
    """A row, a hair after the last where they coincide."""
    if rows and at <= rows[-1][0]:
        at = rows[-1][0] + 1e-3
    rows.append((at, voltage, current))
