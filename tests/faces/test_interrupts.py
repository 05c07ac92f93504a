"""Ctrl-C while kernels are compiled. That it waits is our own rule: the compiler does not promise
to survive an interrupt raised inside the calls that it makes back into Python."""

import contextlib
import importlib
import signal
import sys
import threading
import time
from collections.abc import Callable

import numba
import numba.core.event
import numpy as np
import pytest
from numba.core import types
from numba.core.dispatcher import Dispatcher

from tankside.cli import interrupts
from tankside.cli.interrupts import heard_outside_native_code
from tankside.part import remesh_kernels
from tankside.part.remesh_rays import ray_lengths
from tankside.part.remesh_tree import nearest, tree_of

pytestmark = pytest.mark.skipif(
    signal.getsignal(signal.SIGINT) is not signal.default_int_handler,
    reason="ctrl-C is ignored here",
)


def compiled(work: Callable[[], None]) -> None:
    """Runs `work` in a pass of the compiler, as its own passes run."""
    with numba.core.event.install_listener("numba:compile", _AtTheEnd(work)):
        numba.njit(lambda x: x + 1)(1.0)


class _AtTheEnd(numba.core.event.Listener):
    def __init__(self, work: Callable[[], None]) -> None:
        self.work = work

    def on_start(self, event: object) -> None:
        pass

    def on_end(self, event: object) -> None:
        self.work()


def test_ctrl_c_waits_for_the_compiler_and_is_then_heard() -> None:
    reached = []

    def pressed_and_slow() -> None:
        signal.raise_signal(signal.SIGINT)
        time.sleep(0.3)
        reached.append("compiled")

    with contextlib.suppress(KeyboardInterrupt), heard_outside_native_code():
        compiled(pressed_and_slow)
        threading.Event().wait(20.0)
        reached.append("went on")
    assert reached == ["compiled"]
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_ctrl_c_waits_for_an_extension_module(monkeypatch: pytest.MonkeyPatch) -> None:
    def loaded(loader: object, module: object) -> None:
        signal.raise_signal(signal.SIGINT)
        reached.append("loaded")

    reached: list[str] = []
    monkeypatch.setattr(interrupts, "LOADING", {loaded.__code__})
    with contextlib.suppress(KeyboardInterrupt), heard_outside_native_code():
        loaded(None, None)
        threading.Event().wait(20.0)
        reached.append("went on")
    assert reached == ["loaded"]


def _pressed() -> None:
    with heard_outside_native_code():
        signal.raise_signal(signal.SIGINT)


def test_ctrl_c_is_heard_at_once_otherwise() -> None:
    with pytest.raises(KeyboardInterrupt):
        _pressed()


def test_ctrl_c_does_not_wait_for_the_next_kernel() -> None:
    """The first run compiles dozens of them, one after the other."""
    reached = []

    def compiled_twice() -> None:
        compiled(lambda: signal.raise_signal(signal.SIGINT))
        reached.append("once")
        compiled(lambda: reached.append("twice"))

    with contextlib.suppress(KeyboardInterrupt), heard_outside_native_code():
        compiled_twice()
    assert reached == []
    assert sys.gettrace() is None


def test_an_ignored_ctrl_c_stays_ignored() -> None:
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with heard_outside_native_code():
            signal.raise_signal(signal.SIGINT)
    finally:
        signal.signal(signal.SIGINT, before)


def test_no_kernel_of_the_remesher_returns_an_array() -> None:
    """An array on its way out of a kernel calls Python back, and ctrl-C, which has waited for the
    kernel, strikes there: the process then died of a fault of memory."""
    tree = tree_of(np.array([[[0.0, 0, 0], [1, 0, 0], [0, 1, 0]]]))
    up = np.array([[0.0, 0.0, 1.0]])
    assert nearest(tree, up + 0.1)[1] == pytest.approx([1.1])
    assert ray_lengths(tree, np.array([[0.2, 0.2, -1.0]]), up, True) == pytest.approx([1.0])
    returned = {}
    for name in remesh_kernels.SOURCES:
        module = importlib.import_module(f"tankside.part.{name}")
        for word, kept in vars(module).items():
            if isinstance(kept, Dispatcher) and "no_cpython_wrapper" not in kept.targetoptions:
                for signature in kept.nopython_signatures:
                    returned[f"{name}.{word}"] = signature.return_type
    assert {"remesh_tree._find_nearest", "remesh_rays._measure"} <= set(returned)
    plain = (types.NoneType, types.Number, types.Boolean)
    assert [name for name, kind in returned.items() if not isinstance(kind, plain)] == []
