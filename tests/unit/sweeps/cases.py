"""Functions that workers can import by name."""

import os
import signal
import time
from pathlib import Path

from tankside.base.errors import Impossible


def squared(number: int) -> int:
    """Nothing can be simpler; odd multiples of seven cannot be."""
    if number % 14 == 7:
        raise Impossible(f"{number} cannot be squared here")
    return number * number


def broken(number: int) -> float:
    """A fault of ours."""
    return 1 / (number - 3)


def slow(number: int) -> int:
    """Long enough to be interrupted."""
    time.sleep(0.05)
    return number * number


def tallied(case: tuple[str, int]) -> int:
    """Leaves a trace in a folder each time that it is worked on."""
    folder, number = case
    trace = Path(folder) / f"{number}-{os.getpid()}-{time.monotonic_ns()}"
    trace.write_text("done", "utf-8")
    return number * number


def deadly_once(case: tuple[str, int]) -> int:
    """Kills its own worker the first time that number 3 is worked on."""
    folder, number = case
    trace = Path(folder) / "died"
    if number == 3 and not trace.exists():
        trace.write_text("yes", "utf-8")
        os.kill(os.getpid(), signal.SIGKILL)
    time.sleep(0.01)
    return number * number


def deadly(number: int) -> int:
    """Number 2 always kills its worker."""
    if number == 2:
        os.kill(os.getpid(), signal.SIGKILL)
    return number * number


def setting(name: str) -> str | None:
    """An environment variable of the worker."""
    return os.environ.get(name)


def process_number(_: int) -> int:
    """Of the worker."""
    return os.getpid()
