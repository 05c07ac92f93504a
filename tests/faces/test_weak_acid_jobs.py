"""Jobs in weak acid are planned like any other, and throw less than the same job in strong acid."""

import json
from pathlib import Path

import pytest

from tankside.main import run

ACID = """family = "acid sulfate"
copper_sulfate_pentahydrate = "75 g/L"
sulfuric_acid = "190 g/L"
"""
CITRATE = """family = "citrate"
copper_sulfate_pentahydrate = "50 g/L"
citric_acid = "60 g/L"
"""


def planned(folder: Path, capsys: pytest.CaptureFixture[str], bath: str) -> dict[str, object]:
    job = folder / "job.toml"
    text = job.read_text("utf-8")
    assert ACID in text
    text = text.replace(ACID, bath).replace('thickness = "50 um"', 'thickness = "20 um"')
    text = text.replace("[goal]\n", '[goal]\ncurrent = "0.4 A"\n').replace('"8 V"', '"20 V"')
    changed = folder / "changed.toml"
    changed.write_text(text, "utf-8")
    assert run(["plan", str(changed), "--json"]) == 0
    return dict(json.loads(capsys.readouterr().out))


def test_a_citrate_job_is_planned_and_throws_less(
    job_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    weak = planned(job_folder, capsys, CITRATE)
    strong = planned(job_folder, capsys, ACID)
    assert weak["current_A"] == strong["current_A"] == 0.4
    assert weak["wagner_number"] < 0.1 * strong["wagner_number"]  # type: ignore[operator]
    assert weak["checks"]["charge_balance"] < 1e-6  # type: ignore[index]
    spread = [
        plan["thickness_um"]["p95"] / plan["thickness_um"]["p05"]  # type: ignore[index]
        for plan in (weak, strong)
    ]
    assert spread[0] > spread[1] + 0.1
    assert weak["voltage_V"]["solution"] > 5.0 * strong["voltage_V"]["solution"]  # type: ignore[index]
    assert any("pH is computed" in text for text in weak["assumptions"])  # type: ignore[attr-defined]
    assert any("PHREEQC" in text for text in weak["sources"])  # type: ignore[attr-defined]
