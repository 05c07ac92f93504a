"""The maker of bath sheets behind the port of that name in app; each is imported when asked for."""

from tankside.app.bath_sheet_port import Analysis, Doses, Leaving, Record, Rinses, TankLabel
from tankside.app.ports import SheetRequest
from tankside.bath.makeup import MakeUpPlan


class TypesetBathSheets:
    """See app.bath_sheet_port.BathSheets."""

    def mixing(self, plan: MakeUpPlan, how: SheetRequest) -> bytes:
        """The mixing sheet."""
        from tankside.sheets.bath.mixing_sheet import mixing_sheet

        return mixing_sheet(plan, how)

    def analysis(self, asked: Analysis, how: SheetRequest) -> bytes:
        """The analysis sheet."""
        from tankside.sheets.bath.analysis_sheet import analysis_sheet

        return analysis_sheet(asked, how)

    def label(self, label: TankLabel, how: SheetRequest) -> bytes:
        """The label."""
        from tankside.sheets.bath.label_sheet import label_sheet

        return label_sheet(label, how)

    def record(self, record: Record, how: SheetRequest) -> bytes:
        """The record."""
        from tankside.sheets.bath.record_sheet import record_sheet

        return record_sheet(record, how)

    def dosing(self, doses: Doses, how: SheetRequest) -> bytes:
        """The dosing sheet."""
        from tankside.sheets.bath.dosing_sheet import dosing_sheet

        return dosing_sheet(doses, how)

    def rinsing(self, rinses: Rinses, how: SheetRequest) -> bytes:
        """The rinsing sheet."""
        from tankside.sheets.bath.rinsing_sheet import rinsing_sheet

        return rinsing_sheet(rinses, how)

    def retirement(self, leaving: Leaving, how: SheetRequest) -> bytes:
        """The sheet of a bath's end."""
        from tankside.sheets.bath.retirement_sheet import retirement_sheet

        return retirement_sheet(leaving, how)

    def handover(self, leaving: Leaving, how: SheetRequest) -> bytes:
        """The hand-over."""
        from tankside.sheets.bath.retirement_sheet import handover_sheet

        return handover_sheet(leaving, how)
