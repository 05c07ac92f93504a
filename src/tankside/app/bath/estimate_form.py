"""What the ledger's use cases share: the ledger estimated, and its windows."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from tankside.app.bath.ledger_windows import ledger_windows
from tankside.app.bath.tables import one_table, tables_of
from tankside.app.ledger_port import BathLedger
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.bath.inventory import events as ev
from tankside.bath.inventory.bath_estimate import BathEstimate
from tankside.bath.inventory.estimating import estimated
from tankside.bath.inventory.priors import Priors
from tankside.bath.inventory.windows import Windows

UNITS = {"copper": "kg_m3", "sulfuric_acid": "kg_m3", "chloride": "kg_m3", "additive": "kg_m3",
         "volume": "m3"}  # fmt: skip
"""The unit in the name of each quantity of an estimate."""

READ_IN = {**UNITS, "density": "kg_m3", "conductivity": "S_m"}
"""The same for all that is read at the bench."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerAsked:
    """A ledger and what its bath is laid beside.

    family         name of a published family, "" for the bath file's target or the nearest
    bath_text      content of a bath's file with a [target], or ""
    temperature    of the bath, as typed
    """

    ledger: BathLedger
    family: str = ""
    bath_text: bytes | str = ""
    bath_name: str = "bath"
    temperature: str = "25 degC"


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """A ledger read: its events, its estimate, windows, whose they are, what must be known."""

    held: ev.Ledger
    estimate: BathEstimate
    windows: Windows
    whose: str
    notes: tuple[str, ...]
    tables: Mapping[str, Any]


def read_ledger(asked: LedgerAsked, *, at: float | None = None) -> Read:
    """The ledger estimated at its last event, or at a later time `at` [s since 1970-01-01 UTC].

    A torn end is not counted, and said.
    """
    read = asked.ledger.read()
    if not read.ledger:
        raise BadInput(
            "this ledger is empty or not there; begin it with 'tankside bath make BATH.toml --note "
            "LEDGER', or note a take-over"
        )
    temperature = quantity(asked.temperature, Kind.TEMPERATURE, where="--temperature")
    estimate = estimated(read.ledger, Priors(temperature=temperature), at=at)
    tables: Mapping[str, Any] = {}
    if asked.bath_text:
        tables = tables_of(asked.bath_text, where=asked.bath_name)
    windows, whose = ledger_windows(
        one_table(tables, "target", where=asked.bath_name),
        asked.family,
        estimate.composition,
        temperature,
    )
    notes = () if read.torn is None else (f"{read.torn.sentence[0].upper()}"
                                          f"{read.torn.sentence[1:]}.",)  # fmt: skip
    return Read(
        held=read.ledger,
        estimate=estimate,
        windows=windows,
        whose=whose,
        notes=(*notes, *estimate.notes),
        tables=tables,
    )


def window_row(windows: Windows, name: str) -> dict[str, float] | None:
    """A window, or nothing."""
    if name not in windows:
        return None
    low, high = windows[name]
    return {"low": low, "high": high}
