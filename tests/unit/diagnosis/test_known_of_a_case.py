"""tankside diagnose with a ledger, a run's folder, a panel, a photo, and pictures."""

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tankside.app.known_of_a_case import known_of_bath, known_of_run, warmed
from tankside.app.order_a_run import Order
from tankside.app.run_ports import HardLimits
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.main import run
from tankside.runs import events as e
from tankside.runs.audit import Believed
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe, Setting
from tankside.storage.ledger_file import LedgerFile
from tankside.storage.run_folder import RunFolder
from tests.unit.bath.inventory.shelf import BOTTLES, make_up
from tests.unit.diagnosis.panel.rendered import photo

HOUR = 3600.0
START = 1.7e9
WORN = "burnt 0-2.2 cm, bright 2.2-5 cm, dull 5-10.1 cm"
GOOD = "burnt 0-0.9 cm, bright 0.9-8.5 cm, dull 8.5-10.1 cm"


def ordered() -> Order:
    one = Interval(0.9, 0.95, 1.0)
    return Order(
        title="lantern",
        recipe=Recipe(
            settings=(
                Setting(current=0.5, voltage_limit=3.0, duration=600.0),
                Setting(current=2.0, voltage_limit=3.0, duration=3 * HOUR),
            )
        ),
        expected=Expected(
            charge=np.array([0.0, 1e5]),
            current=np.array([2.0]),
            voltage=np.full((2, 1), 1.5),
            spread=0.2,
        ),
        believed=Believed(efficiency=one, share=one, area=Interval.about(0.01, 0.1)),
        limits=HardLimits(current=3.0, voltage=5.0),
        planned_mass=1e-3,
        planned_thickness=1e-4,
    )


class Kept:
    """A run's keeper in memory: three hours at twice the planned amps, warm, one long break."""

    def __init__(self) -> None:
        self._events = (
            e.Begun(at=START),
            e.Immersed(at=START),
            e.PoweredOn(at=START + 300.0),
            e.RampStarted(at=START + 300.0),
            e.Set(at=START + 300.0, current=4.0, voltage_limit=3.0, number=0),
        )

    def events(self) -> tuple[e.Event, ...]:
        return self._events

    def series(self) -> "object":
        from tankside.runs.series import Series

        time = np.arange(START + 300.0, START + 3 * HOUR, 10.0)
        even = np.ones_like(time)
        return Series(time=time, voltage=1.5 * even, current=4.0 * even, temperature=303.0 * even)


def test_the_log_gives_amps_waits_and_warmth() -> None:
    numbers, temperature = known_of_run(ordered(), Kept())  # type: ignore[arg-type]
    assert numbers.current_ratio is not None
    assert numbers.current_ratio.best == pytest.approx(2.0, rel=0.01)
    assert numbers.unpowered_before_start == Interval.exact(300.0)
    assert numbers.start_current_share is not None, "a ramp means a bare coat"
    assert numbers.run_thickness is not None
    assert temperature is not None
    assert temperature.best == pytest.approx(303.0)
    assert warmed(None, temperature).temperature == temperature


@pytest.fixture(scope="module")
def ledger(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("bath") / "bath.jsonl"
    LedgerFile(path).append((*BOTTLES, make_up()))
    return path


def test_an_empty_ledger_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="--ledger"):
        known_of_bath(LedgerFile(tmp_path / "none.jsonl"))


def told(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    assert run(["diagnose", *arguments, "--json"]) == 0
    found: dict[str, object] = json.loads(capsys.readouterr().out)
    return found


def test_the_ledger_speaks_from_its_file(ledger: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["diagnose", "--seen", "dull-all-over", "--ledger", str(ledger)]) == 0
    page = capsys.readouterr().out
    assert "from the estimate of the bath" in page
    assert "copper sulfate pentahydrate" in page


def test_a_panel_speaks_and_is_compared(ledger: Path, capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["--seen", "dull-low", "--panel", WORN, "--panel-current", "2 A"]
    reply = told([*arguments, "--panel-before", GOOD, "--ledger", str(ledger)], capsys)
    panel = reply["panel"]
    assert isinstance(panel, dict)
    assert panel["additive"] == "dull"
    assert panel["trend"]["bright_ratio"]["high"] < 0.5
    assert panel["bright_down_to"]["field_over_formula"] > 1.0
    assert len(panel["along"]) > 15


def test_the_record_is_a_pdf_by_its_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "record.pdf"
    arguments = ["diagnose", "--seen", "pits", "--record", str(page), "--title", "lantern"]
    assert run(arguments) == 0
    assert page.read_bytes().startswith(b"%PDF")
    assert "DIAGNOSIS" in capsys.readouterr().out


def test_pictures_are_written_to_pick_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["diagnose", "--pictures", str(tmp_path / "faults")]) == 0
    assert (tmp_path / "faults" / "burnt-collar.svg").is_file()
    assert len(list((tmp_path / "faults").iterdir())) == 61
    assert "60 pictures" in capsys.readouterr().out


def test_a_photo_proposes_zones(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one = photo(3)
    path = tmp_path / "panel.png"
    Image.fromarray(np.round(one.picture * 255).astype(np.uint8)).save(path)
    corners = " ".join(f"{x:.1f},{y:.1f}" for x, y in one.corners)
    assert run(["diagnose", "--panel-photo", str(path), "--panel-corners", corners]) == 0
    page = capsys.readouterr().out
    assert page.count("lightness") == len(one.looks)
    assert "name each stretch" in page


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--seen", "pits", "--panel", "bright 0-5 cm"], "--panel-current"),
        (["--seen", "pits", "--panel-current", "2 A"], "name the zones"),
        (["--seen", "pits", "--panel-before", GOOD], "name the zones"),
        (
            ["--seen", "pits", "--panel", "shiny 0-5 cm", "--panel-current", "2 A"],
            "look of a panel",
        ),
        (["--seen", "pits", "--panel", "", "--panel-current", "2 A"], "no zone is named"),
        (["--seen", "pits", "--panel", GOOD, "--panel-current", "2"], "no unit"),
        (["--seen", "pits", "--panel", GOOD, "--panel-current", "-2 A"], "up to 20 A"),
        (
            ["--seen", "pits", "--panel", GOOD, "--panel-current", "2 A", "--panel-minutes", "x"],
            "--panel-minutes",
        ),
        (
            ["--seen", "pits", "--panel", GOOD, "--panel-current", "2 A", "--panel-cell", "1 L"],
            "test cell",
        ),
        (["--seen", "pits", "--ledger", "nowhere.jsonl"], "ledger is empty or not there"),
        (["--seen", "pits", "--run", "nowhere"], "no run is in this folder"),
        (["--panel-photo", "nowhere.png"], "four corners"),
        (["--panel-photo", "nowhere.png", "--panel-corners", "1,2 3,4 5,6 7,8"], "no such file"),
    ],
)
def test_bad_input_is_one_sentence(
    arguments: list[str],
    words: str,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["diagnose", *arguments]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert words in captured.err
    assert captured.err.count("\n") == 1


@pytest.mark.parametrize(
    "corners", ["1,2 3,4", "1,2 3,4 5,6 a,b", "1 2 3 4", "1,2,3 4,5,6 7,8,9 1,2,3"]
)
def test_corners_that_are_none(
    corners: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "panel.png"
    Image.new("RGB", (300, 200)).save(path)
    assert run(["diagnose", "--panel-photo", str(path), "--panel-corners", corners]) == 2
    assert "--panel-corners" in capsys.readouterr().err


def test_a_run_s_folder_speaks(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from tankside.app.order_a_run import as_json

    kept = RunFolder.begun(tmp_path / "run", dict(as_json(ordered())))
    kept.add_events(Kept().events())
    for second in range(300, 4000, 20):
        kept.add_sample(START + second, 1.5, 4.0, 303.0)
    kept.close()
    assert run(["diagnose", "--seen", "burnt-edges", "--run", str(tmp_path / "run")]) == 0
    page = capsys.readouterr().out
    assert "amps set over amps planned 2" in page
    assert "bath temperature 29.9" in page
