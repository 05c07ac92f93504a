"""Paper from the command line: mixing sheet, label, titration, record."""

from pathlib import Path

import pytest
from pypdf import PdfReader

from tankside.main import run


def words(path: Path) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())


def test_every_sheet_of_the_workshops_bath(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["bath", "example", "."]) == 0
    assert run(["bath", "make", "bath.toml", "--note", "bath.jsonl", "--sheet", "mix.pdf"]) == 0
    assert "The steps, in this order" in words(tmp_path / "mix.pdf")
    label = ["bath", "label", "Tank 1", "--ledger", "bath.jsonl", "--copies", "2"]
    assert run([*label, "--sheet", "label.pdf", "--paper", "us-letter"]) == 0
    assert words(tmp_path / "label.pdf").count("Tank 1") == 2
    for what, strength in (("copper", "0.1 mol/L"), ("acid", "1 mol/L")):
        asked = ["bath", "titrate", what, "--plan", "--expect", "50 g/L", "--titrant", strength]
        assert run([*asked, "--sheet", f"{what}.pdf"]) == 0
        assert "From the reading to the bath" in words(tmp_path / f"{what}.pdf")
    note = ["bath", "note", "bath.jsonl", "top-up", "water=distilled water", "volume=500 mL"]
    assert run(note) == 0
    assert run(["bath", "state", "bath.jsonl", "--sheet", "record.pdf"]) == 0
    text = words(tmp_path / "record.pdf")
    for word in ("What is in the bath", "Over time", "topped up", "made up"):
        assert word in text
    assert "The sheet is in record.pdf" in capsys.readouterr().err


def test_doses_rinses_and_the_end_on_paper(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["bath", "example", "."]) == 0
    was = ["volume=8 ± 0.1 L", "copper=55 ± 1 g/L", "sulfuric_acid=20 ± 1 g/L"]
    assert run(["bath", "note", "bath.jsonl", "take-over", *was, "chloride=70 ± 5 mg/L"]) == 0
    assert run(["bath", "dose", "bath.jsonl", "shelf.toml", "--sheet", "dose.pdf"]) == 0
    text = words(tmp_path / "dose.pdf")
    assert text.index("Read this first") < text.index("of battery acid, by")
    assert "Done by" in text
    rinse = ["bath", "rinse", "--area", "9 dm^2", "--copper", "50 g/L", "--acid", "58 g/L"]
    tubs = ["--still", "4 L", "--still", "4 L", "--parts", "30"]
    assert run([*rinse, *tubs, "--sheet", "rinse.pdf"]) == 0
    text = words(tmp_path / "rinse.pdf")
    assert "thin enough for 55 parts" in text  # as docs/bath-guide.md has it
    assert text.index("never down a drain") < text.index("What goes out")
    retire = ["bath", "retire", "--ledger", "bath.jsonl", "--cement", "--sheet", "end.pdf"]
    assert run([*retire, "--hand-over", "over.pdf", "--paper", "us-letter"]) == 0
    text = words(tmp_path / "end.pdf")
    assert text.index("Read this first") < text.index("steel wool") < text.index("sludge, dry")
    text = words(tmp_path / "over.pdf")
    assert "never for a drain" in text
    assert "Taken by" in text
    assert "sludge, dry" not in text
    assert "The sheet is in over.pdf" in capsys.readouterr().err


def test_a_place_that_cannot_be_written_to_is_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "file").write_text("x")
    label = ["bath", "label", "Tank 1", "--grade", "salt, table", "--sheet", "file/label.pdf"]
    assert run(label) == 2
    error = capsys.readouterr().err
    assert "cannot write there" in error
    assert error.count("\n") == 1
