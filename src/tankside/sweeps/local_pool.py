"""Sweeps on this machine's cores: worker processes, started afresh, one share of the cores each.

Processes are spawned, not forked, so that it is the same on every platform. Where a worker dies
(memory, a kill), the pool is started again and what was on its way is given out again; a case that
was there each time the pool died is a failed result after MOST_DEATHS of them.
"""

import multiprocessing
import os
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from types import TracebackType
from typing import Any

from tankside.app.ports import Done, SweepResult
from tankside.base.errors import BadInput, Cancelled
from tankside.base.progress import Progress, silent
from tankside.sweeps.attempt import Attempt, attempted
from tankside.sweeps.bookkeeping import Bookkeeping, never

MOST_DEATHS = 3
ASKED_EVERY_S = 0.2
"""How often a wish to cancel is looked for [s]."""


class LocalPool:
    """`workers` processes, started when first needed and kept until the `with` block ends."""

    def __init__(self, workers: int | None = None) -> None:
        self.workers = _cores() if workers is None else workers
        if self.workers < 1:
            raise BadInput("{workers} workers do no work; give one or more", workers=self.workers)
        self._pool: ProcessPoolExecutor | None = None

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
        waiting, deaths = list(books.open()), 0
        while waiting:
            try:
                for number, attempt in self._round(function, cases, waiting, cancel):
                    waiting.remove(number)
                    yield books.closed(number, attempt)
            except BrokenProcessPool:
                self._stop()
                deaths += 1
                if deaths >= MOST_DEATHS:
                    number = waiting.pop(0)
                    yield books.closed(number, Attempt(error=_died(deaths)))
                    deaths = 0

    def __enter__(self) -> "LocalPool":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        problem: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._stop()

    def _round(
        self,
        function: Callable[[Any], Any],
        cases: Sequence[Any],
        numbers: Sequence[int],
        cancel: Callable[[], bool],
    ) -> Iterator[tuple[int, Attempt]]:
        """Numbers and attempts as they come; no more are given out than the workers can begin."""
        pool = self._started()
        ahead = iter(list(numbers))
        futures: dict[Future[Attempt], int] = {}
        try:
            while True:
                while len(futures) < self.workers + 1 and (number := next(ahead, None)) is not None:
                    futures[pool.submit(attempted, function, cases[number])] = number
                if not futures:
                    return
                finished, _ = wait(futures, ASKED_EVERY_S, FIRST_COMPLETED)
                if cancel():
                    raise Cancelled("the sweep was stopped; what is done is kept")
                for future in sorted(finished, key=futures.__getitem__):
                    yield futures.pop(future), _attempt(future)
        finally:
            for future in futures:
                future.cancel()

    def _started(self) -> ProcessPoolExecutor:
        if self._pool is None:
            context = multiprocessing.get_context("spawn")
            self._pool = ProcessPoolExecutor(
                self.workers,
                mp_context=context,
                initializer=_one_of,
                initargs=(context.Value("i", 0), self.workers),
            )
        return self._pool

    def _stop(self) -> None:
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None


def _attempt(future: Future[Attempt]) -> Attempt:
    """What came of a case; a dead worker is for the caller to deal with."""
    problem = future.exception()
    if isinstance(problem, BrokenProcessPool):
        raise problem
    if problem is not None:
        return Attempt(error=f"cannot be handed to a worker: {problem}")
    return future.result()


def _one_of(counter: Any, workers: int) -> None:
    """Takes this worker's share of the cores, so that threads of all workers together fill them;
    and ends when the process that started it has ended, however that came."""
    threading.Thread(target=_end_with_parent, daemon=True).start()
    for name in ("NUMBA_NUM_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
        os.environ[name] = "1"
    with counter.get_lock():
        number = counter.value % workers
        counter.value += 1
    if hasattr(os, "sched_setaffinity"):
        allowed = sorted(os.sched_getaffinity(0))
        mine = allowed[number % len(allowed) :: workers]
        os.sched_setaffinity(0, mine)


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _cores() -> int:
    allowed = getattr(os, "sched_getaffinity", None)
    return len(allowed(0)) if allowed is not None else os.cpu_count() or 1


def _died(times: int) -> str:
    return f"the worker died {times} times on this case; it may have run out of memory"
