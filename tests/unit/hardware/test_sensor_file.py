"""A thermometer's file: the last number counts, an old or odd one does not."""

import os
from pathlib import Path

import pytest

from tankside.hardware.sensor_file import STALE_S, SensorFile


@pytest.mark.parametrize(
    ("content", "kelvin"),
    [
        ("24.5\n", 297.65),
        ("2026-03-01 18:30:05 24,5\n", 297.65),
        ("t=1 23.0\nt=2 24.0\n\n", 297.15),
        ("nothing\n", None),
        ("", None),
        ("2026-03-01 850.0\n", None),
    ],
)
def test_the_last_number_counts(tmp_path: Path, content: str, kelvin: float | None) -> None:
    path = tmp_path / "t.txt"
    path.write_text(content, "utf-8")
    value = SensorFile(path)()
    assert value == (None if kelvin is None else pytest.approx(kelvin))


def test_a_large_file_is_read_from_its_end(tmp_path: Path) -> None:
    path = tmp_path / "t.txt"
    path.write_text("20.0\n" * 100_000 + "25.0\n", "utf-8")
    assert SensorFile(path)() == pytest.approx(298.15)


def test_an_old_reading_is_none(tmp_path: Path) -> None:
    path = tmp_path / "t.txt"
    path.write_text("25.0\n", "utf-8")
    later = os.stat(path).st_mtime + STALE_S + 1
    assert SensorFile(path, now=lambda: later)() is None
    assert SensorFile(tmp_path / "missing.txt")() is None
