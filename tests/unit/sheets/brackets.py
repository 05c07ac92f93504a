"""Sheets in a language in which every text of the catalogue stands in brackets, and what is left
outside them. What has no language are names, units and works."""

import io
import re
from collections.abc import Iterator
from html import unescape

import pytest
from pypdf import PdfReader

from tankside.app.ports import SheetRequest
from tankside.app.work.languages import reader_of
from tankside.app.work.preferences import Preferences
from tankside.base.provenance import sources
from tests.unit.web.test_languages import UNIT

NAME = "knob"
CODE = re.compile(r"\b[HP]\d{3}(?:\+P\d{3})*\b")
"""A hazard or precautionary statement's."""

SMALL = re.compile(r"[\d.,]+e-?\d+|(?:kg|m|m3|g)?/(?:day|\S+)|kJ")
"""Numbers with an exponent, and units that a person meets in a record alone."""

WORK = re.compile(r"(?:[\d.,]+ )?(?:Ah|Wh|mW|A/mm²|A/dm²|mL/L|mg/L)(?!\w)")
"""Units of a run's heat and charge."""


@pytest.fixture
def how(bracketed: str) -> SheetRequest:
    """Asks for sheets in a language of brackets."""
    reader = reader_of(Preferences(language=bracketed))
    return SheetRequest(title=NAME, prepared="2026-03-01", reader=reader)


def drawn_texts(picture: str) -> list[str]:
    """Everything that a drawing says, read or spoken."""
    return [unescape(one) for one in re.findall(r">([^<>]+)</(?:text|title|desc)>", picture)]


def texts(tree: object) -> Iterator[str]:
    if isinstance(tree, dict):
        tree = list(tree.values())
    if isinstance(tree, list | tuple):
        for one in tree:
            yield from texts(one)
    elif isinstance(tree, str) and tree:
        yield tree


def bare(pdf: bytes, *names: str) -> Iterator[str]:
    """Texts of a sheet, written or drawn, with letters outside brackets; names have no language."""
    pages = PdfReader(io.BytesIO(pdf)).pages
    rest = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert "⟦" in rest
    works = (re.escape(one.cited().replace("'", "’")) for one in sources().values())
    for cited in sorted(works, key=len, reverse=True):
        rest = re.sub(re.sub(r"\\?[ -]", lambda at: at[0] + " ?", cited), "·", rest)
    yield from outside(rest, names)


def outside(rest: str, names: tuple[str, ...]) -> Iterator[str]:
    before = ""
    while rest != before:
        rest, before = re.sub(r"⟦[^⟦⟧]*⟧", "·", rest), rest
    for name in sorted({NAME, "Tankside", "EUR", *names}, key=len, reverse=True):
        rest = rest.replace(name, "·")
    for one in re.split("[·–]", SMALL.sub("·", CODE.sub("·", rest))):
        left = UNIT.sub("", WORK.sub("", one)).strip(" .,;:()0123456789")
        if re.search(r"[A-Za-z]{2}", left):
            yield left
