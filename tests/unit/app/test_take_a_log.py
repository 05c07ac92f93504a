"""A logger's file becomes the samples of a run; what it cannot be is said in one sentence."""

from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import trapezoid

from tankside.app.order_a_run import as_json
from tankside.app.show_a_run import show_a_run
from tankside.app.take_a_log import LogRequest, read_a_log, take_a_log
from tankside.base.errors import BadInput
from tankside.main import run
from tankside.runs.series import longest_gap_of
from tankside.runs.states import Stage
from tankside.storage.run_folder import RunFolder
from tests.unit.app.test_order_a_run import ORDER


def log(minutes: int = 120, start: str = "2026-03-01T18:00", sign: str = ".") -> bytes:
    """A logger that writes each minute, with dates."""
    times = np.datetime64(start) + np.arange(minutes) * np.timedelta64(60, "s")
    rows = [
        f"{time};{1.1 + 0.001 * k:.3f};{2000 - k}".replace(".", sign)
        for k, time in enumerate(times)
    ]
    return "\n".join(["Date;U (V);I_mA", *rows]).encode()


def test_it_is_taken_in_and_adds_up(tmp_path: Path) -> None:
    keeper = RunFolder.begun(tmp_path / "run", as_json(ORDER))
    reply = read_a_log(LogRequest(content=log(), name="log.csv"))
    assert (reply.columns.current, reply.columns.current_factor) == ("I_mA", 1e-3)
    state = take_a_log(keeper, reply, ended=True)
    assert state.stage is Stage.ENDED
    shown = show_a_run(ORDER, keeper)
    expected = trapezoid((2000 - np.arange(120)) / 1000, dx=60.0)  # scipy
    assert shown.charge == pytest.approx(expected, rel=1e-4)
    assert shown.totals.gaps == 0


def test_decimal_commas_and_hours_without_samples() -> None:
    content = log(60, sign=",") + b"\n" + log(60, "2026-03-01T21:00", ",").split(b"\n", 1)[1]
    reply = read_a_log(LogRequest(content=content, name="log.csv"))
    assert longest_gap_of(reply.series) == pytest.approx(180.0)
    assert reply.totals.gaps == 1
    assert reply.totals.unknown == pytest.approx(2 * 3600 + 60)
    assert "1 gap, 121 min in all" in reply.text()


def test_a_second_file_goes_behind_the_first(tmp_path: Path) -> None:
    keeper = RunFolder.begun(tmp_path / "run", as_json(ORDER))
    first, second = (
        read_a_log(LogRequest(content=log(60, start), name="log.csv"))
        for start in ("2026-03-01T18:00", "2026-03-01T19:00")
    )
    take_a_log(keeper, first, ended=False)
    with pytest.raises(BadInput, match="begins before the last sample"):
        take_a_log(keeper, first, ended=True)
    take_a_log(keeper, second, ended=True)
    assert len(keeper.series()) == 120
    with pytest.raises(BadInput, match="has ended already"):
        take_a_log(keeper, second, ended=True)


COUNTED = b"seconds,volts,amps\n0,1.1,2\n1,1.1,2\n2,1.1,2\n"


def test_a_log_that_counts_needs_its_beginning() -> None:
    with pytest.raises(BadInput, match="say when that was"):
        read_a_log(LogRequest(content=COUNTED, name="log.csv"))
    reply = read_a_log(LogRequest(content=COUNTED, name="log.csv", start="2026-03-01 18:30"))
    assert reply.totals.charge == pytest.approx(4.0)
    with pytest.raises(BadInput, match="no moment"):
        read_a_log(LogRequest(content=COUNTED, name="log.csv", start="yesterday"))
    with pytest.raises(BadInput, match="holds dates"):
        read_a_log(LogRequest(content=log(), name="log.csv", start="2026-03-01 18:30"))


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"seconds,volts,amps\n5,1,2\n4,1,2\n", "log.csv: the time of sample 2"),
        (b"seconds,volts,amps\n5,1,2\n6,1,x\n", "log.csv, line 3: 'x' is not a number"),
        (b"when,volts,amps\n5,1,2\n", "no column for the time"),
        (b"seconds,volts,amps\n", "a line of heads and a line of values"),
        (b"\x00\x01", "a line of heads"),
    ],
)
def test_what_is_no_log_is_refused(content: bytes, told: str) -> None:
    with pytest.raises(BadInput) as caught:
        read_a_log(LogRequest(content=content, name="log.csv", start="2026-03-01 18:30"))
    assert told in str(caught.value)


def test_on_the_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    RunFolder.begun(tmp_path / "run", as_json(ORDER)).close()
    (tmp_path / "log.csv").write_bytes(log())
    words = ["run", "log", str(tmp_path / "run"), str(tmp_path / "log.csv")]
    assert run([*words, "--look"]) == 0
    assert "120 samples" in capsys.readouterr().out
    assert run([*words, "--time", "Date"]) == 2
    assert "name all three columns" in capsys.readouterr().err
    assert run([*words, "--time", "Date", "--volts", "U (V)", "--amps", "I_mA", "--ended"]) == 0
    assert "the run is ended" in capsys.readouterr().out
