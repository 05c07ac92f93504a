"""How the people of this bench like things written: units, decimal mark, paper, language, money."""

import dataclasses
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

from tankside.app.work.kept_json import read_json, write_json
from tankside.base.units import UnitSystem

FILE = "preferences.json"


class Paper(StrEnum):
    """What the printer holds."""

    A4 = "A4"
    LETTER = "US Letter"


class Mark(StrEnum):
    """The decimal mark that numbers are shown with; both are always read."""

    POINT = "point"
    COMMA = "comma"


@dataclass(frozen=True, slots=True, kw_only=True)
class Preferences:
    """language    as its catalogue is called, such as "en"
    currency    as prices are written, such as "EUR"; "" where none was given"""

    units: UnitSystem = UnitSystem.METRIC
    mark: Mark = Mark.POINT
    paper: Paper = Paper.A4
    language: str = "en"
    currency: str = ""


class KeptPreferences:
    """The preferences of one home folder."""

    def __init__(self, home: Path) -> None:
        self._path = home / FILE
        self._held: tuple[float, Preferences] | None = None

    def read(self) -> Preferences:
        """As they are now; the usual ones where none were kept, or what was kept is no longer
        understood."""
        try:
            stamp = self._path.stat().st_mtime
        except OSError:
            return Preferences()
        if self._held is None or self._held[0] != stamp:
            self._held = stamp, _understood(read_json(self._path))
        return self._held[1]

    def keep(self, wanted: Preferences) -> None:
        """From now on these."""
        self._path.parent.mkdir(parents=True, exist_ok=True)
        write_json(self._path, dataclasses.asdict(wanted))


def _understood(found: dict[str, Any]) -> Preferences:
    """What of a kept file is still known, and the usual for all else."""
    usual = Preferences()
    return Preferences(
        units=_one_of(UnitSystem, found.get("units"), usual.units),
        mark=_one_of(Mark, found.get("mark"), usual.mark),
        paper=_one_of(Paper, found.get("paper"), usual.paper),
        language=str(found.get("language", usual.language)),
        currency=str(found.get("currency", usual.currency)),
    )


def _one_of(kind: Any, text: object, usual: Any) -> Any:
    return next((one for one in kind if one.value == text), usual)
