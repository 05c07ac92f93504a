"""Sets a sheet: a template, the house look, its words, and pictures, to the bytes of a PDF.

The file carries no clock: the date is text from outside, and the same words give the same bytes.
Tagged for screen readers (PDF/UA-1).
"""

import json
import re
from collections.abc import Mapping
from importlib import resources
from typing import Any, get_args

from tankside.app.ports import Paper, SheetRequest
from tankside.base.errors import BadInput
from tankside.base.wording import both
from tankside.sheets.provenance import made_by
from tankside.sheets.wording import phrase, worded, written_for

PAPERS: tuple[Paper, ...] = get_args(Paper)
SAID = re.compile(r'\bsay\("([^"]+)"\)')
"""Words that stand in a layout; the catalogue gathers them."""
_APOSTROPHE = re.compile(r"(?<=\w)'")


def typeset(
    room: str,
    template: str,
    words: Mapping[str, Any],
    how: SheetRequest,
    pictures: Mapping[str, str] | None = None,
) -> bytes:
    """The PDF of a template by its package and name, such as "tankside.sheets.bath" and "mixing";
    pictures are SVG text by file name."""
    import typst

    if how.paper not in PAPERS:
        raise BadInput(
            "{paper!r} is no paper; there are {papers}",
            paper=how.paper,
            papers=both(PAPERS),
        )
    folder = resources.files(room).joinpath("data")
    house = resources.files("tankside.sheets").joinpath("data/house.typ").read_bytes()
    layout = folder.joinpath(f"{template}.typ").read_bytes()
    with written_for(how.reader):
        told = {**_of_every_sheet(how), **words, "say": _said(layout + house)}
    text = _APOSTROPHE.sub("’", json.dumps(told, ensure_ascii=False))
    files: Any = {
        "main.typ": layout,
        "house.typ": house,
        "data.json": text.encode("utf-8"),
        **{name: picture.encode("utf-8") for name, picture in (pictures or {}).items()},
    }
    made = typst.compile(files, format="pdf", ignore_system_fonts=True, pdf_standards=["ua-1"])
    return bytes(made)


def _of_every_sheet(how: SheetRequest) -> dict[str, str]:
    language, _, region = how.reader.language.partition("_")
    prepared = worded("{program}, prepared {day}", program=made_by(), day=how.prepared)
    return {"paper": how.paper, "made_by": prepared, "language": language, "region": region}


def _said(layout: bytes) -> dict[str, str]:
    """The layout's own words for the reader, by the English."""
    return {words: phrase(words) for words in SAID.findall(layout.decode("utf-8"))}
