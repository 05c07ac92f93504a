"""Runs by hand as the pages carry them: each word and reading changes the run's place at once, so
that nothing of it is held in this process."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tankside.app.work.run_chart import drawn
from tankside.app.work.run_view import Standing
from tankside.app.work.run_wishes import act_of, check_stage
from tankside.base.errors import BadInput
from tankside.base.messages import Quantity, said

if TYPE_CHECKING:
    from tankside.app.order_a_run import Order
    from tankside.app.run_by_hand import HandRun
    from tankside.app.run_ports import RunKeeper
    from tankside.base.units import UnitSystem

_BARE = re.compile(r"^\s*-?\d+(?:[.,]\d*)?\s*$")
MOST_READINGS = 200
OLDEST_S = 24 * 3600.0
"""A reading that waited longer to be sent than this is not believed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandReading:
    """What the meters showed `ago` [s] before it was sent: voltage [V], current [A], and where the
    person looked, the bath's temperature [K] and its level below the mark [m]."""

    voltage: float
    current: float
    temperature: float | None = None
    level_drop: float | None = None
    ago: float = 0.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.ago <= OLDEST_S:
            raise BadInput("a reading is sent within a day after it was taken")


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedReading:
    """A reading as a person types it: volts and amps, and "" or the bath's temperature and its
    level below the mark; a bare number is in volts, amps, and the person's own units."""

    volts: str
    amps: str
    bath: str = ""
    level: str = ""
    ago: float = 0.0


def sent_readings(rows: Sequence[Mapping[str, Any]]) -> tuple[TypedReading, ...]:
    """As a page sends them: volts, amps, bath and level as texts, and ago_s. BadInput where a row
    is none, or there are more than a day's."""
    if len(rows) > MOST_READINGS:
        raise BadInput("more than {most_readings} readings at once", most_readings=MOST_READINGS)
    return tuple(_sent(row) for row in rows)


def _sent(row: Mapping[str, Any]) -> TypedReading:
    texts = {key: row.get(key, "") for key in ("volts", "amps", "bath", "level")}
    ago = row.get("ago_s", 0.0)
    if not all(isinstance(one, str) for one in texts.values()) or not isinstance(ago, int | float):
        raise BadInput("a reading is sent as texts, and as how many seconds ago it was taken")
    return TypedReading(**{key: one[:40] for key, one in texts.items()}, ago=float(ago))


def understood(typed: TypedReading, system: "UnitSystem") -> HandReading:
    """The reading in SI; BadInput, placed at the field, where it cannot be read."""
    from tankside.base.units import Kind, UnitSystem, quantity

    us = system is UnitSystem.US
    return HandReading(
        voltage=quantity(_with_unit(typed.volts, "V"), Kind.VOLTAGE, where="volts"),
        current=quantity(_with_unit(typed.amps, "A"), Kind.CURRENT, where="amps"),
        temperature=quantity(
            _with_unit(typed.bath, "degF" if us else "degC"),
            Kind.TEMPERATURE,
            where="the bath's temperature",
        )
        if typed.bath.strip()
        else None,
        level_drop=quantity(
            _with_unit(typed.level, "in" if us else "mm"), Kind.LENGTH, where="the bath's level"
        )
        if typed.level.strip()
        else None,
        ago=typed.ago,
    )


def _with_unit(text: str, unit: str) -> str:
    """The text, with a unit where it is a bare number."""
    return f"{text.strip()} {unit}" if _BARE.match(text) else text


def done(order: "Order", keeper: "RunKeeper", word: str, now: float) -> None:
    """Does what is wished; BadInput where the run cannot take it now."""
    hand = _hand(order, keeper)
    check_stage(word, hand.state)
    act_of(word).by_hand(hand, _after(hand, now))


def taken_in(
    order: "Order", keeper: "RunKeeper", readings: Sequence[HandReading], now: float
) -> None:
    """Keeps readings in the order in which they were taken. One that is kept already is not kept
    twice; one from before the last thing that happened is noted and not counted."""
    from tankside.app.run_by_hand import refused

    for one in readings:
        refused(one.voltage, one.current)
    hand = _hand(order, keeper)
    waiting = len(readings)
    for one in sorted(readings, key=lambda reading: -reading.ago):
        waiting -= 1
        at = now - one.ago
        if hand.holds(at, one.voltage, one.current):
            continue
        if at < hand.state.at and one.ago > 0.0:
            hand.noted(
                _after(hand, now),
                said(
                    "{voltage} and {current} were read {ago} before they arrived, and are not "
                    "counted: something else happened since.",
                    voltage=Quantity(one.voltage, "V", 6),
                    current=Quantity(one.current, "A", 6),
                    ago=Quantity(one.ago, "min", decimals=0),
                ),
            )
            continue
        hand.read(
            max(at, hand.state.at + 1e-3),
            one.voltage,
            one.current,
            one.temperature,
            one.level_drop,
            told_at=now,
            more=waiting > 0,
        )


def standing(order: "Order", keeper: "RunKeeper", now: float) -> Standing:
    """Where it stands, what flows taken as it was last known."""
    from tankside.runs.conduct import progress_of, unpowered_warning
    from tankside.runs.events import Read

    hand = _hand(order, keeper)
    state, supposed = hand.state, hand.supposed(now)
    last = next((one for one in reversed(hand.events) if isinstance(one, Read)), None)
    shown = last if state.powered else None
    in_setting = hand.in_setting().later(supposed.since(hand.amount()))
    return Standing(
        order=order,
        events=hand.events,
        state=state,
        charge=supposed.charge,
        plated=supposed.plated,
        to_go=progress_of(order.recipe, state, supposed, in_setting).to_go,
        by_hand=True,
        voltage=shown.voltage if shown else None,
        current=shown.current if shown else None,
        expected_voltage=order.expected.voltage_at(shown.current, supposed.charge)
        if shown
        else None,
        reading_due=hand.reading_due(),
        warning="" if state.over else unpowered_warning(state, now),
    )


def chart(order: "Order", keeper: "RunKeeper") -> dict[str, Any]:
    """The readings as samples, from the first on: before it the voltage is not known."""
    from tankside.app.run_by_hand import LONGEST_HAND_GAP_S
    from tankside.runs.events import Read

    hand = _hand(order, keeper)
    series = hand.series()
    found = drawn(series, order.expected, LONGEST_HAND_GAP_S)
    first = next((one.at for one in hand.events if isinstance(one, Read)), None)
    if first is None:
        return {key: [] for key in found}
    since = (first - float(series.time[0])) / 3600 - 2e-6  # the columns are rounded
    begins = sum(hours < since for hours in found["time_h"])
    return {key: column[begins:] for key, column in found.items()}


def _hand(order: "Order", keeper: "RunKeeper") -> "HandRun":
    from tankside.app.run_by_hand import HandRun

    return HandRun(order.recipe, order.expected, keeper, order.temperature)


def _after(hand: "HandRun", now: float) -> float:
    """Now, or a hair after the last event where that lies ahead, as after a hurried run."""
    return max(now, hand.state.at + 1e-3)
