"""Every word of a sheet is in its reader's language; what has none are names, units and works."""

import io
import re
from collections.abc import Iterator

import pytest
from pypdf import PdfReader

from tankside.app.bath_sheet_port import TankLabel
from tankside.app.ports import SheetRequest
from tankside.app.work.languages import reader_of
from tankside.app.work.preferences import Preferences
from tankside.base.messages import Quantity, said
from tankside.base.provenance import sources
from tankside.bath.composition import Composition
from tankside.bath.makeup import made_up
from tankside.plan.plan import Plan
from tankside.safety.labels import bath_contents, label
from tankside.sheets.bath.makers import TypesetBathSheets
from tankside.sheets.picture_histogram import histogram_picture
from tankside.sheets.picture_part import part_picture
from tankside.sheets.plan_pdf import sheet_words
from tankside.sheets.wording import written_for
from tests.unit.bath.makeup.shelf import request as shelf_request
from tests.unit.web.test_languages import UNIT, bracketed

__all__ = ["bracketed"]
BATHS = TypesetBathSheets()
NAME = "knob"
CODE = re.compile(r"\b[HP]\d{3}(?:\+P\d{3})*\b")
"""A hazard or precautionary statement's."""

WORK = re.compile(r"(?:[\d.,]+ )?(?:Ah|Wh|mW|A/mm²)(?!\w)")
"""Units of a run's heat and charge."""


@pytest.fixture
def how(bracketed: str) -> SheetRequest:
    """Asks for sheets in a language of brackets."""
    reader = reader_of(Preferences(language=bracketed))
    return SheetRequest(title=NAME, prepared="2026-03-01", reader=reader)


def test_a_mixing_sheet_is_in_the_reader_s_language(how: SheetRequest) -> None:
    plan = made_up(shelf_request())
    tools = [one.reading.tool for one in plan.amounts if one.reading is not None]
    names = [*(one.product for one in plan.amounts), *tools]
    assert list(bare(BATHS.mixing(plan, how), *names)) == []


def test_a_label_is_in_the_reader_s_language(how: SheetRequest) -> None:
    bath = Composition(copper_sulfate_pentahydrate=75, sulfuric_acid=190, chloride=0.07)
    made = label("long tank", bath_contents(bath, 298.15))
    contents = [said("{part}: up to {share}", part=said("copper"), share=Quantity(0.07, "percent"))]
    pdf = BATHS.label(TankLabel(label=made, contents=contents), how)
    assert list(bare(pdf, "long tank")) == []


def test_what_a_plan_s_sheet_says_is_in_the_reader_s_language(
    plan: Plan, how: SheetRequest
) -> None:
    invented = (*plan.cautions, *plan.assumptions, *plan.warnings, plan.limited_by)
    words = sheet_words(plan, how)
    left = {key: value for key, value in words.items() if key not in ("sources", "rig_alt")}
    texts = [text for text in _texts(left) if text not in invented]
    assert len(texts) > 60
    assert [text for text in texts if list(_outside(text, ()))] == []


def test_a_plan_s_pictures_are_in_the_reader_s_language(plan: Plan, how: SheetRequest) -> None:
    with written_for(how.reader):
        pictures = (part_picture(plan), histogram_picture(plan))
    for picture in pictures:
        texts = re.findall(r">([^<>]+)</(?:text|title)>", picture)
        assert len(texts) > 5
        assert [text for text in texts if list(_outside(text, ()))] == []


def _texts(tree: object) -> Iterator[str]:
    if isinstance(tree, dict):
        tree = list(tree.values())
    if isinstance(tree, list | tuple):
        for one in tree:
            yield from _texts(one)
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
    yield from _outside(rest, names)


def _outside(rest: str, names: tuple[str, ...]) -> Iterator[str]:
    before = ""
    while rest != before:
        rest, before = re.sub(r"⟦[^⟦⟧]*⟧", "·", rest), rest
    for name in sorted({NAME, *names}, key=len, reverse=True):
        rest = rest.replace(name, "·")
    for one in re.split("[·–]", CODE.sub("·", rest)):
        left = UNIT.sub("", WORK.sub("", one)).strip(" .,;:()0123456789")
        if re.search(r"[A-Za-z]{2}", left):
            yield left
