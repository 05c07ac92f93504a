"""The maker of run records behind the port of that name in app."""

from tankside.app.ports import SheetRequest
from tankside.app.run_ports import RunRecord


class TypesetRunSheets:
    """See app.run_ports.RunSheets."""

    def record(self, record: RunRecord, how: SheetRequest) -> bytes:
        """The record."""
        from tankside.sheets.run.record_sheet import run_record

        return run_record(record, how)
