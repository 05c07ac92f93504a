"""A whole store as one archive, and back into an empty store of any kind."""

import csv
import io
import json
import zipfile
from pathlib import Path

import pyarrow.parquet
import pytest

from tankside.base.errors import BadInput
from tankside.bath.inventory.text import decoded
from tankside.storage.store.memory import MemoryRows
from tankside.storage.store.rows import Rows
from tankside.storage.store.store import KeptStore
from tests.contracts.conftest import KINDS, NewRows
from tests.contracts.scene import STL, fill, kept, ledger, picture


@pytest.mark.parametrize("target", KINDS)
@pytest.mark.parametrize("source", KINDS)
def test_an_export_restored_equals_the_original(
    new_rows: NewRows, tmp_path: Path, source: str, target: str
) -> None:
    """Also from SQLite to PostgreSQL and back."""
    first, second = new_rows(source), new_rows(target)
    fill(kept(first))
    kept(first).export_to(tmp_path / "shop.zip")
    kept(second).restore_from(tmp_path / "shop.zip")
    assert picture(second) == picture(first)
    assert list(kept(second).check()) == []


def test_an_empty_store_goes_out_and_back(new_rows: NewRows, tmp_path: Path) -> None:
    first, second = new_rows("memory"), new_rows("SQLite")
    kept(first).export_to(tmp_path / "shop.zip")
    kept(second).restore_from(tmp_path / "shop.zip")
    assert picture(second) == picture(first)


def test_a_restored_store_goes_on(rows: Rows, tmp_path: Path) -> None:
    original = kept(MemoryRows())
    fill(original)
    original.export_to(tmp_path / "shop.zip")
    store = kept(rows)
    store.restore_from(tmp_path / "shop.zip")
    bath = store.baths.get("Cellar bath")
    store.add_to_ledger(bath.id, [*ledger(), ledger()[2].__class__(at=1.0, id="n", charge=1.0)])
    assert len(store.ledger(bath.id)) == len(ledger()) + 1
    store.baths.rename(bath, "Attic bath")
    assert list(store.check()) == []


def test_a_store_that_holds_something_is_not_filled(
    store: KeptStore, rows: Rows, tmp_path: Path
) -> None:
    fill(store)
    store.export_to(tmp_path / "shop.zip")
    before = picture(rows)
    with pytest.raises(
        BadInput, match="holds something already, and an archive goes into an empty"
    ):
        store.restore_from(tmp_path / "shop.zip")
    assert picture(rows) == before


def test_an_archive_is_read_by_anything(tmp_path: Path) -> None:
    """JSON, JSON lines, CSV, Parquet and the part's own file, without a line of ours."""
    store = kept(MemoryRows())
    fill(store)
    store.export_to(tmp_path / "shop.zip")
    archive = zipfile.ZipFile(tmp_path / "shop.zip")
    names = archive.namelist()
    (bath,) = json.loads(archive.read("things/bath.json"))
    assert bath["name"] == "Cellar bath"
    assert bath["revisions"][0]["content"]["value"]["family"] == "acid sulfate"
    lines = archive.read(f"events/{bath['id']}.jsonl")
    assert decoded(lines).ledger == ledger()
    beside = list(csv.DictReader(io.StringIO(archive.read(f"events/{bath['id']}.csv").decode())))
    assert [row["id"] for row in beside] == [event.id for event in ledger()]
    (run,) = json.loads(archive.read("things/run.json"))
    table = pyarrow.parquet.read_table(
        io.BytesIO(archive.read(f"samples/{run['id']}/000001.parquet"))
    )
    assert table.column_names == ["time_s", "voltage_V", "current_A", "temperature_K"]
    assert table.num_rows == 100
    (stl,) = [name for name in names if name.endswith(".stl")]
    assert archive.read(stl) == STL
    costs = list(csv.DictReader(io.StringIO(archive.read("costs.csv").decode(), newline="")))
    assert [(row["amount"], row["currency"]) for row in costs] == [
        ("1.10", "EUR"),
        ("-0.0500", "EUR"),
    ]
    assert costs[0]["words"] == '12 g of "scrap" pipe,\ncut up'


def test_an_export_that_fails_leaves_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = kept(MemoryRows())
    fill(store)
    target = tmp_path / "shop.zip"
    store.export_to(target)
    old = target.read_bytes()

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(BadInput, match="cannot be written: no space left on device"):
        store.export_to(target)
    assert target.read_bytes() == old
    assert list(tmp_path.iterdir()) == [target]
    with pytest.raises(BadInput, match="cannot be written: no such file"):
        store.export_to(tmp_path / "nowhere" / "shop.zip")
