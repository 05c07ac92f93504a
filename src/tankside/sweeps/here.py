"""Sweeps in this very process, one case after the other: for one core, and for tests."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any

from tankside.app.ports import Done, SweepResult
from tankside.base.errors import Cancelled
from tankside.base.progress import Progress, silent
from tankside.sweeps.attempt import attempted
from tankside.sweeps.bookkeeping import Bookkeeping, never


class InThisProcess:
    """No workers at all."""

    workers = 1

    def run(
        self,
        function: Callable[[Any], Any],
        cases: Sequence[Any],
        *,
        progress: Progress = silent,
        cancel: Callable[[], bool] = never,
        done: Done | None = None,
    ) -> Iterator[SweepResult]:
        """As the port says."""
        books = Bookkeeping(function, cases, progress, done)
        yield from books.known()
        for number in books.open():
            if cancel():
                raise Cancelled("the sweep was stopped; what is done is kept")
            yield books.closed(number, attempted(function, cases[number]))

    def __enter__(self) -> "InThisProcess":
        return self

    def __exit__(self, *problem: object) -> None:
        return None
