"""The printed sheet, read again: pages, paper, words, order, tags."""

import io
from collections.abc import Callable

import pypdf
import pytest

from tankside.app.ports import SheetRequest
from tankside.part.mesh import TriangleMesh
from tankside.plan.plan import Plan
from tankside.sheets.plan_pdf import plan_pdf

A4, LETTER = (595.28, 841.89), (612.0, 792.0)


@pytest.fixture(scope="module")
def blob(plan: Plan) -> bytes:
    return plan_pdf(plan, SheetRequest(title="lantern finial", prepared="25 November 2026"))


@pytest.fixture(scope="module")
def sheet(blob: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(blob))


@pytest.fixture(scope="module")
def said(sheet: pypdf.PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in sheet.pages).split())


def test_it_has_one_to_four_pages_of_a4(sheet: pypdf.PdfReader) -> None:
    assert 1 <= len(sheet.pages) <= 4
    for page in sheet.pages:
        assert (page.mediabox.width, page.mediabox.height) == pytest.approx(A4, abs=0.01)


def test_letter_paper_is_letter_size(plan: Plan) -> None:
    sheet = pypdf.PdfReader(
        io.BytesIO(plan_pdf(plan, SheetRequest(title="t", prepared="today", paper="us-letter")))
    )
    box = sheet.pages[0].mediabox
    assert (box.width, box.height) == pytest.approx(LETTER, abs=0.01)


def test_cautions_stand_before_every_number_to_set(said: str, plan: Plan) -> None:
    places = [said.index(words) for words in (
        "Before you start", "it will burn to dark powder", "Set the current to",
        "Where the copper goes", "What comes of it", "Sources", "Rig drawing: lantern finial",
    )]  # fmt: skip
    assert places == sorted(places)


def test_it_says_what_to_set_and_what_comes_of_it(said: str) -> None:
    for words in (
        "Plating plan: lantern finial",
        "1.39 A", "5 h 24 min", "7.52 Ah", "1.62 V", "1.4 to 2.0 V at the supply",
        "The deposit sets the current",
        "112 to 125 µm", "Gain on the scale 7.81 g",
        "Anode 1 0.70 A 50 % 0.21 4.49 g", "Wire 1 1.22 A 0.094 A 2.4 11 mV 14 mW 0.60 g",
        "Heater, to hold 12 W 7.0 to 20 W",
        "The deposit’s density is that of bulk copper.",
        "Newman, J. (1966): Resistance for flow of current to a disk.",
        "Charge balance 3·10⁻⁸",
        "Inside the socket the answer is less sure",
        "The usual rules, for this part", "2 A/dm² on 0.499 dm² give 0.997 A",
        "prepared 25 November 2026",
    ):  # fmt: skip
        assert words in said


def test_it_is_tagged_titled_and_in_english(sheet: pypdf.PdfReader) -> None:
    root = sheet.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert sheet.metadata.title == "Plating plan: lantern finial"


def test_it_carries_no_clock_and_comes_out_the_same(
    sheet: pypdf.PdfReader, blob: bytes, plan: Plan
) -> None:
    assert sheet.metadata.creation_date is None
    assert plan_pdf(plan, SheetRequest(title="lantern finial", prepared="25 November 2026")) == blob


def test_words_that_look_like_markup_are_printed_as_they_are(
    invented: Callable[..., Plan], ball: Callable[..., TriangleMesh]
) -> None:
    odd = 'a "quoted" #set <tag> \\ $x$ *b* _c_ @d'
    plan = invented(ball(0.02, (0.0, 0.0, 0.13)), cautions=(odd,))
    text = " ".join(
        pypdf.PdfReader(io.BytesIO(plan_pdf(plan, SheetRequest(title=odd, prepared=odd))))
        .pages[0]
        .extract_text()
        .split()
    )
    assert text.count(odd) == 3


def test_without_cautions_it_says_so(
    invented: Callable[..., Plan], ball: Callable[..., TriangleMesh]
) -> None:
    plan = invented(ball(0.02, (0.0, 0.0, 0.13)), cautions=())
    page = pypdf.PdfReader(io.BytesIO(plan_pdf(plan, SheetRequest(title="t", prepared="p")))).pages[
        0
    ]
    assert "No cautions." in page.extract_text()
