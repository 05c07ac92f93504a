"""Use case: the printable record of a diagnosis, and the pictures to pick faults by."""

from collections.abc import Mapping

from tankside.app.diagnose import DiagnoseReply
from tankside.app.diagnosis_port import DiagnosisRecord, DiagnosisSheets, PanelPage
from tankside.app.ports import SheetRequest
from tankside.diagnosis.loading import atlas


def record_a_diagnosis(reply: DiagnoseReply, how: SheetRequest, sheets: DiagnosisSheets) -> bytes:
    """The record as a PDF."""
    panel = reply.panel
    page = None
    if panel is not None:
        page = PanelPage(reading=panel.reading, curve=panel.curve, sentences=panel.sentences)
    record = DiagnosisRecord(
        diagnosis=reply.diagnosis,
        proposed=reply.proposed,
        advised=reply.advised,
        atlas=reply.atlas,
        panel=page,
    )
    return sheets.record(record, how)


def pictures_of_faults(sheets: DiagnosisSheets) -> Mapping[str, bytes]:
    """A picture of every fault by its id, and one sheet of them all, by file name."""
    return sheets.pictures(atlas())
