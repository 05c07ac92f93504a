"""The GHS hazard statements of a substance at the strength at which it is met.

Rows of data/hazards.csv say from which mass fraction in water which statements are due. Where no
row reaches so low, or the substance has none, the answer is empty: no classification is held, which
is not a promise that it is harmless.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from math import isfinite

from tankside.base.errors import BadInput
from tankside.base.tables import Provenance, provenance, table
from tankside.substances.products import Product
from tankside.substances.records import substance

_ROOM = "tankside.substances"
_WORDS = ("", "warning", "danger")
_COVERED = {
    "H319": {"H314", "H318"},
    "H318": {"H314"},
    "H315": {"H314"},
    "H302": {"H300", "H301"},
    "H301": {"H300"},
    "H332": {"H330", "H331"},
    "H331": {"H330"},
    "H400": {"H410"},
    "H411": {"H410"},
    "H373": {"H372"},
    "H272": {"H271"},
}
"""A statement is left out where a graver one of the same kind stands (GHS 1.4.10.5.3)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazards:
    """Signal word ("danger", "warning" or none), GHS statements, and where they come from."""

    signal_word: str
    codes: tuple[str, ...]
    sentences: tuple[str, ...]
    provenances: tuple[Provenance, ...] = ()


def hazards(name: str, mass_fraction: float = 1.0) -> Hazards:
    """GHS signal word and statements of a substance at a mass fraction in water from 0 to 1."""
    if not (isfinite(mass_fraction) and 0.0 <= mass_fraction <= 1.0):
        raise BadInput(
            "a mass fraction lies between 0 and 1, not {mass_fraction}", mass_fraction=mass_fraction
        )
    row = _row(substance(name).name, mass_fraction)
    return _joined(() if row is None else (row,))


def product_hazards(product: Product) -> Hazards:
    """Signal word and statements of a product: those of each content at its highest strength.

    Contents are judged one by one; mixtures of two hazards below their limits are not added up.
    """
    rows = (_row(content.substance, content.mass_fraction.high) for content in product.contents)
    return _joined(row for row in rows if row is not None)


def statement(code: str) -> str:
    """The sentence of a hazard statement's code; BadInput where the tables do not hold it."""
    if code not in _statements():
        raise BadInput("no hazard statement {code!r} is held", code=code)
    return _statements()[code]


def _row(name: str, mass_fraction: float) -> dict[str, str] | None:
    held = [
        row
        for row in table(_ROOM, "hazards.csv")
        if row["substance"] == name and float(row["from_mass_fraction"]) <= mass_fraction
    ]
    return max(held, key=lambda row: float(row["from_mass_fraction"])) if held else None


def _joined(rows: Iterable[dict[str, str]]) -> Hazards:
    held = tuple(rows)
    named = {code for row in held for code in row["statements"].split(";")}
    codes = tuple(sorted(code for code in named if not named & _COVERED.get(code, set())))
    word = max((_WORDS.index(row["signal_word"]) for row in held), default=0)
    return Hazards(
        signal_word=_WORDS[word],
        codes=codes,
        sentences=tuple(statement(code) for code in codes),
        provenances=tuple(provenance(row, where="hazards.csv") for row in held),
    )


@cache
def _statements() -> dict[str, str]:
    return {row["code"]: row["statement"] for row in table(_ROOM, "statements.csv")}
