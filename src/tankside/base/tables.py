"""Data tables that ship with the package, and the provenance that each of their rows carries.

A table is a CSV file in a room's `data` folder. Whatever its other columns, each row has `evidence`
(a kind of `Evidence`), `source` (a key of base/data/sources.toml, empty where none exists) and
`locator` (page, table or row in that source). A row that cannot say where it comes from is refused
when the table is read.
"""

import csv
from dataclasses import dataclass
from functools import cache
from importlib import resources

from tankside.base.errors import MissingData
from tankside.base.provenance import NEEDS_NO_SOURCE, Evidence, source
from tankside.base.wording import quoting


@dataclass(frozen=True, slots=True, kw_only=True)
class Provenance:
    """Where a row of a table comes from, and how sure it is."""

    evidence: Evidence
    source: str
    locator: str

    def __post_init__(self) -> None:
        if self.source:
            source(self.source)
        elif self.evidence not in NEEDS_NO_SOURCE:
            raise MissingData("evidence '{evidence}' needs a source", evidence=self.evidence)


@cache
def table(package: str, file: str) -> tuple[dict[str, str], ...]:
    """The rows of data/`file` in `package`, each a mapping from column to text, provenance checked.

    Lines that begin with # are comments. MissingData where a row's provenance is incomplete.
    """
    text = resources.files(package).joinpath("data", file).read_text("utf-8")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    rows = tuple(csv.DictReader(lines, strict=True))
    for number, row in enumerate(rows, start=1):
        if None in row or None in row.values():
            raise MissingData(
                "{file}, row {number}: the number of cells is not that of the head",
                file=file,
                number=number,
            )
        provenance(row, where=quoting("{file}, row {number}", file=file, number=number))
    return rows


def provenance(row: dict[str, str], *, where: str) -> Provenance:
    """The provenance columns of a row as a value; MissingData says which row lacks them."""
    try:
        return Provenance(
            evidence=Evidence(row["evidence"]), source=row["source"], locator=row["locator"]
        )
    except (KeyError, ValueError, MissingData) as error:
        raise MissingData(
            "{place}: provenance is incomplete ({error})", place=where, error=error
        ) from error
