"""An archive that is damaged, forged or from elsewhere: one sentence, and the store stays empty."""

import hashlib
import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.storage.store.archive.opening import Limits, OpenedArchive
from tankside.storage.store.archive.restoring import restored
from tankside.storage.store.memory import MemoryRows
from tankside.storage.store.opening import opened_rows
from tankside.storage.store.series_parquet import MOST_SAMPLES
from tests.contracts.scene import fill, kept, picture

Contents = dict[str, bytes]


@pytest.fixture(scope="module")
def whole() -> bytes:
    """A sound archive."""
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        store, path = kept(MemoryRows()), Path(folder) / "shop.zip"
        fill(store)
        store.export_to(path)
        return path.read_bytes()


def contents(whole: bytes) -> Contents:
    with zipfile.ZipFile(io.BytesIO(whole)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def sealed(found: Contents, **changes: Any) -> bytes:
    """An archive of these files with a manifest that fits them."""
    manifest = json.loads(found["manifest.json"])
    manifest["files"] = {
        name: {"bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()}
        for name, content in found.items()
        if name != "manifest.json"
    }
    return zipped({**found, "manifest.json": json.dumps({**manifest, **changes}).encode()})


def zipped(found: Contents) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in found.items():
            archive.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)
    return out.getvalue()


def refused(tmp_path: Path, archive: bytes, sentence: str, limits: Limits | None = None) -> str:
    path, rows = tmp_path / "shop.zip", MemoryRows()
    path.write_bytes(archive)
    before = picture(rows)
    with pytest.raises(BadInput, match=sentence) as caught:
        restored(rows, path, limits)
    assert picture(rows) == before
    assert str(caught.value).startswith("shop.zip: ")
    return str(caught.value)


def edited(part: str, change: Callable[[Any], Any]) -> Callable[[Contents], Contents]:
    """Changes the JSON file whose name begins so."""

    def work(found: Contents) -> Contents:
        (name,) = [name for name in found if name.startswith(part)]
        return {**found, name: json.dumps(change(json.loads(found[name]))).encode()}

    return work


def first(**changes: Any) -> Callable[[Any], Any]:
    return lambda entries: [{**entries[0], **changes}, *entries[1:]]


def without(part: str) -> Callable[[Contents], Contents]:
    return lambda found: {name: one for name, one in found.items() if not name.startswith(part)}


def rewritten(ending: str, change: Callable[[bytes], bytes]) -> Callable[[Contents], Contents]:
    """Changes every file whose name ends so."""
    return lambda found: {
        name: change(one) if name.endswith(ending) else one for name, one in found.items()
    }


FORGED: list[tuple[str, Callable[[Contents], Contents], str]] = [
    ("no things", without("things/bath"), "not in the form"),
    ("no file", without("files/"), "not in the form|does not hold|not there"),
    ("no costs", without("costs.csv"), "not in the form"),
    ("lines without their table", lambda found: {
        name: one for name, one in found.items() if name[:7] + name[-4:] != "events/.csv"
    }, "not in the form"),
    ("a file of nobody", lambda found: {**found, "events/x.jsonl": b""}, "belongs to nothing"),
    ("a gap in the samples", lambda found: {
        name.replace("000002", "000003"): one for name, one in found.items()
    }, "belongs to nothing"),
    ("no list of baths", edited("things/bath", lambda _: {"a": 1}), "not in the form"),
    ("a number for a bath", edited("things/bath", lambda _: [7]), "not in the form"),
    ("no revisions", edited("things/bath", first(revisions=[])), "has no revision"),
    ("a bad name", edited("things/bath", first(name="a\0b")), "cannot hold the sign"),
    ("another id", edited("things/bath", first(id="other")), "does not hold|not there|nothing"),
    ("one name twice", edited("things/part", lambda entries: [entries[0], {
        **entries[0], "id": "twin"}]), "at the same moment|refers"),
    ("a text for a moment", edited("things/bath", first(created_s="noon")), "not in the form"),
    ("a newer content", edited("things/tank", lambda entries: [{**entries[0], "revisions": [
        {**entries[0]["revisions"][0], "content": {"form": 2, "value": {}}}]}]), "form 2"),
    ("an unknown field", edited("things/tank", lambda entries: [{**entries[0], "revisions": [
        {**entries[0]["revisions"][0],
         "content": {"form": 1, "value": {"table": "", "depth_m": 1}}}]}]), "no 'depth_m'"),
    ("an event changed", rewritten(".jsonl", lambda one: one.replace(b"43217.25", b"4321.25")),
     "was changed"),
    ("an event taken out", rewritten(".jsonl", lambda one: one.split(b"\n", 1)[1]), "does not fit"),
    ("samples of nothing", rewritten(".parquet", lambda one: b""), "samples are damaged"),
    ("samples cut", rewritten(".parquet", lambda one: one[:-40]), "samples are damaged"),
    ("a cost of words", rewritten("costs.csv", lambda one: one.replace(b"1.10", b"much")),
     "'much' is no amount"),
    ("a cost of nobody", rewritten("costs.csv", lambda one: one.replace(b",EUR,,", b",EUR,x,")),
     "is not there"),
    ("a wide table", rewritten("costs.csv", lambda one: one + b"a,b\n"), "has 2 columns"),
    ("another head", rewritten("files.csv", lambda one: b"a" + one), "its head is not"),
    ("no text at all", rewritten("costs.csv", lambda one: b"\xff\xfe"), "not in the form"),
    ("an endless nest", rewritten("tank.json", lambda one: b"[" * 100_000), "not in the form"),
    ("another part", rewritten(".stl", lambda one: b"solid"), "is not what it was"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("change", "sentence"), [row[1:] for row in FORGED], ids=[row[0] for row in FORGED]
)
def test_a_forged_archive_is_refused(
    tmp_path: Path, whole: bytes, change: Callable[[Contents], Contents], sentence: str
) -> None:
    """Its manifest fits, so that only its content gives it away."""
    refused(tmp_path, sealed(change(contents(whole))), sentence)


MANIFESTS: list[tuple[str, dict[str, Any], str]] = [
    (
        "a newer version",
        {"version": 2},
        "of form 2, and this program reads form 1; use the version",
    ),
    ("no version", {"version": None}, "form None"),
    ("another format", {"format": "recipes"}, "is a ZIP file, but no archive of a store"),
    ("no identity", {"store": 7}, "not in the form"),
    ("no files", {"files": None}, "is not in the manifest"),
    ("a bad list", {"files": {"costs.csv": 3}}, "its manifest is damaged"),
]


@pytest.mark.parametrize(
    ("changes", "sentence"), [row[1:] for row in MANIFESTS], ids=[row[0] for row in MANIFESTS]
)
def test_a_manifest_that_is_none_is_refused(
    tmp_path: Path, whole: bytes, changes: dict[str, Any], sentence: str
) -> None:
    refused(tmp_path, sealed(contents(whole), **changes), sentence)


def test_a_file_that_differs_from_the_manifest_is_refused(tmp_path: Path, whole: bytes) -> None:
    found = contents(whole)
    refused(
        tmp_path, zipped({**found, "costs.csv": found["costs.csv"] + b"\n"}), "larger than|not what"
    )
    refused(
        tmp_path, zipped({**found, "costs.csv": found["costs.csv"][:-1]}), "is not what the mani"
    )
    refused(tmp_path, zipped(without("costs")(found)), "'costs.csv' is lacking")
    refused(tmp_path, zipped({**found, "x": b""}), "'x' is not in the manifest")
    refused(tmp_path, zipped({"x": b""}), "is a ZIP file, but no archive of a store")
    refused(tmp_path, zipped({**found, "manifest.json": b"{"}), "its manifest is damaged")
    refused(tmp_path, zipped({**found, "manifest.json": b"[" * 100_000}), "manifest is damaged")


@pytest.mark.parametrize(
    "name", ["../evil", "/etc/evil", "a/../../evil", "C:/evil", "a\\..\\evil", "a//b", "folder/"]
)
def test_a_name_that_leads_out_is_refused(tmp_path: Path, whole: bytes, name: str) -> None:
    archive = sealed({**contents(whole), name: b"x"})
    assert "leads out" in refused(tmp_path, archive, "holds the name")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["shop.zip"]


def test_a_name_that_comes_twice_is_refused(tmp_path: Path, whole: bytes) -> None:
    out = io.BytesIO(whole)
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(out, "a") as archive:
        archive.writestr("costs.csv", b"x")
    refused(tmp_path, out.getvalue(), "it holds 'costs.csv' twice")


def test_what_would_fill_the_disk_is_refused_unread(tmp_path: Path, whole: bytes) -> None:
    found = contents(whole)
    bomb = sealed({**found, "files/bomb.bin": bytes(30_000_000)})
    assert len(bomb) < 100_000
    refused(tmp_path, bomb, "unpacked it would take over", Limits(all=20_000_000))
    refused(tmp_path, bomb, r"files/bomb.bin would take .* is the most", Limits(one=20_000_000))
    refused(tmp_path, bomb, "it holds over 5 files", Limits(files=5))


def test_a_size_that_lies_is_refused_without_unpacking_it(tmp_path: Path, whole: bytes) -> None:
    found = contents(whole)
    manifest = json.loads(found["manifest.json"])
    manifest["files"]["costs.csv"]["bytes"] = 3
    lying = {
        **found,
        "costs.csv": bytes(30_000_000),
        "manifest.json": json.dumps(manifest).encode(),
    }
    refused(tmp_path, zipped(lying), "costs.csv is larger than is said of it")


def test_samples_that_would_fill_the_memory_are_refused_unread(
    tmp_path: Path, whole: bytes
) -> None:
    import pyarrow as pa
    from pyarrow import parquet

    columns = ("time_s", "voltage_V", "current_A", "temperature_K")
    zeros = pa.array(np.zeros(MOST_SAMPLES + 1))
    out = io.BytesIO()
    parquet.write_table(pa.table({name: zeros for name in columns}), out)
    assert len(out.getvalue()) < 50_000
    forged = rewritten(".parquet", lambda _: out.getvalue())(contents(whole))
    refused(tmp_path, sealed(forged), f"says that it holds {MOST_SAMPLES + 1} samples")


def test_an_archive_cut_off_anywhere_is_refused(tmp_path: Path, whole: bytes) -> None:
    rng = np.random.default_rng(3)
    for cut in rng.integers(0, len(whole), 150):
        refused(tmp_path, whole[:cut], "is no archive of a store, or its end is lacking")


def test_a_flipped_bit_anywhere_is_refused_or_changes_nothing(tmp_path: Path, whole: bytes) -> None:
    """A bit may fall on what says nothing, such as a date; what comes back is then the original."""
    original = MemoryRows()
    path = tmp_path / "shop.zip"
    path.write_bytes(whole)
    restored(original, path)
    rng, stopped = np.random.default_rng(4), 0
    for _ in range(200):
        spoiled = bytearray(whole)
        spoiled[rng.integers(len(spoiled))] ^= 1 << int(rng.integers(8))
        path.write_bytes(spoiled)
        rows = MemoryRows()
        before = picture(rows)
        try:
            restored(rows, path)
        except BadInput:
            stopped += 1
            assert picture(rows) == before
        else:
            assert picture(rows) == picture(original)
    assert stopped > 150


def test_a_refusal_leaves_a_database_empty_too(tmp_path: Path, whole: bytes) -> None:
    """The fault shows only after nearly all of it was written."""
    path = tmp_path / "shop.zip"
    path.write_bytes(sealed(rewritten("costs.csv", lambda one: one.replace(b"1.10", b"x"))(
        contents(whole))))  # fmt: skip
    rows = opened_rows(str(tmp_path / "s.db"))
    before = picture(rows)
    with pytest.raises(BadInput, match="is no amount"):
        restored(rows, path)
    assert picture(rows) == before
    path.write_bytes(whole)
    restored(rows, path)
    rows.close()


def test_a_missing_archive_and_a_text_are_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="there is no file"):
        OpenedArchive(tmp_path / "none.zip")
    refused(tmp_path, b"bath,copper\n", "is no archive of a store")
