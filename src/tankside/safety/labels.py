"""What stands on the label of a tank or a stock bottle, by the globally harmonised system.

Product identifier, signal word, pictograms (ids; their shapes are drawn by the sheets), hazard and
precautionary statements with their text. The statements follow from the classification, the rest
from tables; the selection of precautions is ours, from Annex 3.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from tankside.base.errors import BadInput, MissingData
from tankside.base.messages import said
from tankside.base.tables import table
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.density import density as bath_density
from tankside.safety.classification import Classification, classified
from tankside.substances import Product
from tankside.substances.hazards import statement

MOST_PRECAUTIONS = 10
"""Precautions up to which those of second rank are added [-]: our choice."""

_ROOM = "tankside.safety"
_KINDS = ("prevention", "response", "storage", "disposal")
_WORDS = ("", said("warning"), said("danger"))
_GIVES_WAY = {"P301+P312": "P301+P330+P331", "P261": "P260", "P302+P352": "P303+P361+P353"}
"""A precaution that is left out where the graver one stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """A hazard or precautionary statement: its code and its text."""

    code: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pictogram:
    """A pictogram's id, its name and what its symbol is."""

    id: str
    name: str
    symbol: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """All that a label says; `notes` tells what is not known of the mixture."""

    identifier: str
    signal_word: str
    pictograms: tuple[Pictogram, ...]
    hazards: tuple[Statement, ...]
    precautions: tuple[Statement, ...]
    notes: tuple[str, ...]


def label(identifier: str, contents: Mapping[str, float]) -> Label:
    """The label of a mixture with these mass fractions [-] of its parts, at the most.

    BadInput where the identifier is empty: an unnamed bottle is the hazard.
    """
    if not identifier.strip():
        raise BadInput("a label needs a name for what is in the bottle")
    found = classified(contents)
    codes = found.codes
    return Label(
        identifier=identifier.strip(),
        signal_word=_WORDS[
            max((_WORDS.index(_row(code)["signal_word"]) for code in codes), default=0)
        ],
        pictograms=pictograms_for(codes),
        hazards=tuple(Statement(code=code, text=_text(code)) for code in codes),
        precautions=precautions_for(codes),
        notes=_notes(found),
    )


def bath_contents(bath: Composition, temperature: float) -> dict[str, float]:
    """Mass fractions [-] of a bath's parts at a temperature [K], as labels count them: copper
    sulfate with its crystal water."""
    fractions = mass_fractions(bath, temperature)
    density = bath_density(fractions, temperature)
    return {
        "copper sulfate pentahydrate": bath.copper_sulfate_pentahydrate / density,
        "sulfuric acid": bath.sulfuric_acid / density,
    }


def product_contents(product: Product) -> dict[str, float]:
    """Mass fractions [-] of a product's parts, each at the highest that its label allows."""
    return {content.substance: content.mass_fraction.high for content in product.contents}


def pictograms_for(codes: tuple[str, ...]) -> tuple[Pictogram, ...]:
    """The pictograms that statements call for, without those that a graver one makes needless."""
    rows = [_row(code) for code in codes]
    wanted = {row["pictogram"] for row in rows if row["pictogram"]}
    kept = {
        row["pictogram"] for row in rows if row["pictogram"] and row["unless"] not in wanted - {""}
    }
    return tuple(_pictograms()[name] for name in sorted(kept))


def precautions_for(codes: tuple[str, ...]) -> tuple[Statement, ...]:
    """The precautions that statements call for: all of first rank, then of second while there is
    room, in the order prevention, response, storage, disposal."""
    rules = [row for row in table(_ROOM, "precaution_rules.csv") if row["statement"] in codes]
    chosen: list[str] = []
    for rank in ("1", "2"):
        for row in rules:
            code = row["precaution"]
            room = rank == "1" or len(chosen) < MOST_PRECAUTIONS
            if row["rank"] == rank and code not in chosen and room:
                chosen.append(code)
    chosen = [code for code in chosen if _GIVES_WAY.get(code) not in chosen]
    texts = _precautions()
    ordered = sorted(chosen, key=lambda code: (_KINDS.index(texts[code][0]), code))
    return tuple(Statement(code=code, text=texts[code][1]) for code in ordered)


def _notes(found: Classification) -> tuple[str, ...]:
    notes = [
        said(
            "Classified by this tool from its parts; local rules and the suppliers' sheets decide."
        )
    ]
    if found.unknown:
        notes.append(
            said(
                "Nothing is held on {substances}: read the supplier's sheet and add what it says.",
                substances=tuple(said(name) for name in found.unknown),
            )
        )
    return tuple(notes)


def _text(code: str) -> str:
    own = {row["code"]: row["text"] for row in table(_ROOM, "further_statements.csv")}
    return own[code] if code in own else statement(code)


def _row(code: str) -> dict[str, str]:
    for row in table(_ROOM, "statements.csv"):
        if row["code"] == code:
            return row
    raise MissingData("no signal word and pictogram are held for {code}", code=code)


@cache
def _pictograms() -> dict[str, Pictogram]:
    return {
        row["id"]: Pictogram(id=row["id"], name=row["name"], symbol=row["symbol"])
        for row in table(_ROOM, "pictograms.csv")
    }


@cache
def _precautions() -> dict[str, tuple[str, str]]:
    rows = table(_ROOM, "precautions.csv")
    return {row["code"]: (row["kind"], row["statement"]) for row in rows}
