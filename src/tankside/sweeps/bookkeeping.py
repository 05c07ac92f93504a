"""What all sweeps keep count of: keys, what is known from before, what is still open, progress."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from tankside.app.ports import Done, SweepResult
from tankside.base.progress import Progress
from tankside.sweeps.attempt import Attempt
from tankside.sweeps.keys import case_key


def never() -> bool:
    """A person who does not cancel."""
    return False


class Bookkeeping:
    """The books of one sweep."""

    def __init__(
        self,
        function: Callable[[Any], Any],
        cases: Sequence[Any],
        progress: Progress,
        done: Done | None,
    ) -> None:
        self._progress, self._done = progress, done
        self._keys = [case_key(function, case) for case in cases]
        self._before = {
            number: value
            for number, key in enumerate(self._keys)
            if done is not None and (value := done.known(key)) is not None
        }
        self._closed = 0

    def known(self) -> Iterator[SweepResult]:
        """Results from before, in the order of their cases."""
        for number, value in self._before.items():
            self._told()
            yield SweepResult(number=number, key=self._keys[number], value=value, known=True)

    def open(self) -> tuple[int, ...]:
        """Numbers of the cases that are to be done."""
        return tuple(n for n in range(len(self._keys)) if n not in self._before)

    def closed(self, number: int, attempt: Attempt) -> SweepResult:
        """A case that is done; its value is kept, an error is not, so that it is tried again."""
        key = self._keys[number]
        if self._done is not None and not attempt.error and attempt.value is not None:
            self._done.keep(key, attempt.value)
        self._told()
        return SweepResult(number=number, key=key, value=attempt.value, error=attempt.error)

    def _told(self) -> None:
        self._closed += 1
        self._progress("evaluating", self._closed / len(self._keys))
