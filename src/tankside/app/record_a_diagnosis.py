"""Use case: the printable record of a diagnosis, and the pictures to pick faults by."""

from collections.abc import Mapping
from typing import Literal

from tankside.app.diagnose import DiagnoseReply
from tankside.app.diagnosis_port import DiagnosisSheets, PanelPage
from tankside.diagnosis.loading import atlas


def record_a_diagnosis(
    reply: DiagnoseReply,
    sheets: DiagnosisSheets,
    *,
    prepared: str,
    title: str = "",
    paper: Literal["a4", "us-letter"] = "a4",
) -> bytes:
    """The record as a PDF; `prepared` is the date as text."""
    panel = reply.panel
    page = None
    if panel is not None:
        page = PanelPage(reading=panel.reading, curve=panel.curve, sentences=panel.sentences)
    return sheets.record(
        reply.diagnosis,
        reply.proposed,
        reply.advised,
        reply.atlas,
        panel=page,
        title=title,
        prepared=prepared,
        paper=paper,
    )


def pictures_of_faults(sheets: DiagnosisSheets) -> Mapping[str, bytes]:
    """A picture of every fault by its id, and one sheet of them all, by file name."""
    return sheets.pictures(atlas())
