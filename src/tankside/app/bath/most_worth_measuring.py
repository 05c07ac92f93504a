"""Use case: which measurement is worth most, for what is decided about the bath."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.estimate_form import READ_IN, LedgerAsked, Read, read_ledger
from tankside.app.bath.usual_week import WATER, typed_week, water_of, week_of
from tankside.base.errors import Impossible, OutsideValidity
from tankside.bath.analysis.design import planned_sample
from tankside.bath.analysis.instruments import instrument, instruments
from tankside.bath.analysis.titrants import bought, titrant_kind
from tankside.bath.analysis.titration import titration
from tankside.bath.conductivity import conductivity
from tankside.bath.inventory.bath_estimate import QUANTITIES
from tankside.bath.inventory.forecast import forecast
from tankside.bath.inventory.next_measurement import Possible, Worth, most_worth

DECIDES = 0.005
"""Drop of the expected number of wrong decisions from which one hangs on a measurement [-]: our
choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NextRequest:
    """A ledger; with a usual week, the decision in so many weeks counts rather than today's."""

    asked: LedgerAsked
    week: Sequence[str] = ()
    weeks: int = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """A way to measure: its words, what it takes, and how well it does [relative, or SI]."""

    name: str
    words: str
    quantity: str
    minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NextReply:
    """Measurements by worth, best first, each with its words; `open` is False where no decision
    hangs on any of them."""

    ranked: tuple[tuple[Measurement, Worth], ...]
    whose: str
    ahead: bool
    notes: tuple[str, ...]

    @property
    def open(self) -> bool:
        """True where a measurement could change what is done."""
        return any(worth.fewer_errors > DECIDES for _, worth in self.ranked)

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        return {
            "windows_of": self.whose,
            "decision_open": self.open,
            "ranked": [
                {
                    "name": one.name,
                    "words": one.words,
                    "quantity": one.quantity,
                    f"std_{READ_IN[one.quantity]}": worth.measurement.std,
                    "minutes": one.minutes,
                    "fewer_errors": worth.fewer_errors,
                    "per_minute": worth.per_minute,
                    "narrowed": worth.narrowed,
                }
                for one, worth in self.ranked
            ],
            "notes": list(self.notes),
        }


@within_laws
def next_measurement(request: NextRequest) -> NextReply:
    """Which measurement is worth most for the bath of a ledger."""
    read = read_ledger(request.asked)
    ahead = None
    if request.week:
        entries, waters = typed_week(request.week)
        product = water_of((waters or (WATER,))[0], read.held)
        ahead = forecast(
            read.estimate, week_of(entries, product), read.windows, weeks=request.weeks
        )
    ways: list[tuple[Measurement, Possible]] = []
    notes = list(read.notes)
    for way in measurements():
        try:
            ways.append((way, _possible(way, read)))
        except (OutsideValidity, Impossible) as error:
            notes.append(f"To {way.words} is left out: {error.message}.")
    found = most_worth(read.estimate, read.windows, [one for _, one in ways], ahead=ahead)
    by_place = {id(one): way for way, one in ways}
    return NextReply(
        ranked=tuple((by_place[id(worth.measurement)], worth) for worth in found),
        whose=read.whose,
        ahead=ahead is not None,
        notes=tuple(notes),
    )


@cache
def measurements() -> tuple[Measurement, ...]:
    """All ways to measure of data/measurements.toml; their minutes are our guess."""
    return tuple(
        Measurement(
            name=name,
            words=row["words"],
            quantity=row["quantity"],
            minutes=float(row["minutes"]),
        )
        for name, row in _rows().items()
    )


@cache
def _rows() -> dict[str, Any]:
    text = resources.files("tankside.app.bath").joinpath("data/measurements.toml")
    return tomllib.loads(text.read_text("utf-8"))


def _possible(way: Measurement, read: Read) -> Possible:
    """A way to measure with the deviation that it would have in this bath."""
    row = _rows()[way.name]
    if "titration" in row:
        best = max(read.estimate.best(way.quantity), 1.0)
        std = best * _titration_std(row["titration"], best)
    elif "relative_std" in row:
        std = row["relative_std"] * _present(way.quantity, read)
    else:
        std = row["std_SI"]
    return Possible(quantity=way.quantity, std=std, minutes=way.minutes)


def _present(quantity: str, read: Read) -> float:
    """What the bath has of it now [SI]."""
    if quantity in QUANTITIES:
        return max(read.estimate.best(quantity), 1e-3)
    return conductivity(read.estimate.composition, read.estimate.shop.priors.temperature).best


def _titration_std(name: str, expected: float) -> float:
    """Relative deviation of two runs with a 25 mL burette and the pipette that suits."""
    method = titration(name)
    kind = titrant_kind(method.titrant)
    pipettes = [one for one in instruments().values() if one.kind in ("pipette", "syringe")]
    plan = planned_sample(
        method,
        expected=expected,
        titrant=bought(kind.name, kind.usual_strength, 0.01),
        burette=instrument("burette 25 mL class B"),
        pipettes=[one for one in pipettes if "class A" not in one.name],
        flasks=[instrument("flask 100 mL class B")],
    )
    return plan.relative_std
