"""Ctrl-C that waits while native code calls Python back.

So do compiling kernels, reading them from disk and handing them their arguments, and the first
import of an extension module. An interrupt raised in such a call is swallowed there, turned into
another error, or leaves things half made, on which the process ends by a fault of memory.
"""

import _thread
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.machinery import ExtensionFileLoader
from types import FrameType

ASKED_AGAIN_S = 0.05
"""After this long an interrupt that waits asks whether it may be heard now [s]."""


COMPILER = {"numba", "llvmlite"}
"""Packages that call Python back from native code."""

LOADING = {ExtensionFileLoader.create_module.__code__, ExtensionFileLoader.exec_module.__code__}
"""What makes an extension module."""


@contextmanager
def heard_outside_native_code() -> Iterator[None]:
    """Within it ctrl-C raises KeyboardInterrupt as ever, but not before native code that calls
    Python is through with what it is at. One that still waits at the end is dropped: there is
    nothing left to stop.
    Nothing changes outside the main thread, nor where ctrl-C is ignored or heard by another."""
    main = threading.current_thread() is threading.main_thread()
    if not main or signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        yield
        return
    waiting: list[threading.Timer] = []

    def hears(number: int, frame: FrameType | None) -> None:
        _dropped(waiting)
        if not _called_back(frame):
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


def _called_back(frame: FrameType | None) -> bool:
    """Whether any of the calls that led here is the compiler's or loads an extension module."""
    while frame is not None:
        package = str(frame.f_globals.get("__name__")).split(".", 1)[0]
        if package in COMPILER or frame.f_code in LOADING:
            return True
        frame = frame.f_back
    return False


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
