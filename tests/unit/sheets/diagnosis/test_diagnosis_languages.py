"""A diagnosis' record and pictures are in their reader's language, units and numbers."""

import re
from dataclasses import replace

import pytest

from tankside.app.diagnose import DiagnoseReply, DiagnoseRequest, diagnose
from tankside.app.diagnosis_port import DiagnosisRecord
from tankside.app.ports import SheetRequest
from tankside.base.intervals import Interval
from tankside.base.messages import Reader
from tankside.base.units import UnitSystem
from tankside.diagnosis.known_numbers import RunNumbers
from tankside.diagnosis.loading import atlas
from tankside.sheets.diagnosis.makers import TypesetDiagnosisSheets
from tankside.sheets.diagnosis.record_sheet import diagnosis_record, record_words
from tankside.sheets.faults.picture import contact_sheet, fault_picture
from tankside.sheets.wording import written_for
from tests.unit.sheets.brackets import bare, drawn_texts, how, outside, texts
from tests.unit.sheets.diagnosis.test_record import PANEL
from tests.unit.web.test_languages import bracketed

__all__ = ["bracketed", "how"]
METRIC = re.compile(r"\d\s?(?:µm|mm|cm|g/L|°C|A/dm²)(?![\w/²])")
COMMAND = re.compile(r"'tankside [^']*'")
READINGS = ("A", "V")
"""What stands on a supply's display."""


@pytest.fixture(scope="module")
def reply() -> DiagnoseReply:
    return diagnose(
        DiagnoseRequest(
            seen=("burnt-edges", "dull-low"),
            answers={"tilt": "no", "pits": "slight"},
            values={"chloride": "20 mg/L", "temperature": "33.5 °C"},
            run=RunNumbers(run_thickness=Interval(0.9e-4, 1.2e-4, 1.4e-4)),
            panel=PANEL,
        )
    )


def record_of(reply: DiagnoseReply) -> DiagnosisRecord:
    return DiagnosisRecord(
        diagnosis=reply.diagnosis,
        proposed=reply.proposed,
        advised=reply.advised,
        atlas=reply.atlas,
        panel=reply.panel,
    )


def words_of(reply: DiagnoseReply, how: SheetRequest) -> list[str]:
    words = record_words(record_of(reply), how)
    files = {one["file"] for one in words["seen"]}
    return [COMMAND.sub("", one) for one in texts(words) if one not in files]


def test_every_word_is_in_the_reader_s_language(reply: DiagnoseReply, how: SheetRequest) -> None:
    found = words_of(reply, how)
    assert len(found) > 60
    assert [one for one in found if list(outside(one, ()))] == []


def test_the_pages_and_their_pictures_are_too(reply: DiagnoseReply, how: SheetRequest) -> None:
    pdf = diagnosis_record(record_of(reply), how)
    assert [one for one in bare(pdf) if "bath dose" not in one] == []


def test_every_picture_of_a_fault_is_in_the_reader_s_language(how: SheetRequest) -> None:
    with written_for(how.reader):
        pictures = [fault_picture(name, title="-") for name in atlas().faults]
    found = [text for picture in pictures for text in drawn_texts(picture)]
    assert sum("⟦" in one for one in found) > 20
    assert [one for one in found if list(outside(one, ()))] == []
    picture = TypesetDiagnosisSheets().picture("pits", atlas().faults["pits"].look, how.reader)
    assert [one for one in drawn_texts(picture.decode()) if list(outside(one, ()))] == []


def test_the_sheet_of_all_faults_is_too(how: SheetRequest) -> None:
    with written_for(how.reader):
        found = drawn_texts(contact_sheet([("pits", "")]))
    assert [one for one in found if one != "pits" and list(outside(one, ()))] == []


def test_numbers_and_units_are_the_reader_s(reply: DiagnoseReply, how: SheetRequest) -> None:
    readers = (Reader(), Reader(comma=True), Reader(units=UnitSystem.US))
    plain, comma, us = (
        " | ".join(words_of(reply, replace(how, reader=reader))) for reader in readers
    )
    assert len(re.findall(r"\d\.\d", plain)) > 10
    assert re.findall(r"\d\.\d", comma) == []
    assert len(METRIC.findall(plain)) > 5
    assert METRIC.findall(us) == []
    assert "chloride 20 (16 to 24) mg/L" in plain
    assert "mean thickness by charge 4.72 (3.54 to 5.51) mil" in us
