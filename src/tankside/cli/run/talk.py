"""How the run talks with a person at a terminal."""

import argparse
import json
import sys
from collections.abc import Mapping
from typing import Any

from tankside.base.errors import Cancelled


def say(line: str) -> None:
    """A line."""
    sys.stdout.write(line + "\n")


def asked(question: str, options: argparse.Namespace) -> None:
    """Waits for Enter, unless nothing is to be asked."""
    if not options.yes:
        prompt(f"{question}: ")


def prompt(question: str) -> str:
    """What the person types; Cancelled where the input ends."""
    sys.stdout.write(question)
    sys.stdout.flush()
    line = sys.stdin.readline()
    if not line:
        raise Cancelled("the input ended; the run stands as it is")
    return line.strip()


def printed(answer: Mapping[str, Any] | str) -> None:
    """Text as it is, anything else as one JSON object."""
    if isinstance(answer, str):
        sys.stdout.write(answer)
        return
    json.dump(answer, sys.stdout, indent=1, allow_nan=False)
    sys.stdout.write("\n")


def hours(seconds: float) -> str:
    """A time [s] as hours and minutes."""
    return f"{int(seconds // 3600)} h {int(seconds % 3600 // 60):02d} min"
