"""What the bath's use cases need of a maker of sheets: PDFs to print and to write on."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import Protocol

from tankside.app.ports import SheetRequest
from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.bath.analysis.procedure import Procedure
from tankside.bath.copper_removal import Cemented, PlatedOut
from tankside.bath.dosing.dosing import Advice
from tankside.bath.inventory import BathEstimate, Ledger
from tankside.bath.makeup import MakeUpPlan
from tankside.bath.retirement import Holding, Retirement
from tankside.bath.rinsing import DragOut
from tankside.safety.labels import Label


@dataclass(frozen=True, slots=True, kw_only=True)
class Analysis:
    """A titration.

    answer    from a titre [m³] to what is in the bath [kg m⁻³], with the titrant and sample of the
              procedure
    quantity  what is titrated: copper, acid or chloride
    most      titre that the burette holds [m³]
    sources   by their keys
    """

    procedure: Procedure
    answer: Callable[[float], Interval]
    quantity: str
    most: float = inf
    sources: Sequence[str] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TankLabel:
    """A label for a tank or a stock bottle: `contents` are lines such as "75 g/L copper sulfate
    pentahydrate", and `fields` are written in by hand."""

    label: Label
    contents: Sequence[str]
    fields: Sequence[str] = (said("Volume"), said("Density"))
    copies: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A bath's life: estimates in order of time, the last one now, and the windows [SI]."""

    ledger: Ledger
    course: Sequence[BathEstimate]
    windows: Mapping[str, tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Doses:
    """What to add or take out.

    at         the moment that the bath is told for [s since 1970]
    asked      the chance of being inside that is wanted [-]
    tools      what each product is measured with
    scales     those tools' own units
    """

    advice: Advice
    at: float
    asked: float
    tools: Mapping[str, str]
    scales: Mapping[str, str]
    cautions: Sequence[str]
    notes: Sequence[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rinses:
    """What a part carries out and what the rinses do.

    film         how a part drains, in words
    ratio        by how much the last rinse is thinner than the bath [-]
    running      water a part [m³] for one, two, ... stages against the flow of parts
    still        share of the bath that each still rinse is at after so many `parts` [-]
    parts_until  parts that the last still rinse is thin enough for
    returned     share of the drag-out that comes back with the first rinse [-]
    """

    carried: DragOut
    film: str
    ratio: float
    running: Sequence[float]
    still: Sequence[float]
    parts: int
    parts_until: int | None
    returned: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """A bath's end.

    plated, cemented  what taking copper out first takes, where it was asked for
    portions          of the base in the vessel, None where no vessel was said
    told_on           what is told to whoever takes the waste
    """

    bath: Holding
    done: Retirement
    plated: PlatedOut | None
    cemented: Cemented | None
    portions: int | None
    cautions: Sequence[str]
    told_on: Sequence[str]


class BathSheets(Protocol):
    """Makes PDFs in memory; every sheet fits both papers."""

    def mixing(self, plan: MakeUpPlan, how: SheetRequest) -> bytes:
        """The steps of a make-up to tick off, cautions before the step where they matter."""
        ...

    def analysis(self, asked: Analysis, how: SheetRequest) -> bytes:
        """A titration, with a table from the titre to what is in the bath."""
        ...

    def label(self, label: TankLabel, how: SheetRequest) -> bytes:
        """A label, to cut out."""
        ...

    def record(self, record: Record, how: SheetRequest) -> bytes:
        """What is in the bath, how it went, and all that happened."""
        ...

    def dosing(self, doses: Doses, how: SheetRequest) -> bytes:
        """What to add or take out, step by step, with room for what was really done."""
        ...

    def rinsing(self, rinses: Rinses, how: SheetRequest) -> bytes:
        """What a part carries out and what the rinses do."""
        ...

    def retirement(self, leaving: Leaving, how: SheetRequest) -> bytes:
        """What retiring a bath takes, its cautions first."""
        ...

    def handover(self, leaving: Leaving, how: SheetRequest) -> bytes:
        """What goes along with the canisters to whoever takes them."""
        ...
