"""The last reading of a thermometer that some other program writes to a text file.

The last line's last number counts, in degrees Celsius. A file that has not changed for a while, or
that cannot be read, gives no reading: an old temperature is worse than none.
"""

import re
import time
from collections.abc import Callable
from pathlib import Path

from tankside.base.constants import ZERO_CELSIUS_K

STALE_S = 300.0
"""A file untouched for longer than this says nothing of now: our judgement."""

_TAIL_BYTES = 4096
_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
_POSSIBLE_K = (263.15, 373.15)


class SensorFile:
    """A thermometer's file; calling it reads it."""

    def __init__(self, path: Path, now: Callable[[], float] = time.time) -> None:
        self.path, self._now = path, now

    def __call__(self) -> float | None:
        """The temperature [K], None where there is none to trust."""
        try:
            if self._now() - self.path.stat().st_mtime > STALE_S:
                return None
            with self.path.open("rb") as file:
                file.seek(max(0, self.path.stat().st_size - _TAIL_BYTES))
                lines = file.read().decode("utf-8", "replace").splitlines()
        except OSError:
            return None  # it may be written anew just now
        numbers = next(
            (found for line in reversed(lines) if (found := _NUMBER.findall(line))), None
        )
        if numbers is None:
            return None
        value = float(numbers[-1].replace(",", ".")) + ZERO_CELSIUS_K
        return value if _POSSIBLE_K[0] <= value <= _POSSIBLE_K[1] else None
