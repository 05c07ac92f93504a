"""What the store keeps, as frozen values: nothing of any database reaches the use cases.

Most things have a name and change by revisions (`Kept`). What a plan or a run stood on is named by
`Reference`: the thing's id and its revision then, so that it can be read again as it was. Texts of
the open contract (a job file, a supply's declaration) are kept as they were typed; what a program
made (a plan's reply, an audit's findings) as a JSON `Document` with the unit in every key's name.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import isfinite
from typing import Any, Generic, TypeVar

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import said

T = TypeVar("T")


class Kind(StrEnum):
    """What a thing in the store is; names are unique within a kind."""

    PRODUCT = "product"
    BATH = "bath"
    PART = "part"
    TANK = "tank"
    SUPPLY = "supply"
    JOB = "job"
    PLAN = "plan"
    RUN = "run"
    AUDIT = "audit"
    SHOP = "shop"
    PHOTO = "photo"


KIND_WORDS: Mapping[Kind, str] = {
    Kind.PRODUCT: said("product"),
    Kind.BATH: said("bath"),
    Kind.PART: said("part"),
    Kind.TANK: said("tank"),
    Kind.SUPPLY: said("supply"),
    Kind.JOB: said("job"),
    Kind.PLAN: said("plan"),
    Kind.RUN: said("run"),
    Kind.AUDIT: said("audit"),
    Kind.SHOP: said("shop"),
    Kind.PHOTO: said("photo"),
}
"""A kind in sentences, so that a reader's language can tell it."""

FIXED = frozenset({Kind.PLAN, Kind.RUN, Kind.AUDIT, Kind.PHOTO})
"""Kinds whose content never changes once it is kept; they can be renamed and archived."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept(Generic[T]):
    """A thing as the store holds it at one revision.

    id         for ever the same
    version    of the revision, from 1
    archived   put away: left out of lists, and still read by what refers to it
    created    first revision [s since 1970, UTC];  changed   this one [s since 1970, UTC]
    """

    id: str
    name: str
    version: int
    archived: bool
    created: float
    changed: float
    value: T

    @property
    def reference(self) -> "Reference":
        """Names this revision for good."""
        return Reference(id=self.id, version=self.version)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reference:
    """One revision of a thing."""

    id: str
    version: int


@dataclass(frozen=True, slots=True)
class Document:
    """A JSON object as text, in one fixed writing, so that equal documents are equal texts."""

    text: str = "{}"

    def __post_init__(self) -> None:
        try:
            found = json.loads(self.text)
            text = json.dumps(found, ensure_ascii=False, allow_nan=False)
        except (ValueError, RecursionError) as error:
            raise BadInput(
                "a document is JSON with finite numbers, not too deeply nested"
            ) from error
        if not isinstance(found, dict):
            raise BadInput("a document is a JSON object in braces")
        object.__setattr__(self, "text", text)

    @classmethod
    def of(cls, entries: Mapping[str, Any]) -> "Document":
        """From plain values; BadInput where one is not JSON."""
        try:
            return cls(json.dumps(dict(entries), ensure_ascii=False, allow_nan=False))
        except (TypeError, ValueError, RecursionError) as error:
            raise BadInput(
                "a document holds plain values and finite numbers: {error}", error=error
            ) from error

    def entries(self) -> dict[str, Any]:
        """A fresh copy of its entries."""
        found: dict[str, Any] = json.loads(self.text)
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class File:
    """A file by its content.

    name     as the person calls it, such as "finial.stl"
    mime     its type, such as "model/stl"
    sha256   of its content, in hexadecimal
    size     in bytes
    path     where it lies outside, if the store holds only its hash; "" where it holds the content
    """

    name: str
    mime: str
    sha256: str
    size: int
    path: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BathRecord:
    """A bath: its family as the job file names it, the id of its tank or "", and remarks. What
    happened to it stands in its ledger."""

    family: str
    tank: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeedReading:
    """A seed coat's sheet resistance [ohm per square] read at a place, `at` [s since 1970]."""

    at: float
    place: str
    sheet_resistance: Interval
    method: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRecord:
    """A part's file, the unit of the file's numbers ("" where it is not known), and what was
    measured of its seed coat."""

    file: File
    unit: str = ""
    seeds: tuple[SeedReading, ...] = ()
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TankRecord:
    """A tank as the [tank] table of the job file, in TOML."""

    table: str
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyRecord:
    """A supply.

    declaration     its driver's text, "" for one that is turned by hand
    current_limit   never to be passed [A];  voltage_limit   never to be passed [V]
    address         where it is reached, "" for by hand
    """

    current_limit: float
    voltage_limit: float
    declaration: str = ""
    address: str = ""

    def __post_init__(self) -> None:
        for name in ("current_limit", "voltage_limit"):
            value = getattr(self, name)
            if not (isfinite(value) and value > 0.0):
                words = name.replace("_", " ")
                raise BadInput(
                    "a supply's {words} must be above zero, not {value!r}", words=words, value=value
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRecord:
    """A job file's text: the rig with tank, anodes, part, contacts, supply and goal; and the ids of
    the stored things that it was made from, "" or none where it stands by itself."""

    text: str
    parts: tuple[str, ...] = ()
    bath: str = ""
    tank: str = ""
    supply: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRecord:
    """A plan with all that it stood on.

    job_text   the job file as it was planned
    used       revisions of everything stored that went in: job, products, bath, part, shop
    inputs     every other input (a bath's estimate, the shop's factors), with units in the keys
    reply      the plan as the open contract's JSON object
    made_by    program and version
    files      its sheet and maps
    """

    job_text: str
    reply: Document
    made_by: str
    used: tuple[Reference, ...] = ()
    inputs: Document = Document()
    files: tuple[File, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRecord:
    """A run's order (recipe, what the plan expects, words for a person), and the id of its plan or
    "". Events and samples are added to it as they come."""

    order: Document
    plan: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditRecord:
    """What was measured after a run (its id, or "") and what was found from it, with units in the
    keys, and program and version that found it."""

    measured: Document
    found: Document
    made_by: str
    run: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoRecord:
    """A picture, the ids of the things that it shows, when it was taken [s since 1970] if known,
    and words."""

    file: File
    of: tuple[str, ...] = ()
    taken: float | None = None
    words: str = ""


def checked_currency(code: str) -> str:
    """The code; BadInput where it has not the form of ISO 4217."""
    if not (len(code) == 3 and code.isascii() and code.isalpha() and code.isupper()):
        raise BadInput("a currency is three capital letters such as EUR, not {code!r}", code=code)
    return code


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """An entry of the costs, only ever added; a mistake is set right by another one.

    at         [s since 1970, UTC]
    what       what it was for, such as "copper", "energy", "time"
    amount     in `currency`, exact; negative takes back
    currency   three letters of ISO 4217
    of         the id of the run, part or other thing that it belongs to, or ""
    """

    id: str
    at: float
    what: str
    amount: Decimal
    currency: str
    of: str = ""
    words: str = ""

    def __post_init__(self) -> None:
        checked_currency(self.currency)
        if not self.amount.is_finite():
            raise BadInput("a cost needs an amount, not {amount}", amount=self.amount)
        if not isfinite(self.at) or not self.id or not self.what:
            raise BadInput("a cost needs an id, a moment, and what it was for")
