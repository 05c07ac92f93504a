"""The record of a diagnosis as a PDF, read again."""

import io

import pytest
from pypdf import PdfReader

from tankside.app.diagnose import DiagnoseReply, DiagnoseRequest, diagnose
from tankside.app.ports import SheetRequest
from tankside.app.read_a_panel import PanelRequest
from tankside.app.record_a_diagnosis import pictures_of_faults, record_a_diagnosis
from tankside.base.errors import BadInput
from tankside.diagnosis.loading import atlas
from tankside.sheets.diagnosis.makers import TypesetDiagnosisSheets

SHEETS = TypesetDiagnosisSheets()
PANEL = PanelRequest(
    zones="burnt 0-2.2 cm, bright 2.2-5 cm, dull 5-10.1 cm",
    current="2 A",
    earlier=("burnt 0-0.9 cm, bright 0.9-8.5 cm, dull 8.5-10.1 cm",),
)


@pytest.fixture(scope="module")
def reply() -> DiagnoseReply:
    return diagnose(
        DiagnoseRequest(
            seen=("burnt-edges", "dull-low"),
            answers={"tilt": "no"},
            values={"chloride": "20 mg/L"},
            panel=PANEL,
        )
    )


def text_of(pdf: bytes) -> str:
    pages = PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_it_says_what_the_reply_says(reply: DiagnoseReply) -> None:
    page = text_of(
        record_a_diagnosis(reply, SheetRequest(prepared="2026-01-05", title="lantern"), SHEETS)
    )
    assert "What went wrong: lantern" in page
    assert "prepared 2026-01-05" in page
    assert reply.diagnosis.sentence.split(":")[0] in page
    for suspect in reply.diagnosis.suspects:
        assert atlas().causes[suspect.cause].name in page
    for fault in ("burnt-edges", "dull-low"):
        assert atlas().faults[fault].name in page
    assert "chloride 20 (16 to 24) mg/L" in page
    assert "the published formula" in page


def test_cautions_and_the_beaker_come_before_the_tank(reply: DiagnoseReply) -> None:
    page = text_of(record_a_diagnosis(reply, SheetRequest(prepared="2026-01-05"), SHEETS))
    cautions, doing = page.index("Before you do anything"), page.index("What to do, on a beaker")
    assert cautions < doing
    assert "acid always into water" in page[cautions:doing]
    for advice in reply.advised:
        first = page.index(" ".join(advice.first.split())[:40])
        assert first > doing
        if advice.then:
            assert page.index(" ".join(advice.then.split())[:40], doing) > first


def test_what_has_to_wait_is_not_offered(reply: DiagnoseReply) -> None:
    page = text_of(record_a_diagnosis(reply, SheetRequest(prepared="2026-01-05"), SHEETS))
    waiting = [one for one in reply.advised if one.checks_first]
    assert waiting
    for advice in waiting:
        remedy = next(one for one in atlas().remedies if one.id == advice.remedy)
        assert remedy.then not in page


def test_without_panel_and_on_other_paper() -> None:
    reply = diagnose(DiagnoseRequest(seen=("pits",)))
    pdf = record_a_diagnosis(reply, SheetRequest(prepared="2026-01-05", paper="us-letter"), SHEETS)
    box = PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((612.0, 792.0), abs=0.1)
    assert "The test panel" not in text_of(pdf)
    with pytest.raises(BadInput, match="no paper"):
        record_a_diagnosis(reply, SheetRequest(prepared="", paper="a5"), SHEETS)  # type: ignore[arg-type]


def test_the_same_words_give_the_same_bytes(reply: DiagnoseReply) -> None:
    one, two = (
        record_a_diagnosis(reply, SheetRequest(prepared="2026-01-05"), SHEETS) for _ in range(2)
    )
    assert one == two


def test_pictures_by_file_name() -> None:
    files = pictures_of_faults(SHEETS)
    assert set(files) == {*(f"{name}.svg" for name in atlas().faults), "all-faults.svg"}
    assert b"<title>Round pits: small round holes" in files["pits.svg"]
