"""Every command, room and kind of error is explained to a reader."""

import inspect
from pathlib import Path

import pytest

from tankside.base import errors
from tankside.cli.command_line import _COMMANDS

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")
ARCHITECTURE = (ROOT / "ARCHITECTURE.md").read_text("utf-8")
ROOMS = sorted(path.parent.name for path in (ROOT / "src" / "tankside").glob("*/__init__.py"))


@pytest.mark.parametrize("command", [name for name in _COMMANDS if name != "demo"])
def test_every_command_is_in_the_readme(command: str) -> None:
    assert f"tankside {command}" in README


@pytest.mark.parametrize("room", ROOMS)
def test_every_room_is_in_the_architecture(room: str) -> None:
    assert f"\n      {room}/ " in ARCHITECTURE


def test_the_tree_at_the_top_of_errors_names_every_error() -> None:
    named = [
        name
        for name, value in inspect.getmembers(errors, inspect.isclass)
        if issubclass(value, errors.TanksideError)
    ]
    for name in named:
        assert name in str(errors.__doc__), name


def test_the_architecture_page_stays_short() -> None:
    assert len(ARCHITECTURE.splitlines()) <= 80
