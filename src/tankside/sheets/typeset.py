"""Sets a sheet: a template, the house look, its words, and pictures, to the bytes of a PDF.

The file carries no clock: the date is text from outside, and the same words give the same bytes.
Tagged for screen readers (PDF/UA-1).
"""

import json
import re
from collections.abc import Mapping
from importlib import resources
from typing import Any, Literal

from tankside.base.errors import BadInput

Paper = Literal["a4", "us-letter"]
PAPERS: tuple[Paper, ...] = ("a4", "us-letter")
_APOSTROPHE = re.compile(r"(?<=\w)'")


def typeset(
    room: str, template: str, words: Mapping[str, Any], pictures: Mapping[str, str] | None = None
) -> bytes:
    """The PDF of a template by its package and name, such as "tankside.sheets.bath" and "mixing";
    pictures are SVG text by file name."""
    import typst

    if words["paper"] not in PAPERS:
        raise BadInput(f"{words['paper']!r} is no paper; there are {' and '.join(PAPERS)}")
    folder = resources.files(room).joinpath("data")
    house = resources.files("tankside.sheets").joinpath("data/house.typ")
    text = _APOSTROPHE.sub("’", json.dumps(dict(words), ensure_ascii=False))
    files: Any = {
        "main.typ": folder.joinpath(f"{template}.typ").read_bytes(),
        "house.typ": house.read_bytes(),
        "data.json": text.encode("utf-8"),
        **{name: picture.encode("utf-8") for name, picture in (pictures or {}).items()},
    }
    made = typst.compile(files, format="pdf", ignore_system_fonts=True, pdf_standards=["ua-1"])
    return bytes(made)
