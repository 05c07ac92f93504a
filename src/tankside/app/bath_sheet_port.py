"""What the bath's use cases need of a maker of sheets: PDFs to print and to write on."""

from collections.abc import Callable, Mapping, Sequence
from typing import Literal, Protocol

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

Paper = Literal["a4", "us-letter"]


class BathSheets(Protocol):
    """Makes PDFs in memory; `prepared` is the date as text, and every sheet fits both papers."""

    def mixing(
        self, plan: MakeUpPlan, *, title: str, prepared: str, paper: Paper, units: UnitSystem
    ) -> bytes:
        """The steps of a make-up to tick off, cautions before the step where they matter."""
        ...

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
        """A titration, with a table from the titre [m³] to what is in the bath [kg m⁻³]."""
        ...

    def label(self, label: Label, *, contents: Sequence[str], copies: int, paper: Paper) -> bytes:
        """A label for a tank or a stock bottle, to cut out."""
        ...

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
        """What is in the bath, how it went, and all that happened."""
        ...

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
        """What to add or take out, step by step, for the bath `at` a moment [s since 1970] and an
        `asked` chance of being inside, with room for what was really done."""
        ...

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
        """What a part carries out and what the rinses do; see rinse_a_part for each."""
        ...

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
        """What retiring a bath takes, its cautions first."""
        ...

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
        """What goes along with the canisters to whoever takes them."""
        ...
