"""Work shared among threads so that the result does not depend on how many there are.

Kernels release Python's lock, so plain threads run them side by side. The work is cut beforehand
into parts that do not depend on the number of threads, and results come back in the parts' order.
"""

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from typing import TypeVar

from threadpoolctl import threadpool_limits

_Part = TypeVar("_Part")
_Result = TypeVar("_Result")

MOST_THREADS = 16
"""Beyond this many, memory and not arithmetic sets the pace."""


def thread_count() -> int:
    """Processors this process may use, at most MOST_THREADS."""
    allowed = getattr(os, "sched_getaffinity", None)
    available = len(allowed(0)) if allowed is not None else os.cpu_count() or 1
    return max(1, min(available, MOST_THREADS))


@contextmanager
def quiet_linear_algebra() -> Iterator[None]:
    """Within it numpy's linear algebra keeps to one thread. The vectors here are too short to gain
    by more, and its idle threads spin for a while after each call, on the processors that our own
    kernels need: half of the time of a growth on two."""
    with threadpool_limits(limits=1, user_api="blas"):
        yield


def in_threads(
    work: Callable[[_Part], _Result], parts: Sequence[_Part], threads: int | None = None
) -> Iterator[_Result]:
    """work(part) for every part, as they stand; the first error is raised, the rest dropped."""
    count = min(thread_count() if threads is None else threads, len(parts))
    if count <= 1:
        yield from map(work, parts)
        return
    pool = ThreadPoolExecutor(count, thread_name_prefix="field")
    try:
        yield from pool.map(work, parts)
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
