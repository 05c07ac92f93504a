"""Sets a bath sheet: a template of this folder, its words, and pictures, to the bytes of a PDF.

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
    template: str, words: Mapping[str, Any], pictures: Mapping[str, str] | None = None
) -> bytes:
    """The PDF of a template by its name, such as "mixing"; pictures are SVG text by file name."""
    import typst

    if words["paper"] not in PAPERS:
        raise BadInput(f"{words['paper']!r} is no paper; there are {' and '.join(PAPERS)}")
    folder = resources.files("tankside.sheets.bath").joinpath("data")
    text = _APOSTROPHE.sub("’", json.dumps(dict(words), ensure_ascii=False))
    files: Any = {
        "main.typ": folder.joinpath(f"{template}.typ").read_bytes(),
        "house.typ": folder.joinpath("house.typ").read_bytes(),
        "data.json": text.encode("utf-8"),
        **{name: picture.encode("utf-8") for name, picture in (pictures or {}).items()},
    }
    made = typst.compile(files, format="pdf", ignore_system_fonts=True, pdf_standards=["ua-1"])
    return bytes(made)
