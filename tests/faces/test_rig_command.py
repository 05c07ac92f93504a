"""The rig command as a person and as a script meet it."""

import json
from pathlib import Path

import pytest

from tankside.main import run
from tests.faces.conftest import JOB, block_stl

FAST = ["--evaluations", "14", "--allow", "pose,turn", "--lean", "20", "--rigs", "2"]
CONTRACT = {
    "goal": str,
    "own": dict,
    "proposals": list,
    "pareto": list,
    "rules_of_thumb": list,
    "coated": bool,
    "evaluations": int,
    "refused": dict,
    "freedoms": list,
    "notes": list,
    "seconds": float,
}
NUMBERS = {
    "thinnest_um",
    "part_thinnest_um",
    "hours",
    "start_minutes",
    "cover_minutes",
    "collar_fraction",
    "start_failure",
    "wires",
    "copper_g",
    "copper_elsewhere_g",
    "spread",
    "current_A",
    "voltage_V",
    "burning_area_fraction",
}


@pytest.fixture
def lopsided(tmp_path: Path) -> Path:
    """A block in a corner, near one of its two anodes: there is something to gain."""
    job = JOB.replace('at = ["0 cm", "0 cm", "10 cm"]', 'at = ["-9 cm", "3 cm", "6 cm"]', 1)
    job = job.replace('near = ["0 cm", "0 cm", "12 cm"]', 'near = ["-9 cm", "3 cm", "8 cm"]')
    (tmp_path / "job.toml").write_text(job, "utf-8")
    (tmp_path / "block.stl").write_bytes(block_stl())
    return tmp_path


def test_better_rigs_come_back_with_jobs_that_can_be_planned(
    lopsided: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job, out, journal = (str(lopsided / name) for name in ("job.toml", "out", "done.jsonl"))
    arguments = ["rig", job, *FAST, "--json", "--out", out, "--resume", journal]
    assert run(arguments) == 0
    first = json.loads(capsys.readouterr().out)
    for key, kind in CONTRACT.items():
        assert isinstance(first[key], kind), key
    assert set(first["own"]) == NUMBERS
    best = first["proposals"][0]
    assert best["thinnest_um"] > 1.02 * first["own"]["thinnest_um"]
    assert set(best) >= NUMBERS | {"changes", "gains_and_costs", "jobs", "wires_needed"}
    written = {path.name for path in Path(out).iterdir()}
    assert written >= {"block.stl", "rig-own.svg", *best["jobs"]}
    for job_name in best["jobs"]:
        drawing = (Path(out) / job_name.replace(".toml", ".svg")).read_text("utf-8")
        assert "Rig drawing: job, rig 1" in drawing
        assert "part 1 under the liquid: " in drawing
    assert run(["plan", str(Path(out) / best["jobs"][0]), "--json", "--quiet"]) == 0
    plan = json.loads(capsys.readouterr().out)
    if len(best["jobs"]) == 1:
        assert plan["current_A"] == pytest.approx(best["current_A"], rel=0.03)
    again = ["rig", job, *FAST, "--quiet", "--resume", journal]
    assert run(again) == 0
    told = capsys.readouterr().out
    assert f"{best['thinnest_um']:.1f} µm" in told  # the same rigs, from the journal
    for words in ("your own", "rig 1", "RIG 1", "THE USUAL RULES", "common practice, no source"):
        assert words in told


@pytest.mark.parametrize(
    ("options", "status", "says"),
    [
        (["--goal", "thinest"], 2, "did you mean 'thinnest'"),
        (["--allow", "anode"], 2, "did you mean 'anodes'"),
        (["--evaluations", "3"], 2, "the number of evaluations is 3"),
        (["--minutes", "0"], 2, "the number of minutes is 0"),
        (["--rigs", "0"], 2, "the number of rigs is 0"),
        (["--workers", "0"], 2, "0 workers"),
        (["--within", "soon"], 2, "is not a time"),
        (["--regions", "none.toml"], 2, "there is no file"),
        (["--cluster", "tcp:/nowhere"], 2, "no Dask scheduler answers"),
    ],
)
def test_wrong_options_are_one_sentence(
    job_folder: Path,
    capsys: pytest.CaptureFixture[str],
    options: list[str],
    status: int,
    says: str,
) -> None:
    assert run(["rig", str(job_folder / "job.toml"), "--quiet", *options]) == status
    said = capsys.readouterr()
    assert says in said.err
    assert said.err.count("\n") == 1
    assert said.out == ""


def test_an_own_rig_that_cannot_hang_is_impossible(
    job_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    high = JOB.replace('at = ["0 cm", "0 cm", "10 cm"]', 'at = ["0 cm", "0 cm", "19 cm"]', 1)
    (job_folder / "job.toml").write_text(high, "utf-8")
    assert run(["rig", str(job_folder / "job.toml"), "--quiet", "--workers", "1"]) == 3
    assert "your own rig cannot be: part 1 reaches" in capsys.readouterr().err


def test_a_journal_of_something_else_is_refused(
    job_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    other = job_folder / "notes.txt"
    other.write_text("not yours\n", "utf-8")
    job = str(job_folder / "job.toml")
    assert run(["rig", job, "--quiet", "--resume", str(other)]) == 2
    assert "is not a journal" in capsys.readouterr().err
    assert other.read_text("utf-8") == "not yours\n"


def test_the_fewest_wires_of_a_coated_job_and_of_a_metal_one(
    lopsided: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = lopsided / "job.toml"
    assert run(["rig", str(job), "--wires", "--quiet"]) == 3
    assert "part 1 is metal" in capsys.readouterr().err
    seed = 'seed = { sheet_resistance = "10-40 ohm" }'
    job.write_text(job.read_text("utf-8").replace('surface = "metal"', seed), "utf-8")
    out = lopsided / "out"
    assert run(["rig", str(job), "--wires", "--quiet", "--json", "--out", str(out)]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["wires"] == len(found["places_m"]) == 1
    assert found["margins"]["high"] >= 1.25
    assert "Hold at" in " ".join(found["told"])
    text = (out / "wires.toml").read_text("utf-8")
    assert text.count("[[contact]]") == 1
    assert (out / "block.stl").exists()


def test_a_coated_parts_search_tells_each_rigs_start(
    lopsided: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = lopsided / "job.toml"
    coat = 'seed = { sheet_resistance = "1000-3000 ohm" }'
    job.write_text(job.read_text("utf-8").replace('surface = "metal"', coat), "utf-8")
    some = ["--evaluations", "14", "--allow", "contacts", "--rigs", "2", "--goal", "start"]
    journal = str(lopsided / "done.jsonl")
    assert run(["rig", str(job), *some, "--json", "--resume", journal]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["coated"] is True
    assert found["own"]["cover_minutes"] > found["own"]["start_minutes"] > 0
    assert 0 < found["own"]["collar_fraction"] <= 0.6
    best = found["proposals"][0]
    assert best["cover_minutes"] < found["own"]["cover_minutes"]
    assert best["wires"] > found["own"]["wires"] == 1
    assert any("Costs the mark of" in said for said in best["gains_and_costs"])
    assert any("wires instead of 1" in said for said in best["changes"])
    minutes = [point["cover_minutes"] for point in found["pareto"]]
    assert 0 < min(minutes) <= 1.2 * best["cover_minutes"]
    assert run(["rig", str(job), *some, "--quiet", "--resume", journal]) == 0
    told = capsys.readouterr().out
    for words in ("START", "coat covered", "collars bear", "wires", "poorest coat believed"):
        assert words in told, words
    late = ["--evaluations", "8", *some[2:], "--start-within", "1 s", "--resume", journal, "--json"]
    assert run(["rig", str(job), *late]) == 0
    never = json.loads(capsys.readouterr().out)
    assert never["proposals"] == []
    assert "may take" in never["own"]["start_failure"]
    assert never["refused"]["copper does not cover the coat in time"] >= 8


def test_a_start_is_not_asked_of_metal(lopsided: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rig", str(lopsided / "job.toml"), *FAST, "--goal", "start", "--quiet"]) == 2
    assert "every part of the job is metal" in capsys.readouterr().err
