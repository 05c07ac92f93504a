"""The time of a run on a real machine, and one that a simulation hurries."""

import time


class SteadyClock:
    """Universal time, read once at the start and carried on by the machine's steady counter, so
    that setting its clock during a run changes nothing. `hurry` makes its seconds shorter."""

    def __init__(self, hurry: float = 1.0) -> None:
        self._hurry = hurry
        self._began, self._counter = time.time(), time.monotonic()

    def now(self) -> float:
        """Seconds since 1970."""
        return self._began + self._hurry * (time.monotonic() - self._counter)

    def wait(self, seconds: float) -> None:
        """Returns after `seconds` of this clock."""
        time.sleep(seconds / self._hurry)
