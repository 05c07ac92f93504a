"""tankside store: what the person sees of it."""

import json
from pathlib import Path

import pytest

from tankside.main import run
from tankside.storage.ledger_file import LedgerFile
from tankside.storage.run_folder import RunFolder
from tests.contracts.scene import happened, ledger, sampled


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TANKSIDE_HOME", str(tmp_path / "home"))
    monkeypatch.delenv("TANKSIDE_STORE", raising=False)
    return tmp_path


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str]):  # type: ignore[no-untyped-def]
    def work(*words: object, status: int = 0) -> str:
        assert run(["store", *map(str, words)]) == status
        out = capsys.readouterr()
        assert not (status and out.out.startswith("Everything"))
        return out.err if status else out.out

    return work


@pytest.fixture
def cellar(home: Path) -> Path:
    path = home / "cellar.jsonl"
    LedgerFile(path).append(ledger())
    return path


@pytest.fixture
def folder(home: Path) -> Path:
    run_folder = RunFolder.begun(home / "finial", {"order": 1, "title": "finial"})
    run_folder.add_events(happened()[:4])
    for one in range(30):
        _add_sample(run_folder, one)
    run_folder.close()
    return home / "finial"


def _add_sample(run_folder: RunFolder, number: int) -> None:
    series = sampled()
    run_folder.add_sample(
        float(series.time[number]), float(series.voltage[number]), float(series.current[number])
    )


def test_an_empty_store_says_where_it_is(said, home: Path) -> None:  # type: ignore[no-untyped-def]
    text = said()
    assert text.startswith(f"The store is {home / 'home' / 'store.db'}")
    assert "0 events" in text
    assert said("check") == f"All is well in {home / 'home' / 'store.db'}\n"


def test_a_ledger_is_taken_in_and_again_what_is_new(said, cellar: Path) -> None:  # type: ignore[no-untyped-def]
    sentence = said("take-bath", cellar, status=2)
    assert "the store holds no bath called 'cellar'; say its family to add it" in sentence
    assert "added: 7 events and 0 samples" in said(
        "take-bath", cellar, "--family", "acid sulfate", "--name", "Cellar bath"
    )
    new = ledger()[2].__class__(at=2e9, id="new", charge=1.0)
    LedgerFile(cellar).append([new])
    assert said("take-bath", cellar, "--name", "cellar bath") == (
        "'Cellar bath' was in the store; added: 1 event and 0 samples.\n"
    )
    found = json.loads(said("show", "--json"))
    assert (found["things"]["bath"], found["events"], found["file_size_bytes"]) == (1, 8, 0)


def test_a_torn_ledger_is_not_taken_in(said, cellar: Path) -> None:  # type: ignore[no-untyped-def]
    cellar.write_bytes(cellar.read_bytes()[:-20])
    assert "cut off while it was written" in said("take-bath", cellar, "--family", "x", status=2)
    assert "there is no file" in said("take-bath", cellar.with_name("none"), status=2)


def test_a_run_is_taken_in_while_it_goes_on(said, folder: Path) -> None:  # type: ignore[no-untyped-def]
    assert said("take-run", folder) == (
        "'finial' is in the store now; added: 4 events and 30 samples.\n"
    )
    going = RunFolder.opened(folder)
    going.add_events(happened()[4:])
    _add_sample(going, 30)
    going.close()
    assert "added: 2 events and 1 sample" in said("take-run", folder)
    assert "added: 0 events and 0 samples" in said("take-run", folder)


def test_another_run_of_the_same_name_is_refused(said, folder: Path, home: Path) -> None:  # type: ignore[no-untyped-def]
    said("take-run", folder)
    RunFolder.begun(home / "other", {"order": 1, "title": "shell"}).close()
    assert "holds another run called 'finial'; give this one another name" in said(
        "take-run", home / "other", "--name", "FINIAL", status=2
    )


def test_everything_goes_out_and_into_a_new_store(said, folder: Path, cellar: Path) -> None:  # type: ignore[no-untyped-def]
    said("take-run", folder)
    said("take-bath", cellar, "--family", "acid sulfate")
    archive, new = folder.parent / "shop.zip", folder.parent / "new.db"
    said("export", archive)
    assert "there is a file of this name already" in said("export", archive, status=2)
    text = said("--at", new, "import", archive)
    assert text.startswith(f"The store is {new}")
    assert {"1 bath", "1 run", "11 events"} <= set(text.splitlines())
    assert "an archive goes into an empty one" in said("--at", new, "import", archive, status=2)
    assert "there is no file" in said("--at", new, "import", folder / "none.zip", status=2)


def test_faults_are_listed_and_told_by_the_status(said, cellar: Path, home: Path) -> None:  # type: ignore[no-untyped-def]
    import sqlite3
    from contextlib import closing

    said("take-bath", cellar, "--family", "acid sulfate")
    with closing(sqlite3.connect(home / "home" / "store.db")) as connection:
        connection.execute("UPDATE events SET line = replace(line, '43217.25', '4.25')")
        connection.commit()
    assert "the store has 1 fault; restore an export into a new store" in said("check", status=2)
