"""What the use cases need from outside: files to read, and sheets to make. Adapters fit in here."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, Protocol

from tankside.base.messages import ENGLISH, Reader
from tankside.base.progress import Progress
from tankside.base.units import UnitSystem
from tankside.cell.bodies import Cell
from tankside.part.mesh import TriangleMesh

if TYPE_CHECKING:
    from tankside.app.bath_sheet_port import BathSheets
    from tankside.app.diagnosis_port import DiagnosisSheets
    from tankside.app.ledger_port import BathLedger
    from tankside.app.run_ports import RunSheets, RunTools
    from tankside.app.serving import ServeOptions
    from tankside.app.store_ports import Store
    from tankside.plan.plan import Plan  # wakes numba


Paper = Literal["a4", "us-letter"]


class Files(Protocol):
    """Where the person's files are."""

    def read(self, name: str, *, where: str) -> bytes:
        """The content of a file; BadInput, placed at `where`, when it cannot be read."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRequest:
    """What every sheet has beside what stands on it: the name of the part, bath or run; the date as
    text; the paper; and who reads it."""

    title: str = ""
    prepared: str
    paper: Paper = "a4"
    reader: Reader = ENGLISH


class Sheets(Protocol):
    """Makes files of a plan, all in memory."""

    def reply(self, plan: "Plan", seconds: float) -> dict[str, Any]:
        """The plan as the stable JSON object of the open contract."""
        ...

    def summary(self, plan: "Plan", units: UnitSystem = UnitSystem.METRIC) -> str:
        """The plan as text for a terminal, in the reader's units."""
        ...

    def view_of_plan(self, plan: "Plan") -> bytes:
        """The bodies with what lies on them, packed for a view on a screen."""
        ...

    def view_of_part(self, mesh: TriangleMesh) -> bytes:
        """A mesh alone, packed the same way."""
        ...

    def files(self, plan: "Plan", request: SheetRequest) -> Mapping[str, bytes]:
        """Map, panels, sheet and the rig's drawing by file name."""
        ...

    def rig(self, cell: Cell, request: SheetRequest, name: str = ...) -> Mapping[str, bytes]:
        """The drawing of a rig, with lengths, by file name: NAME.svg, and more where its tables are
        long."""
        ...

    def rig_reply(self, cell: Cell) -> dict[str, Any]:
        """How everything hangs as plain values, the unit in each key."""
        ...


class Done(Protocol):
    """Results of a sweep from before, by the key of their case; new ones are added."""

    def known(self, key: str) -> Any | None:
        """The value of a case that is done, else None."""
        ...

    def keep(self, key: str, value: Any) -> None:
        """Adds a result; it is safe when this returns."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class SweepResult:
    """What came of one case: its number from 0, its key, its value or its error in one sentence,
    and whether it was known from before."""

    number: int
    key: str
    value: Any = None
    error: str = ""
    known: bool = False


class Sweeps(Protocol):
    """One function over many cases, wherever there are workers."""

    @property
    def workers(self) -> int:
        """How many cases are worked on at once."""
        ...

    def run(
        self,
        function: Callable[[Any], Any],
        cases: Sequence[Any],
        *,
        progress: Progress = ...,
        cancel: Callable[[], bool] = ...,
        done: Done | None = None,
    ) -> Iterator[SweepResult]:
        """Results as they come, those known from before first.

        A case that fails is a result with its error. `cancel` is asked now and then; once it says
        True, Cancelled is raised, and what came before stays done. `function` and cases must be
        picklable, the function by its name.
        """
        ...


class Tools(Protocol):
    """Everything from outside that a face hands to the use cases."""

    def files(self, folder: Path) -> Files:
        """Files read relative to `folder`."""
        ...

    def sheets(self) -> Sheets:
        """The maker of sheets."""
        ...

    def write(self, folder: Path, files: Mapping[str, bytes]) -> None:
        """Writes all files into `folder`, or none of them."""
        ...

    def sweeps(self, address: str | None, workers: int | None) -> AbstractContextManager[Sweeps]:
        """Workers of a Dask cluster by its address, or else of this machine: so many, or all; with
        0 the work is done in this very process."""
        ...

    def journal(
        self, path: Path, *, encode: Callable[[Any], Any], decode: Callable[[Any], Any]
    ) -> Done:
        """What a sweep has done, kept in a file."""
        ...

    def bath_sheets(self) -> "BathSheets":
        """The maker of the bath's sheets."""
        ...

    def run_sheets(self) -> "RunSheets":
        """The maker of run records."""
        ...

    def serve(self, options: "ServeOptions") -> None:
        """Serves the workbench page until it is stopped."""
        ...

    def diagnosis_sheets(self) -> "DiagnosisSheets":
        """The maker of the diagnosis' record and of the pictures of faults."""
        ...

    def photo(self, path: Path) -> Any:
        """The pixels of a photo, upright, as an array (rows, columns, colours)."""
        ...

    def runs(self) -> "RunTools":
        """Supplies, clocks and the places of runs."""
        ...

    def ledger(self, path: Path) -> "BathLedger":
        """A bath's ledger in a file."""
        ...

    def store(self, address: str | None) -> "Store":
        """The shop's store by its file or address, or the usual one; to be closed."""
        ...
