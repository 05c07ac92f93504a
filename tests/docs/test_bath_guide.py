"""The guide to the bath tells the truth: its commands run, in order, and print what it shows.

Words must be those that are printed; numbers may differ by a tenth, so that a law can be mended
without the page; dates that are computed may move.
"""

import re
import shlex
from dataclasses import dataclass
from pathlib import Path

import pytest

from tankside.cli.bath.options import ACTIONS
from tankside.main import run

GUIDE = (Path(__file__).parents[2] / "docs" / "bath-guide.md").read_text("utf-8")
TOLERANCE = 0.1
NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")
DATE = re.compile(r"\d{4}-\d\d-\d\d")


@dataclass(frozen=True)
class Shown:
    """Commands, and what the page shows of what they print."""

    commands: tuple[str, ...]
    parts: tuple[str, ...]


def blocks() -> tuple[Shown, ...]:
    """The page's commands with the excerpts that follow them."""
    found: list[Shown] = []
    for kind, body in re.findall(r"```(sh|text)\n(.*?)```", GUIDE, re.DOTALL):
        if kind == "sh":
            found.append(Shown(commands=tuple(body.strip().splitlines()), parts=()))
        else:
            parts = tuple(part.strip() for part in re.split(r"^\.\.\.$", body, flags=re.M))
            found[-1] = Shown(commands=found[-1].commands, parts=found[-1].parts + parts)
    return tuple(found)


def like(part: str) -> re.Pattern[str]:
    """The excerpt with its numbers and dates left open, and any run of spaces as one."""
    words = []
    for word in part.split():
        text = re.escape(DATE.sub("@", word)).replace("@", r"\d{4}-\d\d-\d\d")
        words.append(NUMBER.sub(r"(\\d+(?:\\.\\d+)?)", text.replace(r"\.", ".")) if (
            NUMBER.search(DATE.sub("@", word))) else text)  # fmt: skip
    return re.compile(r"\s+".join(words))


def is_printed(part: str, said: str) -> bool:
    """True where the excerpt stands in what was said, its numbers near enough."""
    shown = [float(one) for one in NUMBER.findall(DATE.sub("@", part))]
    for match in like(part).finditer(said):
        printed = [float(one) for one in match.groups()]
        if len(printed) == len(shown) and all(
            abs(a - b) <= TOLERANCE * max(abs(a), abs(b), 1e-9)
            for a, b in zip(shown, printed, strict=True)
        ):
            return True
    return False


def test_the_page_s_commands_run_and_print_what_it_shows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for block in blocks():
        said = ""
        for command in block.commands:
            program, *words = shlex.split(command)
            if program == "cd":
                monkeypatch.chdir(words[0])
                continue
            assert program == "tankside"
            status = run(words)
            printed = capsys.readouterr()
            said += printed.out + printed.err
            refused = any(part.startswith("tankside: ") for part in block.parts)
            meant = {2, 3} if refused or "stainless" in command else {0}
            assert status in meant, (command, printed.err)
        for part in block.parts:
            assert is_printed(part, said), f"not printed:\n{part}\nbut:\n{said}"


def test_the_page_shows_every_action_of_the_ledger_and_most_others() -> None:
    named = set(re.findall(r"tankside bath (\w+)", GUIDE))
    assert set(ACTIONS) - named <= {"ph", "conductivity"}


def test_an_excerpt_with_another_word_or_number_would_be_seen() -> None:
    said = "  Copper (metal)  50.9 g/L (50.1 to 51.7)   inside, 2024-08-29"
    assert is_printed("Copper (metal) 51.5 g/L (50.1 to 51.7) inside, 2024-09-02", said)
    assert not is_printed("Copper (metal) 60.9 g/L (50.1 to 51.7)", said)
    assert not is_printed("Copper (salt) 50.9 g/L (50.1 to 51.7)", said)
