"""Ctrl-C while kernels are compiled. That it waits is our own rule: the compiler does not promise
to survive an interrupt raised inside the calls that it makes back into Python."""

import contextlib
import signal
import threading
import time

import pytest
from numba.core.compiler_lock import global_compiler_lock

from tankside.cli.interrupts import heard_between_compilations

pytestmark = pytest.mark.skipif(
    signal.getsignal(signal.SIGINT) is not signal.default_int_handler,
    reason="ctrl-C is ignored here",
)


def test_ctrl_c_waits_for_the_compiler_and_is_then_heard() -> None:
    reached = []
    with contextlib.suppress(KeyboardInterrupt), heard_between_compilations():
        with global_compiler_lock:
            signal.raise_signal(signal.SIGINT)
            time.sleep(0.3)
            reached.append("compiled")
        threading.Event().wait(20.0)
        reached.append("went on")
    assert reached == ["compiled"]
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def _pressed() -> None:
    with heard_between_compilations():
        signal.raise_signal(signal.SIGINT)


def test_ctrl_c_is_heard_at_once_otherwise() -> None:
    with pytest.raises(KeyboardInterrupt):
        _pressed()


def test_another_thread_that_compiles_does_not_hold_it_back() -> None:
    held, enough = threading.Event(), threading.Event()

    def compiles() -> None:
        with global_compiler_lock:
            held.set()
            enough.wait(20.0)

    other = threading.Thread(target=compiles)
    other.start()
    held.wait()
    try:
        with pytest.raises(KeyboardInterrupt):
            _pressed()
    finally:
        enough.set()
        other.join()


def test_one_that_comes_too_late_is_dropped() -> None:
    with heard_between_compilations(), global_compiler_lock:
        signal.raise_signal(signal.SIGINT)
    time.sleep(0.2)  # a KeyboardInterrupt here would fail the test


def test_an_ignored_ctrl_c_stays_ignored() -> None:
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with heard_between_compilations():
            signal.raise_signal(signal.SIGINT)
    finally:
        signal.signal(signal.SIGINT, before)
