"""tankside diagnose, as a person and as a script meet it."""

import io
import json
from pathlib import Path

import pytest

from tankside.main import run
from tests.faces.conftest import JOB, block_stl


def test_a_script_gets_one_json_object(capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["diagnose", "--seen", "bare-pocket", "--answer", "tilt=yes", "--json"]
    assert run(arguments) == 0
    reply = json.loads(capsys.readouterr().out)
    assert reply["verdict"] == "answer"
    first = reply["causes"][0]
    assert first["id"] == "air-pocket"
    assert 0.0 <= first["to_blame"]["low"] <= first["to_blame"]["best"] <= first["to_blame"]["high"]
    assert {"what", "log_odds"} == set(first["evidence"][0])
    assert {"id", "kind", "question", "materials", "effort_s", "information_bit", "yes_chance"} == (
        set(reply["next"][0])
    )
    assert reply["advice"][0]["remedy"] == "pocket-vented"
    assert any("water" in caution for caution in reply["cautions"])


def test_the_record_is_a_page_with_cautions_before_advice(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "finial.txt"
    arguments = ["diagnose", "--seen", "dull-all-over,pits", "--value", "chloride=20 mg/L"]
    assert run([*arguments, "--value", "temperature=22-25 degC", "--record", str(page)]) == 0
    text = capsys.readouterr().out
    assert page.read_text("utf-8") == text
    assert max(len(line) for line in text.splitlines()) <= 88
    heads = ["DIAGNOSIS", "SEEN AND MEASURED", "LIKELY CAUSES", "BEFORE YOU DO", "WHAT TO DO"]
    places = [text.index(head) for head in heads]
    assert places == sorted(places)
    assert "chloride 20 (16 to 24) mg/L" in text
    assert "bath temperature 23.5 (22 to 25) °C" in text


def test_the_dialogue_asks_until_it_knows(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed = "copper stops half way, bare far from the wire\n1\n\n" + "y\n" * 12
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    assert run(["diagnose"]) == 0
    said = capsys.readouterr().out
    assert "bare-far" in said
    assert "Most likely" in said
    assert "WHAT TO DO" in said


def test_the_dialogue_can_be_left_at_any_place(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for typed in ("", "\n", "stop\n", "xyzzy\n", "pits\n", "pits\n1\n\n", "pits\n1\n\nhm\n?\nq\n"):
        monkeypatch.setattr("sys.stdin", io.StringIO(typed))
        assert run(["diagnose"]) == 0
    assert "nothing to diagnose" in capsys.readouterr().out


def test_the_list_names_every_fault(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["diagnose", "--list"]) == 0
    assert "burnt-edges" in capsys.readouterr().out


def test_a_job_and_a_place_speak_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "block.stl").write_bytes(block_stl())
    job = tmp_path / "job.toml"
    job.write_text(JOB, "utf-8")
    arguments = ["diagnose", "--seen", "burnt-edges", "--job", str(job)]
    assert run([*arguments, "--at", "2 cm, 2 cm, 10 cm", "--json"]) == 0
    reply = json.loads(capsys.readouterr().out)
    told = [one["what"] for cause in reply["causes"] for one in cause["evidence"]]
    assert any("fraction of copper's limit at that place" in what for what in told)
    assert any("from the plan" in what for what in told)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--json"], "--json needs --seen"),
        (["--seen", "burnt-edge"], "did you mean 'burnt-edges'"),
        (["--seen", "pits", "--answer", "tilt"], "write NAME=VALUE"),
        (["--seen", "pits", "--answer", "tilt=maybe"], "is no answer"),
        (["--seen", "pits", "--answer", "tlit=yes"], "did you mean 'tilt'"),
        (["--seen", "pits", "--answer", "pits=no"], "answered twice"),
        (["--seen", "pits", "--value", "chlorid=20 mg/L"], "did you mean 'chloride'"),
        (["--seen", "pits", "--value", "chloride=20"], "no unit"),
        (["--seen", "pits", "--value", "chloride=-3 mg/L"], "zero or more"),
        (["--seen", "pits", "--value", "current_ratio=2 A"], "plain ratio"),
        (["--seen", "pits", "--value", "charge_since_filter=8 Ah"], "charge by volume"),
        (["--seen", "pits", "--value", "chloride=70-40 mg/L"], "lower number first"),
        (["--seen", "pits", "--family", "acidic"], "bath family"),
        (["--seen", "pits", "--at", "edges"], "needs the job"),
        (["--seen", "pits", "--at", "1 cm, 2 cm"], "three lengths"),
        (["--answer", "tilt=yes"], "no fault is named"),
    ],
)
def test_bad_input_is_one_sentence(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["diagnose", *arguments]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert words in captured.err
    assert captured.err.count("\n") == 1
