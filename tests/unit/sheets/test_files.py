"""Files are written all whole or not at all."""

import os
from pathlib import Path

import pytest

from tankside.base.errors import BadInput
from tankside.sheets import files
from tankside.sheets.files import written


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.rglob("*"))}


def test_all_files_are_there_with_their_bytes(tmp_path: Path) -> None:
    folder = tmp_path / "deep" / "out"
    paths = written(folder, {"a.bin": b"\0\1", "b.txt": b"b"})
    assert paths == (folder / "a.bin", folder / "b.txt")
    assert contents(folder) == {"a.bin": b"\0\1", "b.txt": b"b"}


def test_older_files_are_replaced_and_others_left(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"old")
    (tmp_path / "mine").write_bytes(b"mine")
    written(tmp_path, {"a": b"new"})
    assert contents(tmp_path) == {"a": b"new", "mine": b"mine"}


@pytest.mark.parametrize("name", ["../a", "b/a", "", ".", ".."])
def test_names_that_lead_elsewhere_are_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(BadInput, match="not a plain file name"):
        written(tmp_path / "out", {"good": b"", name: b""})
    assert contents(tmp_path) == {}


@pytest.mark.parametrize("stop", [KeyboardInterrupt, OSError(28, "No space left on device")])
@pytest.mark.parametrize("on", [1, 2])
def test_stopped_while_writing_it_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stop: BaseException, on: int
) -> None:
    calls = []

    def failing(number: int) -> None:
        calls.append(number)
        if len(calls) == on:
            raise stop

    monkeypatch.setattr(os, "fsync", failing)
    with pytest.raises((KeyboardInterrupt, BadInput)):
        written(tmp_path / "new" / "out", {"a": b"1", "b": b"2"})
    assert len(calls) == on
    assert contents(tmp_path) == {}


@pytest.mark.parametrize("on", [1, 2, 3, 4])
def test_stopped_while_moving_it_puts_everything_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, on: int
) -> None:
    before = {"a": b"old a", "b": b"old b"}
    for name, held in before.items():
        (tmp_path / name).write_bytes(held)
    calls = []
    replace = os.replace

    def interrupted(source: Path, target: Path) -> None:
        calls.append(target)
        if len(calls) == on:
            raise KeyboardInterrupt
        replace(source, target)

    monkeypatch.setattr(files.os, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        written(tmp_path, {"a": b"new a", "b": b"new b", "c": b"new c"})
    assert contents(tmp_path) == before


def test_a_full_disk_is_one_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(number: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BadInput, match="No space left on device; nothing was changed"):
        written(tmp_path, {"a": b"1"})


def test_a_file_in_the_folders_place_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "out").write_bytes(b"a file")
    with pytest.raises(BadInput, match="cannot write there"):
        written(tmp_path / "out", {"a": b"1"})
    assert (tmp_path / "out").read_bytes() == b"a file"
