"""The maker of bath sheets behind the port of that name in app; each is imported when asked for."""

from collections.abc import Callable, Mapping, Sequence

from tankside.app.bath_sheet_port import Paper
from tankside.base.intervals import Interval
from tankside.base.units import UnitSystem
from tankside.bath.analysis.procedure import Procedure
from tankside.bath.inventory import BathEstimate, Ledger
from tankside.bath.makeup import MakeUpPlan
from tankside.safety.labels import Label


class TypesetBathSheets:
    """See app.bath_sheet_port.BathSheets."""

    def mixing(
        self, plan: MakeUpPlan, *, title: str, prepared: str, paper: Paper, units: UnitSystem
    ) -> bytes:
        """The mixing sheet."""
        from tankside.sheets.bath.mixing_sheet import mixing_sheet

        return mixing_sheet(plan, title=title, prepared=prepared, paper=paper, units=units)

    def analysis(
        self,
        procedure: Procedure,
        answer: Callable[[float], Interval],
        *,
        quantity: str,
        prepared: str,
        most: float,
        sources: Sequence[str],
        paper: Paper,
        units: UnitSystem,
    ) -> bytes:
        """The analysis sheet."""
        from tankside.sheets.bath.analysis_sheet import analysis_sheet

        return analysis_sheet(
            procedure,
            answer,
            quantity=quantity,
            prepared=prepared,
            most=most,
            sources=sources,
            paper=paper,
            units=units,
        )

    def label(self, label: Label, *, contents: Sequence[str], copies: int, paper: Paper) -> bytes:
        """The label."""
        from tankside.sheets.bath.label_sheet import label_sheet

        return label_sheet(label, contents=contents, copies=copies, paper=paper)

    def record(
        self,
        ledger: Ledger,
        course: Sequence[BathEstimate],
        windows: Mapping[str, tuple[float, float]],
        *,
        title: str,
        prepared: str,
        paper: Paper,
        units: UnitSystem,
    ) -> bytes:
        """The record."""
        from tankside.sheets.bath.record_sheet import record_sheet

        return record_sheet(
            ledger, course, windows, title=title, prepared=prepared, paper=paper, units=units
        )
