"""Ctrl-C that waits while kernels are compiled.

The compiler calls Python back from native code. An interrupt raised in such a call is swallowed
there, or leaves code half made, on which the process ends with a fault instead of a sentence.
"""

import _thread
import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

ASKED_AGAIN_S = 0.05
"""After this long an interrupt that waits asks whether the compiler is through [s]."""


@contextmanager
def heard_between_compilations() -> Iterator[None]:
    """Within it ctrl-C raises KeyboardInterrupt as ever, but not before the compiler is through
    with what it is at. One that still waits at the end is dropped: there is nothing left to stop.
    Nothing changes outside the main thread, nor where ctrl-C is ignored or heard by another."""
    main = threading.current_thread() is threading.main_thread()
    if not main or signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        yield
        return
    waiting: list[threading.Timer] = []

    def hears(number: int, frame: FrameType | None) -> None:
        _dropped(waiting)
        if not _compiling():
            signal.default_int_handler(number, frame)
        waiting.append(threading.Timer(ASKED_AGAIN_S, _interrupted))
        waiting[0].daemon = True
        waiting[0].start()

    signal.signal(signal.SIGINT, hears)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        _dropped(waiting)


def _compiling() -> bool:
    """Whether this thread holds the compiler's lock; without loading the compiler to ask."""
    compiler = sys.modules.get("numba.core.compiler_lock")
    lock = getattr(compiler, "global_compiler_lock", None)
    return lock is not None and bool(lock.is_locked())


def _dropped(waiting: list[threading.Timer]) -> None:
    while waiting:
        waiting.pop().cancel()


def _interrupted() -> None:
    """Interrupts the main thread, also where it waits for another."""
    main = threading.main_thread().ident
    if hasattr(signal, "pthread_kill") and main is not None:
        signal.pthread_kill(main, signal.SIGINT)
    else:
        _thread.interrupt_main()
