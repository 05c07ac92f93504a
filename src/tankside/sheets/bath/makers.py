"""The maker of bath sheets behind the port of that name in app; each is imported when asked for."""

from collections.abc import Callable, Mapping, Sequence

from tankside.app.bath_sheet_port import Paper
from tankside.base.intervals import Interval
from tankside.base.units import UnitSystem
from tankside.bath.analysis.procedure import Procedure
from tankside.bath.copper_removal import Cemented, PlatedOut
from tankside.bath.dosing.dosing import Advice
from tankside.bath.inventory import BathEstimate, Ledger
from tankside.bath.makeup import MakeUpPlan
from tankside.bath.retirement import Holding, Retirement
from tankside.bath.rinsing import DragOut
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

    def dosing(
        self,
        advice: Advice,
        *,
        title: str,
        at: float,
        asked: float,
        tools: Mapping[str, str],
        scales: Mapping[str, str],
        cautions: Sequence[str],
        notes: Sequence[str],
        prepared: str,
        paper: Paper,
        units: UnitSystem,
    ) -> bytes:
        """The dosing sheet."""
        from tankside.sheets.bath.dosing_sheet import dosing_sheet

        return dosing_sheet(
            advice,
            title=title,
            at=at,
            asked=asked,
            tools=tools,
            scales=scales,
            cautions=cautions,
            notes=notes,
            prepared=prepared,
            paper=paper,
            units=units,
        )

    def rinsing(
        self,
        carried: DragOut,
        *,
        title: str,
        film: str,
        ratio: float,
        running: Sequence[float],
        still: Sequence[float],
        parts: int,
        parts_until: int | None,
        returned: float | None,
        prepared: str,
        paper: Paper,
        units: UnitSystem,
    ) -> bytes:
        """The rinsing sheet."""
        from tankside.sheets.bath.rinsing_sheet import rinsing_sheet

        return rinsing_sheet(
            carried,
            title=title,
            film=film,
            ratio=ratio,
            running=running,
            still=still,
            parts=parts,
            parts_until=parts_until,
            returned=returned,
            prepared=prepared,
            paper=paper,
            units=units,
        )

    def retirement(
        self,
        bath: Holding,
        done: Retirement,
        *,
        title: str,
        plated: PlatedOut | None,
        cemented: Cemented | None,
        portions: int | None,
        cautions: Sequence[str],
        told_on: Sequence[str],
        prepared: str,
        paper: Paper,
        units: UnitSystem,
    ) -> bytes:
        """The sheet of a bath's end."""
        from tankside.sheets.bath.retirement_sheet import retirement_sheet

        return retirement_sheet(
            bath,
            done,
            title=title,
            plated=plated,
            cemented=cemented,
            portions=portions,
            cautions=cautions,
            told_on=told_on,
            prepared=prepared,
            paper=paper,
            units=units,
        )

    def handover(
        self,
        bath: Holding,
        *,
        title: str,
        told_on: Sequence[str],
        prepared: str,
        paper: Paper,
        units: UnitSystem,
    ) -> bytes:
        """The hand-over."""
        from tankside.sheets.bath.retirement_sheet import handover_sheet

        return handover_sheet(
            bath, title=title, told_on=told_on, prepared=prepared, paper=paper, units=units
        )
