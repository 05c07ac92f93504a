"""The README tells the truth: its program runs, its commands exist."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")


def program() -> str:
    return re.findall(r"```python\n(.*?)```", README, re.DOTALL)[0]


def test_the_program_is_at_most_30_lines() -> None:
    assert len(program().splitlines()) <= 30


def test_the_program_runs_and_tells_the_plan(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    exec(compile(program(), "README.md", "exec"), {})
    said = capsys.readouterr().out
    amps = float(re.findall(r"set ([\d.]+) A", said)[0])
    hours = float(re.findall(r"for ([\d.]+) h", said)[0])
    grams = float(re.findall(r"and ([\d.]+) g", said)[0])
    # 1.186 g of copper per ampere-hour (Faraday's law with the CODATA constants)
    assert grams == pytest.approx(1.186 * amps * hours, rel=0.05)


def test_the_first_two_commands_are_demo_and_test() -> None:
    first = re.findall(r"```sh\n(.*?)```", README, re.DOTALL)[0].splitlines()
    assert first[0].startswith("python3 dev.py demo")
    assert first[1].startswith("python3 dev.py test")


@pytest.mark.parametrize("page", re.findall(r"\]\(([^)#]+)\)", README))
def test_links_lead_somewhere(page: str) -> None:
    assert (ROOT / page).exists()
