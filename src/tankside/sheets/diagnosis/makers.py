"""The maker of the diagnosis' pages and pictures behind the port of that name in app."""

from collections.abc import Mapping

from tankside.app.diagnosis_port import DiagnosisRecord
from tankside.app.ports import SheetRequest
from tankside.base.messages import ENGLISH, Reader
from tankside.diagnosis.atlas import Atlas


class TypesetDiagnosisSheets:
    """See app.diagnosis_port.DiagnosisSheets."""

    def record(self, record: DiagnosisRecord, how: SheetRequest) -> bytes:
        """The record."""
        from tankside.sheets.diagnosis.record_sheet import diagnosis_record

        return diagnosis_record(record, how)

    def picture(self, fault: str, title: str, reader: Reader = ENGLISH) -> bytes:
        """The picture of one fault."""
        from tankside.sheets.faults.picture import fault_picture
        from tankside.sheets.wording import spoken, written_for

        with written_for(reader):
            return fault_picture(fault, title=spoken(title)).encode()

    def pictures(self, atlas: Atlas) -> Mapping[str, bytes]:
        """A picture of every fault, and the sheet of them all."""
        from tankside.sheets.faults.picture import contact_sheet, fault_picture

        faults = atlas.faults.values()
        found = {
            f"{one.id}.svg": fault_picture(one.id, title=f"{one.name}: {one.look}").encode()
            for one in faults
        }
        sheet = contact_sheet([(one.id, one.name) for one in faults])
        return {**found, "all-faults.svg": sheet.encode()}
