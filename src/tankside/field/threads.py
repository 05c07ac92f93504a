"""Work shared among threads so that the result does not depend on how many there are.

Kernels release Python's lock, so plain threads run them side by side. The work is cut beforehand
into parts that do not depend on the number of threads, and results come back in the parts' order.
"""

import os
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from functools import cache
from typing import Generic, TypeVar, cast

from threadpoolctl import ThreadpoolController

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
    with linear_algebra().limit(limits=1, user_api="blas"):
        yield


@cache
def linear_algebra() -> ThreadpoolController:
    """numpy's libraries for it. Found once: looking through all that is loaded takes long."""
    return ThreadpoolController()


def in_threads(
    work: Callable[[_Part], _Result], parts: Sequence[_Part], threads: int | None = None
) -> Iterator[_Result]:
    """work(part) for every part, as they stand; the first error is raised, the rest dropped."""
    count = min(thread_count() if threads is None else threads, len(parts))
    if count <= 1:
        yield from map(work, parts)
        return
    shared = _Shared(work, parts)
    others = [_pool().submit(shared.drain) for _ in range(count - 1)]
    try:
        for number in range(len(parts)):
            # The thread that waits for a result works on another meanwhile, if one is left.
            while shared.waiting[number].locked() and shared.one_more():
                pass
            yield shared.result(number)
    finally:
        shared.stopped = True
        for other in others:
            if not other.cancel():
                other.result()


def meanwhile(work: Callable[[], _Result]) -> Callable[[], _Result]:
    """Begins work() in another thread; what is returned waits for its result, or its error."""
    return _pool().submit(work).result


class _Shared(Generic[_Part, _Result]):
    """Parts that several threads take one after the other until none is left."""

    def __init__(self, work: Callable[[_Part], _Result], parts: Sequence[_Part]) -> None:
        self.work, self.parts = work, parts
        self.numbers = iter(range(len(parts)))  # taking the next is one step of the interpreter
        self.waiting = [threading.Lock() for _ in parts]  # held until the part is done
        for lock in self.waiting:
            lock.acquire()
        self.results: list[_Result | None] = [None] * len(parts)
        self.errors: dict[int, BaseException] = {}
        self.stopped = False

    def drain(self) -> None:
        """Works until no part is left."""
        while self.one_more():
            pass

    def one_more(self) -> bool:
        """Works on the next part; False where there is none."""
        number = None if self.stopped else next(self.numbers, None)
        if number is None:
            return False
        try:
            self.results[number] = self.work(self.parts[number])
        except BaseException as error:  # raised again where its result is asked for
            self.errors[number] = error
            self.stopped = True
        self.waiting[number].release()
        return True

    def result(self, number: int) -> _Result:
        """Of a part, once it is there; the first error instead."""
        with self.waiting[number]:
            pass
        if number in self.errors:
            raise self.errors[number]
        return cast(_Result, self.results[number])


@cache
def _pool() -> ThreadPoolExecutor:
    """The threads that help, kept: starting them takes longer than many a product."""
    return ThreadPoolExecutor(MOST_THREADS - 1, thread_name_prefix="field")


if hasattr(os, "register_at_fork"):  # a child has none of its parent's threads
    os.register_at_fork(after_in_child=_pool.cache_clear)
