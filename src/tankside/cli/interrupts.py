"""Ctrl-C that waits while native code calls Python back.

So do compiling kernels, reading them from disk and handing them their arguments, and the first
import of an extension module. An interrupt raised in such a call is swallowed there, turned into
another error, or leaves things half made, on which the process ends by a fault of memory.
"""

import signal
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.machinery import ExtensionFileLoader
from types import FrameType
from typing import Any, NoReturn

COMPILER = {"numba", "llvmlite"}
"""Packages that call Python back from native code."""

LOADING = {ExtensionFileLoader.create_module.__code__, ExtensionFileLoader.exec_module.__code__}
"""What makes an extension module."""


@contextmanager
def heard_outside_native_code() -> Iterator[None]:
    """Within it ctrl-C raises KeyboardInterrupt as ever; but where native code has called Python,
    only at the next step of the function that called the native code.

    Nothing changes outside the main thread, under a debugger, nor where ctrl-C is ignored or heard
    by another."""
    main = threading.current_thread() is threading.main_thread()
    ours = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if not main or not ours or sys.gettrace() is not None:
        yield
        return
    signal.signal(signal.SIGINT, _hears)
    try:
        yield
    finally:
        sys.settrace(None)
        signal.signal(signal.SIGINT, signal.default_int_handler)


def _hears(number: int, frame: FrameType | None) -> None:
    caller = _caller(frame)
    if caller is None:
        signal.default_int_handler(number, frame)
        return
    caller.f_trace = _interrupted
    sys.settrace(_ignored)  # without one for all functions, none of a single one is called


def _caller(frame: FrameType | None) -> FrameType | None:
    """The function that called the compiler, or the loader of an extension module, by way of which
    `frame` was called; None where it was not."""
    caller = None
    while frame is not None:
        package = str(frame.f_globals.get("__name__")).split(".", 1)[0]
        if package in COMPILER or frame.f_code in LOADING:
            caller = frame.f_back
        frame = frame.f_back
    return caller


def _interrupted(_frame: FrameType, _event: str, _told: Any) -> NoReturn:
    sys.settrace(None)
    raise KeyboardInterrupt


def _ignored(_frame: FrameType, _event: str, _told: Any) -> None:
    """Follows no function."""
