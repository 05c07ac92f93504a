"""How the remesher's kernels are compiled: by numba, once, and kept on disk.

The first run on a machine compiles them, which takes a quarter of a minute; later runs read them in
a moment. Arithmetic is done in the order written (no fastmath), on one thread, so that every
machine makes the same surface.
"""

import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import numba

_Function = TypeVar("_Function", bound=Callable[..., Any])

SOURCES = (
    "remesh_kernels",
    "remesh_vectors",
    "remesh_tree",
    "remesh_rays",
    "remesh_crossings",
    "remesh_halfedges",
    "remesh_checks",
    "remesh_moves",
    "remesh_passes",
    "sizing",
)
"""Modules whose functions are compiled into one another."""


def kernel(function: _Function) -> _Function:
    """Compiles a function that Python calls. It returns a number or nothing, and fills arguments:
    an array on its way out calls Python back, and a ctrl-C that waited for the kernel then strikes
    inside native code and ends the process by a fault of memory."""
    return cast(_Function, numba.njit(cache=True, nogil=True)(function))


def inner(function: _Function) -> _Function:
    """Compiles a function that only compiled functions call: sooner done, without the wrapping."""
    options: dict[str, Any] = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
    return cast(_Function, numba.njit(cache=True, nogil=True, **options)(function))


def out_of_date(folder: Path) -> list[Path]:
    """Indices of compiled kernels in a folder that are older than one of their sources.

    Numba compares a kernel with its own file alone, although functions and constants of the other
    files are compiled into it.
    """
    newest = max(_written(folder / f"{name}.py") for name in SOURCES)
    kept = folder / "__pycache__"
    if newest > time.time() or not os.access(kept, os.W_OK):
        return []
    indices = [index for name in SOURCES for index in kept.glob(f"{name}.*.nbi")]
    return [index for index in indices if _written(index) < newest]


def _written(path: Path) -> float:
    """When a file was last written [s]; 0 where there is none."""
    try:
        return path.stat().st_mtime
    except FileNotFoundError:
        return 0.0


for _index in out_of_date(Path(__file__).parent):
    _index.unlink(missing_ok=True)
