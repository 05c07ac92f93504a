"""How the people of this bench like things written: units, decimal mark, paper, language, money."""

import dataclasses
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any, TypeVar

from tankside.app.work.kept_json import read_json, write_json
from tankside.base.errors import BadInput, UnknownName
from tankside.base.units import UnitSystem
from tankside.base.wording import term

FILE = "preferences.json"
_CURRENCY = re.compile(r"^[^\W\d_]{1,5}$|^[€£$¥]$")
_LANGUAGE = re.compile(r"^[a-z]{2,3}(_[A-Z]{2})?$")
_Choice = TypeVar("_Choice", bound=StrEnum)


class Paper(StrEnum):
    """What the printer holds, as the makers of sheets call it."""

    A4 = "a4"
    LETTER = "us-letter"


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

    def read(self) -> Preferences:
        """As they are now; the usual ones where none were kept, or what was kept is no longer
        understood."""
        return _understood(read_json(self._path)) if self._path.is_file() else Preferences()

    def keep(self, wanted: Preferences) -> None:
        """From now on these."""
        self._path.parent.mkdir(parents=True, exist_ok=True)
        write_json(self._path, dataclasses.asdict(wanted))


def wanted(answers: Mapping[str, str]) -> Preferences:
    """Answers as they were sent; BadInput at the first that cannot be. Where the pages have not the
    language, they are in English."""
    language, currency = answers["language"], answers["currency"].strip()
    if not _LANGUAGE.match(language):
        raise BadInput(
            "{language!r} is no language's code; write it as en or pt_BR", language=language[:20]
        )
    if currency and not _CURRENCY.match(currency):
        raise BadInput(
            "{currency!r} is no currency; write it as prices are written, such as EUR",
            currency=currency[:20],
        )
    return Preferences(
        units=_named(UnitSystem, term("the unit system"), answers["units"]),
        mark=_named(Mark, term("the decimal mark"), answers["mark"]),
        paper=_named(Paper, term("the paper"), answers["paper"]),
        language=language,
        currency=currency,
    )


def _named(kind: type[_Choice], what: str, text: str) -> _Choice:
    known = {one.value: one for one in kind}
    if text not in known:
        raise UnknownName(what, text[:40], known)
    return known[text]


def _understood(found: dict[str, Any]) -> Preferences:
    """What of a kept file is still known, and the usual for all else."""
    usual = Preferences()
    return Preferences(
        units=_one_of(found.get("units"), usual.units),
        mark=_one_of(found.get("mark"), usual.mark),
        paper=_one_of(found.get("paper"), usual.paper),
        language=str(found.get("language", usual.language)),
        currency=str(found.get("currency", usual.currency)),
    )


def _one_of(text: object, usual: _Choice) -> _Choice:
    return next((one for one in type(usual) if one.value == text), usual)
