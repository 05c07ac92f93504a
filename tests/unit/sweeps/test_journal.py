"""A journal is read as far as it was written."""

from pathlib import Path

import pytest

from tankside.base.errors import BadInput
from tankside.sweeps.journal import Journal


def test_what_is_kept_is_known_again(tmp_path: Path) -> None:
    file = tmp_path / "j"
    Journal(file, encode=str).keep("a", 12)
    Journal(file, encode=str).keep("b", 13)
    again = Journal(file, decode=int)
    assert (again.known("a"), again.known("b"), again.known("c")) == (12, 13, None)


def test_a_line_that_was_cut_short_is_left_out_and_mended(tmp_path: Path) -> None:
    file = tmp_path / "j"
    journal = Journal(file)
    journal.keep("a", 1)
    journal.keep("b", 2)
    file.write_bytes(file.read_bytes()[:-5])
    again = Journal(file)
    assert (again.known("a"), again.known("b")) == (1, None)
    again.keep("c", 3)
    assert [Journal(file).known(key) for key in "abc"] == [1, None, 3]


@pytest.mark.parametrize(
    "text", ["hello\n", '{"form": "another 7"}\n', "[1]\n", '{"form": 1}\n{}\n']
)
def test_another_file_is_refused_and_left_alone(tmp_path: Path, text: str) -> None:
    file = tmp_path / "notes.txt"
    file.write_text(text, "utf-8")
    with pytest.raises(BadInput, match="is not a journal"):
        Journal(file)
    assert file.read_text("utf-8") == text
