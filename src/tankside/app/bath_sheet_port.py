"""What the bath's use cases need of a maker of sheets: PDFs to print and to write on."""

from collections.abc import Callable, Mapping, Sequence
from typing import Literal, Protocol

from tankside.base.intervals import Interval
from tankside.base.units import UnitSystem
from tankside.bath.analysis.procedure import Procedure
from tankside.bath.inventory import BathEstimate, Ledger
from tankside.bath.makeup import MakeUpPlan
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
