"""pH of a weak-acid bath from a meter, with the doubts of its buffers, slope and junction.

The meter is taken as a straight line through the two buffers nearest to the reading, whether it
shows pH or volts; beyond them the doubt grows by itself. Refuses worn electrodes, impossible
readings, and strong acid, where a pH says next to nothing about how much acid there is.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from math import isfinite, log

from tankside.base.constants import FARADAY_C_PER_MOL, GAS_CONSTANT_J_PER_MOL_K
from tankside.base.errors import BadInput
from tankside.bath.analysis.finding import Finding, finding
from tankside.bath.analysis.parameters import deviation, number
from tankside.bath.analysis.propagation import Measured, propagated

BUFFER_STD = 0.012
"""One standard deviation of a bought buffer, ±0.02 as printed on sachets [pH]: common practice."""

SLOPE_RANGE = (0.88, 1.05)
"""Share of the theoretical slope that a sound electrode shows [-]: common practice, no source."""

STRONG_ACID_PH = 1.5
"""Below this a pH is no measure of acid [pH]: our choice."""


class Shows(Enum):
    """What the meter shows."""

    PH = "pH"
    POTENTIAL = "volts"


@dataclass(frozen=True, slots=True, kw_only=True)
class BufferReading:
    """A buffer's pH at its temperature, and what the meter showed in it (pH or V)."""

    buffer: float
    shown: float


def ph_by_meter(
    shown: float,
    buffers: Sequence[BufferReading],
    temperature: float,
    *,
    shows: Shows = Shows.PH,
) -> Finding:
    """pH of a bath at `temperature` [K] by a meter and what it shows in two or more buffers."""
    _check(shown, buffers, shows)
    first, second = sorted(buffers, key=lambda one: abs(one.shown - shown))[:2]
    slope = (second.shown - first.shown) / (second.buffer - first.buffer)
    share = slope / _ideal_slope(temperature, shows)
    _refuse_worn(share)
    repeat = number("electrode_repeatability").best
    inputs = {
        "shown": Measured(value=shown, std=repeat * abs(slope)),
        "first buffer": Measured(value=first.buffer, std=BUFFER_STD),
        "second buffer": Measured(value=second.buffer, std=BUFFER_STD),
        "first reading": Measured(value=first.shown, std=repeat * abs(slope)),
        "second reading": Measured(value=second.shown, std=repeat * abs(slope)),
        "junction": Measured(value=0.0, std=deviation("junction_potential")),
    }
    outcome = propagated(_line, inputs)
    if not -1.0 <= outcome.value <= 14.5:
        raise BadInput(
            "a pH of {outcome:.1f} is no bath's; check buffers and reading", outcome=outcome.value
        )
    _refuse_strong(outcome.value)
    return finding(
        "pH",
        outcome,
        method="glass electrode set in two buffers",
        notes=_notes(outcome.value, first, second, share),
        temperature=temperature,
    )


def _line(**read: float) -> float:
    run = read["second reading"] - read["first reading"]
    rise = read["second buffer"] - read["first buffer"]
    along = (read["shown"] - read["first reading"]) / run
    return read["first buffer"] + along * rise + read["junction"]


def _ideal_slope(temperature: float, shows: Shows) -> float:
    if shows is Shows.PH:
        return 1.0
    return -GAS_CONSTANT_J_PER_MOL_K * temperature / FARADAY_C_PER_MOL * log(10.0)


def _check(shown: float, buffers: Sequence[BufferReading], shows: Shows) -> None:
    values = [shown, *(one.shown for one in buffers), *(one.buffer for one in buffers)]
    if not all(map(isfinite, values)):
        raise BadInput("a reading is not a finite number")
    if len({one.buffer for one in buffers}) < 2 or len({one.shown for one in buffers}) < 2:
        raise BadInput("a meter is set in two buffers that differ, such as pH 4 and pH 7")
    if any(not 0.5 <= one.buffer <= 13.0 for one in buffers):
        raise BadInput("buffers lie between pH 0.5 and 13; were buffer and reading swapped?")
    if shows is Shows.PH and not -2.0 <= shown <= 16.0:
        raise BadInput(
            "a meter that shows pH {shown:g} is out of order, or shows millivolts", shown=shown
        )
    if shows is Shows.POTENTIAL and max(abs(one.shown) for one in buffers) > 1.0:
        raise BadInput("electrodes give less than 1 V; were millivolts typed as volts?")


def _refuse_worn(share: float) -> None:
    low, high = SLOPE_RANGE
    if not low <= share <= high:
        raise BadInput(
            "the electrode shows {share:.0f} % of its slope where {low:.0f} to {high:.0f} % is "
            "sound; fresh buffers first, then clean or replace it",
            share=100 * share,
            low=100 * low,
            high=100 * high,
        )


def _refuse_strong(pH: float) -> None:
    if pH < STRONG_ACID_PH:
        raise BadInput(
            "at pH {ph:.1f} an electrode cannot tell how much acid a bath holds: a tenth of pH is "
            "a quarter of the acid; titrate it with sodium hydroxide",
            ph=pH,
        )


def _notes(pH: float, first: BufferReading, second: BufferReading, share: float) -> tuple[str, ...]:
    notes = [
        f"The electrode has {100 * share:.0f} % of its slope; its junction in a strong salt "
        "solution is the largest doubt.",
        "Buffers change with temperature as printed on them: bath and buffers within 5 °C of each "
        "other.",
    ]
    low, high = sorted((first.buffer, second.buffer))
    if not low <= pH <= high:
        notes.append(f"The reading lies outside its buffers, pH {low:g} and {high:g}.")
    return tuple(notes)
