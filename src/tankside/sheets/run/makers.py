"""The maker of run records behind the port of that name in app."""

from typing import Any


class TypesetRunSheets:
    """See app.run_ports.RunSheets."""

    def record(self, **words: Any) -> bytes:
        """The record."""
        from tankside.sheets.run.record_sheet import run_record

        return run_record(**words)
