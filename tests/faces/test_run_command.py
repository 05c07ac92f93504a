"""tankside run, from a plan to an audit: on the simulated supply with a fault, and by hand."""

import io
import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from tankside.main import run
from tests.faces.conftest import JOB, block_stl


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("run")
    job = JOB.replace('thickness = "50 um"', 'thickness = "5 um"')
    (folder / "job.toml").write_text(job, "utf-8")
    (folder / "block.stl").write_bytes(block_stl())
    assert run(["run", "begin", str(folder / "a"), str(folder / "job.toml"), "--quiet"]) == 0
    return folder


def copied(begun: Path, name: str) -> Path:
    target = begun / name
    target.mkdir()
    for file in ("order.json", "samples.csv"):
        (target / file).write_bytes((begun / "a" / file).read_bytes())
    return target


def test_carried_out_shown_and_audited(begun: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = copied(begun, "whole")
    go = ["run", "go", str(folder), "--supply", "simulated", "--hurry", "200", "--yes"]
    assert run(go) == 0
    assert "The run has ended." in capsys.readouterr().out
    assert run(["run", "show", str(folder), "--json"]) == 0
    shown = json.loads(capsys.readouterr().out)
    assert shown["stage"] == "ended"
    assert shown["share"] == pytest.approx(1.0, abs=0.02)
    assert not shown["alarms"]
    gain = shown["copper_g"] * 0.97
    audit = ["run", "audit", str(folder), "--before", "80 g", "--after", f"{80 + gain:.3f} g"]
    assert run([*audit, "--scale", "0.001 g", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["copper_mass_kg"]["best"] == pytest.approx(
        1e-3 * gain, rel=0.01
    )
    prices = ["--copper", "12 EUR/kg", "--electricity", "0.3 EUR/kWh"]
    assert run(["run", "cost", str(folder), *prices, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["known"] > 0
    target = folder / "record.pdf"
    assert run(["run", "record", str(folder), str(target), *audit[3:], *prices]) == 0
    text = " ".join(page.extract_text() for page in PdfReader(target).pages)
    for words in ("Run record: block", "What came out", "What it cost", "plating started"):
        assert words in text
    capsys.readouterr()
    assert run(go) == 2
    assert "has ended already" in capsys.readouterr().err


def test_a_fault_pauses_it_and_it_goes_on(begun: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = copied(begun, "fault")
    go = ["run", "go", str(folder), "--supply", "simulated", "--hurry", "60", "--yes"]
    assert run([*go, "--fault", "lost contact@200 s"]) == 0
    out = capsys.readouterr().out
    assert "CONTACT LOST" in out
    assert "Paused; the output is off." in out
    go[go.index("60")] = "200"
    assert run(go) == 0
    assert "The run has ended." in capsys.readouterr().out


def test_by_hand(
    begun: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = copied(begun, "hand")
    typed = io.StringIO("\n0.3 1,0\nnonsense\n900 1\np\n\ne\n")
    monkeypatch.setattr("sys.stdin", typed)
    assert run(["run", "hand", str(folder)]) == 0
    out = capsys.readouterr().out
    assert "switch on" in out
    assert "Ah so far" in out
    assert "Type two numbers" in out
    assert "are not readings of a bench supply" in out
    assert "Paused." in out
    assert run(["run", "hand", str(folder)]) == 0
    assert run(["run", "show", str(folder)]) == 0
    assert "ended" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "told", "status"),
    [
        (["go", "nowhere", "--supply", "simulated"], "no run is in this folder", 2),
        (["show", "nowhere"], "no run is in this folder", 2),
        (["fly", "nowhere"], "invalid choice", 2),
        (["hand", "{a}", "--volts", "2 V"], "give both --volts and --amps", 2),
        (["hand", "{a}", "--volts", "2", "--amps", "1 A"], "has no unit", 2),
        (["go", "{a}", "--supply", "simulated", "--fault", "gremlins@3 s"], "gremlins", 2),
        (["audit", "{a}", "--before", "1 g", "--after", "2 g"], "laid nothing down", 2),
        (["go", "{a}", "--supply", "TCPIP::127.0.0.1::1::SOCKET"], "refused", 1),
    ],
)
def test_bad_input_is_one_sentence(
    words: list[str],
    told: str,
    status: int,
    begun: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(begun)
    words = [word.replace("{a}", "a") for word in words]
    assert run(["run", *words]) == status
    error = capsys.readouterr().err
    assert told in error
    assert error.count("\n") == 1


def test_a_second_run_in_one_folder_is_refused(
    begun: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["run", "begin", str(begun / "a"), str(begun / "job.toml"), "--quiet"]) == 2
    assert "a run is in this folder already" in capsys.readouterr().err
