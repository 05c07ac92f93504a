"""What the diagnosis needs of the maker of its pages and pictures."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

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


class DiagnosisSheets(Protocol):
    """Makes the record and the pictures, in memory."""

    def record(
        self,
        diagnosis: Diagnosis,
        proposed: Sequence[Proposal],
        advised: Sequence[Advice],
        atlas: Atlas,
        *,
        panel: PanelPage | None,
        title: str,
        prepared: str,
        paper: Literal["a4", "us-letter"],
    ) -> bytes:
        """A PDF; `prepared` is the date as text."""
        ...

    def picture(self, fault: str, title: str) -> bytes:
        """The picture of one fault as SVG, with its title."""
        ...

    def pictures(self, atlas: Atlas) -> Mapping[str, bytes]:
        """A picture of every fault and one sheet of them all, by file name."""
        ...
