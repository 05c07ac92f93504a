"""A workshop's bath and shelf in a folder, and a ledger begun by its make-up."""

from pathlib import Path

import pytest

from tankside.app.bath.example_bath import example_files
from tankside.main import run

MADE = "2024-01-08 18:00"


@pytest.fixture
def workshop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with bath.toml and shelf.toml, the working directory."""
    for name, content in example_files().items():
        (tmp_path / name).write_bytes(content)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The ledger that the make-up of bath.toml begins."""
    folder = tmp_path_factory.mktemp("begun")
    (folder / "bath.toml").write_bytes(example_files()["bath.toml"])
    line = ["make", str(folder / "bath.toml"), "--note", str(folder / "bath.jsonl"), "--at", MADE]
    assert run(["bath", *line]) == 0
    return (folder / "bath.jsonl").read_bytes()


@pytest.fixture
def ledger(workshop: Path, begun: bytes) -> Path:
    """bath.jsonl, begun with the make-up of bath.toml."""
    (workshop / "bath.jsonl").write_bytes(begun)
    return workshop / "bath.jsonl"
