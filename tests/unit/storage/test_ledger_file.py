"""The ledger's file: torn ends are told, kept and never grown over."""

import os
from pathlib import Path

import numpy as np
import pytest

from tankside.base.errors import BadInput
from tankside.bath.inventory import AmpereHours, Event, Retraction
from tankside.bath.inventory.text import encoded
from tankside.storage.ledger_file import LedgerFile


def runs(count: int, first: int = 0) -> tuple[Event, ...]:
    return tuple(
        AmpereHours(at=float(n), id=f"run {n}", charge=3600.0 * n)
        for n in range(first, first + count)
    )


def test_what_was_appended_is_read_again(tmp_path: Path) -> None:
    book = LedgerFile(tmp_path / "bath.jsonl")
    assert book.read().ledger == ()
    book.append(runs(2))
    book.append(runs(1, first=2))
    assert book.read().ledger == runs(3)
    assert book.set_aside() is None


def test_cut_at_200_random_places_it_recovers_everywhere(tmp_path: Path) -> None:
    whole = encoded(runs(12))
    rng = np.random.default_rng(42)
    path = tmp_path / "bath.jsonl"
    book = LedgerFile(path)
    for number, cut in enumerate(rng.integers(1, len(whole), 220)):
        path.write_bytes(whole[:cut])
        lines = whole[:cut].count(b"\n")
        before = book.read()
        assert before.ledger[:lines] == runs(lines)
        if before.torn is not None:
            with pytest.raises(BadInput, match="cut off while it was written"):
                book.append(runs(1, first=50))
            assert path.read_bytes() == whole[:cut]
            aside = book.set_aside()
            assert aside is not None
            assert path.read_bytes() + aside.read_bytes() == whole[:cut]
            aside.rename(tmp_path / f"kept {number}")
        book.append(runs(1, first=50))
        assert book.read().ledger == (*before.ledger, *runs(1, first=50))
    kept = sum(1 for _ in tmp_path.glob("kept *"))
    assert kept > 150


def test_a_missing_line_end_is_mended_by_the_next_line(tmp_path: Path) -> None:
    path = tmp_path / "bath.jsonl"
    path.write_bytes(encoded(runs(2))[:-1])
    book = LedgerFile(path)
    assert book.read().unended
    book.append(runs(1, first=2))
    assert path.read_bytes() == encoded(runs(3))


def test_torn_ends_get_names_of_their_own(tmp_path: Path) -> None:
    path = tmp_path / "bath.jsonl"
    names = []
    for end in (b'{"led', b"\x00\x00"):
        path.write_bytes(encoded(runs(1)) + end)
        aside = LedgerFile(path).set_aside()
        assert aside is not None
        assert aside.read_bytes() == end
        names.append(aside.name)
    assert names == ["bath.jsonl.torn-1", "bath.jsonl.torn-2"]


@pytest.mark.parametrize(
    ("events", "words"),
    [
        (runs(1), "two events have the id 'run 0'"),
        ((Retraction(at=9.0, id="r", of="run 9"),), "names the event 'run 9'"),
    ],
)
def test_what_contradicts_the_ledger_is_not_written(
    tmp_path: Path, events: tuple[Event, ...], words: str
) -> None:
    path = tmp_path / "bath.jsonl"
    book = LedgerFile(path)
    book.append(runs(1))
    before = path.read_bytes()
    with pytest.raises(BadInput, match=words):
        book.append(events)
    assert path.read_bytes() == before


def test_a_full_disk_leaves_the_file_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "bath.jsonl"
    book = LedgerFile(path)
    book.append(runs(1))
    before = path.read_bytes()
    honest = os.write

    def half_then_full(descriptor: int, content: bytes) -> int:
        if len(content) < 20:
            raise OSError(28, "No space left on device")
        return honest(descriptor, content[: len(content) // 2])

    monkeypatch.setattr(os, "write", half_then_full)
    with pytest.raises(BadInput, match="no space left on device; make room"):
        book.append(runs(1, first=1))
    assert path.read_bytes() == before


def test_a_folder_in_its_place_is_told(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="cannot be read"):
        LedgerFile(tmp_path).read()
