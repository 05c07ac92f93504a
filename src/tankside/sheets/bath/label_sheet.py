"""A label to cut out: for the tank, or for a stock bottle."""

from collections.abc import Sequence

from tankside.base.errors import BadInput
from tankside.safety.labels import Label
from tankside.sheets.bath.pictograms import pictogram
from tankside.sheets.typeset import Paper, typeset

MOST_COPIES = 2
"""Labels that fit on a page."""


def label_sheet(
    label: Label,
    *,
    contents: Sequence[str],
    fields: Sequence[str] = ("Volume", "Density"),
    copies: int = 1,
    paper: Paper = "a4",
) -> bytes:
    """The label as a PDF; `contents` are lines such as "75 g/L copper sulfate pentahydrate", and
    `fields` are written in by hand."""
    if not 1 <= copies <= MOST_COPIES:
        raise BadInput(f"a page takes 1 to {MOST_COPIES} labels, not {copies}")
    words = {
        "paper": paper,
        "heading": label.identifier,
        "contents": list(contents),
        "signal_word": label.signal_word,
        "pictograms": [
            {"file": f"{one.id}.svg", "name": f"{one.name}: {one.symbol}"}
            for one in label.pictograms
        ],
        "hazards": [{"code": one.code, "text": one.text} for one in label.hazards],
        "precautions": [{"code": one.code, "text": one.text} for one in label.precautions],
        "fields": list(fields),
        "notes": list(label.notes),
        "copies": copies,
    }
    pictures = {f"{one.id}.svg": pictogram(one.id) for one in label.pictograms}
    return typeset("tankside.sheets.bath", "label", words, pictures)
