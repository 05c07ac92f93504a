"""How the field's numeric kernels are compiled: once, to disk, with the lock of Python released.

A kernel has one explicit signature, so that it compiles when its module is imported and never in
the middle of a run; numba keeps the machine code beside the source (or in the user's cache folder
where that cannot be written), and later imports read it in a moment. No compiler is needed.

fastmath lets sums be reordered so that they use the processor's vector units; numpy's error model
drops the branch on division by zero, which would forbid that. Results stay the same from run to run
on one machine, whatever the number of threads: work is cut in fixed parts (`threads.py`).
"""

import importlib
import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import numba
import numpy as np

from tankside.base.progress import Progress, silent
from tankside.field.threads import linear_algebra

Scalar = float | np.float32
"""A number as the kernels in single precision take and give it."""

_Function = TypeVar("_Function", bound=Callable[..., Any])

KERNEL_MODULES = (
    "cluster_kernels",
    "middle_distance",
    "integrals",
    "near_panels",
    "checks",
    "truncation",
    "compression",
    "reconstruction",
    "moments",
    "spreading",
    "corrections",
    "products",
    "preconditioner_kernels",
)
"""Every module of this room that compiles something on its first import."""

_FIRST_BUILD = ("assembly", "preconditioner")
"""Modules that the first build of operators and their inverse would read otherwise."""

_INLINED = ("discretisation", "kernels")
"""Modules whose constants or options are compiled into the kernels."""


def kernel(signature: str) -> Callable[[_Function], _Function]:
    """Decorator: compile for `signature` alone, cached on disk, free of Python's lock."""

    def compiled(function: _Function) -> _Function:
        return cast(
            _Function,
            numba.njit(signature, cache=True, nogil=True, fastmath=True, error_model="numpy")(
                function
            ),
        )

    return compiled


def prepared(progress: Progress = silent) -> float:
    """Compile every kernel, or read it from disk: the seconds that took [s].

    Under a second where the kernels were compiled before; a face that shows progress says
    "preparing (once)" meanwhile. Calling it is optional: the first build does the same.
    """
    started = time.perf_counter()
    for count, name in enumerate(KERNEL_MODULES):
        progress("preparing the field solver (once)", count / len(KERNEL_MODULES))
        importlib.import_module(f"tankside.field.{name}")
    for name in _FIRST_BUILD:
        importlib.import_module(f"tankside.field.{name}")
    linear_algebra()
    progress("preparing the field solver (once)", 1.0)
    return time.perf_counter() - started


def stale_kernels(folder: Path) -> list[Path]:
    """Indices of compiled kernels in a room's folder that are older than some kernel source.

    Numba compares a kernel with its own file alone, but kernels and constants of one file are
    compiled into those of another: a change to one makes all of them out of date.
    """
    sources = [folder / f"{name}.py" for name in (*KERNEL_MODULES, *_INLINED)]
    newest = max(_written(source) for source in sources)
    cache = folder / "__pycache__"
    if newest > time.time() or not os.access(cache, os.W_OK):
        return []
    indices = [index for name in KERNEL_MODULES for index in cache.glob(f"{name}.*.nbi")]
    return [index for index in indices if _written(index) < newest]


def _written(path: Path) -> float:
    """When a file was last written [s]; 0 where there is none, or no longer."""
    try:
        return path.stat().st_mtime
    except FileNotFoundError:
        return 0.0


for _index in stale_kernels(Path(__file__).parent):
    _index.unlink(missing_ok=True)
