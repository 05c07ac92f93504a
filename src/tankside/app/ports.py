"""What the use cases need from outside: files to read, and sheets to make. Adapters fit in here."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

from tankside.plan.plan import Plan


class Files(Protocol):
    """Where the person's files are."""

    def read(self, name: str, *, where: str) -> bytes:
        """The content of a file; BadInput, placed at `where`, when it cannot be read."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRequest:
    """What a sheet says of the job beside the plan: title, file name, date as text, paper."""

    title: str
    prepared: str
    paper: str = "a4"


class Sheets(Protocol):
    """Makes files of a plan, all in memory."""

    def reply(self, plan: Plan, seconds: float) -> dict[str, Any]:
        """The plan as the stable JSON object of the open contract."""
        ...

    def summary(self, plan: Plan) -> str:
        """The plan as text for a terminal."""
        ...

    def files(self, plan: Plan, request: SheetRequest) -> Mapping[str, bytes]:
        """Map, panels and sheet by file name."""
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
