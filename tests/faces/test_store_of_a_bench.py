"""Shelf, tank, supply and readings of a coat go into the store by a command each."""

from contextlib import closing
from pathlib import Path

import pytest

from tankside.app.bath.example_bath import example_files
from tankside.app.keep.keep_a_plan import PlanToKeep, keep_a_plan
from tankside.main import run
from tankside.storage.local_files import LocalFiles
from tankside.storage.store.opening import opened
from tests.faces.conftest import JOB, block_stl


@pytest.fixture
def place(tmp_path: Path) -> Path:
    (tmp_path / "job.toml").write_text(JOB, "utf-8")
    (tmp_path / "block.stl").write_bytes(block_stl())
    (tmp_path / "shelf.toml").write_bytes(example_files()["shelf.toml"])
    return tmp_path


def store(place: Path, *words: str) -> int:
    return run(["store", "--at", str(place / "s.db"), *words])


def test_a_bench_is_kept_and_changes_are_revisions(
    place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert store(place, "shelf", str(place / "shelf.toml")) == 0
    assert "battery acid" in capsys.readouterr().out
    assert store(place, "tank", "long tank", str(place / "job.toml")) == 0
    for amps in ("5 A", "5 A", "3 A"):
        assert store(place, "supply", "bench", "--current", amps, "--voltage", "30 V") == 0
    assert "revision 2" in capsys.readouterr().out
    with closing(opened(str(place / "s.db"), {})) as held:
        assert {one.name for one in held.products.all()} >= {"blue crystals", "battery acid"}
        assert "liquid_depth" in held.tanks.get("long tank").value.table
        supply = held.supplies.get("bench")
        assert [one.value.current_limit for one in held.supplies.history(supply.id)] == [5.0, 3.0]


def test_a_coats_reading_stays_with_its_part(place: Path) -> None:
    with closing(opened(str(place / "s.db"), {})) as held:
        keep_a_plan(
            held,
            "block",
            PlanToKeep(
                job_text=JOB,
                job_name="job.toml",
                files=LocalFiles(place),
                reply={"made_by": "Tankside 0.1.0"},
                sheets={},
            ),
        )
    assert store(place, "seed", "block", "80-120 ohm", "--place", "rim") == 0
    with closing(opened(str(place / "s.db"), {})) as held:
        (reading,) = held.parts.get("block").value.seeds
    assert (reading.place, reading.sheet_resistance.low) == ("rim", 80.0)
    assert reading.sheet_resistance.high == 120.0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["supply", "bench", "--current", "5", "--voltage", "30 V"], "has no unit"),
        (["supply", "bench", "--current", "0 A", "--voltage", "30 V"], "above zero"),
        (["supply", " ", "--current", "5 A", "--voltage", "30 V"], "give it a name"),
        (["tank", "long tank", "{}/shelf.toml"], "shelf.toml"),
        (["shelf", "{}/job.toml"], "job.toml"),
        (["seed", "block", "80 ohm"], "no part"),
        (["supply", "b", "--current", "5 A", "--voltage", "9 V", "--declaration", "{}/x"], "x"),
    ],
)
def test_what_cannot_be_kept_is_one_sentence(
    words: list[str], told: str, place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert store(place, *(word.replace("{}", str(place)) for word in words)) == 2
    error = capsys.readouterr().err
    assert told in error
    assert error.count("\n") == 1
