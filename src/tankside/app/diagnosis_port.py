"""What the diagnosis needs of the maker of its pages and pictures."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from tankside.app.ports import SheetRequest
from tankside.base.messages import ENGLISH, Reader
from tankside.diagnosis.advice import Advice
from tankside.diagnosis.atlas import Atlas
from tankside.diagnosis.diagnosis import Diagnosis
from tankside.diagnosis.next_check import Proposal
from tankside.diagnosis.panel import Along, PanelReading


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelPage:
    """What a page shows of a panel: its reading, the currents along it, and the sentences."""

    reading: PanelReading
    curve: tuple[Along, ...]
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DiagnosisRecord:
    """What a diagnosis' record tells: the causes, the checks and advice, and the panel, if any."""

    diagnosis: Diagnosis
    proposed: Sequence[Proposal]
    advised: Sequence[Advice]
    atlas: Atlas
    panel: PanelPage | None = None


class DiagnosisSheets(Protocol):
    """Makes the record and the pictures, in memory."""

    def record(self, record: DiagnosisRecord, how: SheetRequest) -> bytes:
        """A PDF."""
        ...

    def picture(self, fault: str, title: str, reader: Reader = ENGLISH) -> bytes:
        """The picture of one fault as SVG, with its title, for a reader."""
        ...

    def pictures(self, atlas: Atlas) -> Mapping[str, bytes]:
        """A picture of every fault and one sheet of them all, by file name."""
        ...
