"""Every table that ships names where each of its rows comes from."""

from importlib import resources

import pytest

from tankside.base.errors import MissingData
from tankside.base.provenance import NEEDS_NO_SOURCE, Evidence
from tankside.base.tables import provenance, table

ROOMS = ("substances", "bath")

TABLES = [
    (f"tankside.{room}", file.name)
    for room in ROOMS
    for file in resources.files(f"tankside.{room}").joinpath("data").iterdir()
    if file.name.endswith(".csv")
]


@pytest.mark.parametrize(("package", "file"), TABLES)
def test_rows_carry_evidence_source_and_locator(package: str, file: str) -> None:
    rows = table(package, file)
    assert rows
    for number, row in enumerate(rows):
        held = provenance(row, where=f"{file} {number}")
        assert held.locator or held.evidence in NEEDS_NO_SOURCE


@pytest.mark.parametrize(
    "row",
    [
        {"evidence": "measured", "source": "", "locator": ""},
        {"evidence": "hearsay", "source": "crc2010", "locator": "p. 1"},
        {"evidence": "measured", "source": "nobody1900", "locator": "p. 1"},
        {"source": "crc2010", "locator": "p. 1"},
    ],
)
def test_a_row_that_cannot_say_is_refused(row: dict[str, str]) -> None:
    with pytest.raises(MissingData, match="here: provenance is incomplete"):
        provenance(row, where="here")


def test_an_honest_guess_needs_no_source() -> None:
    row = {"evidence": "our guess", "source": "", "locator": ""}
    assert provenance(row, where="here").evidence is Evidence.GUESS
