"""The commands as a person and as a script meet them."""

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tankside.main import run

CONTRACT = {
    "current_A": float,
    "hours": float,
    "charge_Ah": float,
    "copper_g": float,
    "area_m2": float,
    "current_density_A_m2": dict,
    "thickness_um": dict,
    "voltage_V": dict,
    "burning_area_fraction": float,
    "bare_area_fraction": float,
    "wagner_number": float,
    "checks": dict,
    "panels": int,
    "seconds": float,
    "cautions": list,
    "assumptions": list,
    "sources": list,
}
"""The stable keys of the JSON reply and their types."""


@pytest.fixture
def reply(job_folder: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    arguments = ["plan", str(job_folder / "job.toml"), "--json", "--out", str(job_folder / "out")]
    assert run(arguments) == 0
    return dict(json.loads(capsys.readouterr().out))


def test_the_reply_keeps_the_contract(reply: dict[str, object], job_folder: Path) -> None:
    for key, kind in CONTRACT.items():
        assert isinstance(reply[key], kind), key
    assert set(reply["thickness_um"]) >= {"mean", "min", "p05", "p95", "max"}  # type: ignore[call-overload]
    assert set(reply["current_density_A_m2"]) >= {"mean", "min", "max"}  # type: ignore[call-overload]
    assert set(reply["voltage_V"]) >= {"total", "anode", "solution", "cathode", "leads"}  # type: ignore[call-overload]
    assert set(reply["checks"]) >= {"charge_balance", "mass_balance"}  # type: ignore[call-overload]
    names = {path.name for path in (job_folder / "out").iterdir()}
    assert {"map.glb", "map.vtu", "plan.pdf", "panels.parquet", "rig.svg"} <= names


def test_help_names_every_command() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tankside", "--help"], capture_output=True, text=True, check=True
    )
    for command in ("plan", "part", "check", "demo", "schema"):
        assert f"  {command} " in done.stdout


def test_schema_is_the_job_files_schema(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["schema"]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert set(schema["required"]) >= {"bath", "tank", "anode", "part", "contact", "supply", "goal"}


@pytest.mark.skipif(sys.platform == "win32", reason="Windows sends ctrl-C to the whole console")
def test_ctrl_c_is_one_sentence_and_leaves_nothing(job_folder: Path) -> None:
    out, job = job_folder / "out", str(job_folder / "job.toml")
    for seconds in (2.0, 6.0, 20.0):  # a busy machine is still starting, and dies of the signal
        work = subprocess.Popen(
            [sys.executable, "-m", "tankside", "plan", job, "--out", str(out)],
            stderr=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            preexec_fn=lambda: signal.signal(
                signal.SIGINT, signal.SIG_DFL
            ),  # a shell may ignore it
        )
        time.sleep(seconds)
        work.send_signal(signal.SIGINT)
        said, told = work.communicate(timeout=60)
        if work.returncode != -signal.SIGINT:
            break
    assert work.returncode == 130
    assert said == ""
    assert told == "tankside: stopped; nothing was written\n"
    assert not out.exists()


def test_a_light_print_floats_and_a_solid_one_sinks(
    job_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    part = ["part", str(job_folder / "block.stl"), "--unit", "mm", "--json"]
    assert run(part) == 0
    solid = json.loads(capsys.readouterr().out)["buoyancy"]
    assert run([*part, "--infill", "0.15"]) == 0
    light = json.loads(capsys.readouterr().out)["buoyancy"]
    assert not solid["floats"]
    assert light["floats"]
    # a cube of 40 mm: 64 mL of PLA at 1.24 g/mL, in a bath of 1.16 g/mL
    assert solid["mass_kg"] == pytest.approx(0.064 * 1.24, rel=1e-3)
    assert light["displaced_mass_kg"] == pytest.approx(0.064 * 1.16, rel=1e-3)


def test_a_bad_infill_is_one_sentence(job_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["part", str(job_folder / "block.stl"), "--unit", "mm", "--infill", "7"]) == 2
    assert "infill of 7" in capsys.readouterr().err
