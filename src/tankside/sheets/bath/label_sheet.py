"""A label to cut out: for the tank, or for a stock bottle."""

from typing import Any

from tankside.app.bath_sheet_port import TankLabel
from tankside.app.ports import SheetRequest
from tankside.base.errors import BadInput
from tankside.sheets.bath.pictograms import pictogram
from tankside.sheets.typeset import typeset
from tankside.sheets.wording import for_its_reader, spoken

MOST_COPIES = 2
"""Labels that fit on a page."""


def label_sheet(label: TankLabel, how: SheetRequest) -> bytes:
    """The label as a PDF."""
    if not 1 <= label.copies <= MOST_COPIES:
        raise BadInput(
            "a page takes 1 to {most_copies} labels, not {copies}",
            most_copies=MOST_COPIES,
            copies=label.copies,
        )
    pictures = {f"{one.id}.svg": pictogram(one.id) for one in label.label.pictograms}
    return typeset("tankside.sheets.bath", "label", label_words(label, how), how, pictures)


@for_its_reader
def label_words(label: TankLabel, how: SheetRequest) -> dict[str, Any]:
    """Every word of the label, by its place in the layout."""
    said = label.label
    return {
        "heading": spoken(said.identifier),
        "contents": [spoken(one) for one in label.contents],
        "signal_word": spoken(said.signal_word),
        "pictograms": [
            {"file": f"{one.id}.svg", "name": f"{spoken(one.name)}: {spoken(one.symbol)}"}
            for one in said.pictograms
        ],
        "hazards": [{"code": one.code, "text": spoken(one.text)} for one in said.hazards],
        "precautions": [{"code": one.code, "text": spoken(one.text)} for one in said.precautions],
        "fields": [spoken(one) for one in label.fields],
        "notes": [spoken(one) for one in said.notes],
        "copies": label.copies,
    }
