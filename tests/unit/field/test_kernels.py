"""Compiled kernels: nothing at import, ready at once the second time, never out of date."""

import os
import subprocess
import sys
from pathlib import Path

from tankside.field.kernels import KERNEL_MODULES, prepared, stale_kernels

PROGRAM = """
import sys
import tankside.field
import tankside.field.operators
import tankside.field.hierarchical
import tankside.field.dense
assert "numba" not in sys.modules, "numba"
"""


def test_importing_the_operators_compiles_nothing() -> None:
    subprocess.run([sys.executable, "-c", PROGRAM], check=True)


def test_preparing_tells_how_long_it_took_and_how_far_it_is() -> None:
    told: list[float] = []
    first = prepared(lambda stage, fraction: told.append(fraction))
    assert told == sorted(told)
    assert (told[0], told[-1]) == (0.0, 1.0)
    assert prepared() < max(first, 0.1)
    assert all(f"tankside.field.{name}" in sys.modules for name in KERNEL_MODULES)


def test_every_module_with_kernels_is_listed() -> None:
    room = Path(sys.modules["tankside.field.kernels"].__file__ or "").parent
    compiling = {path.stem for path in room.glob("*.py") if "\n@kernel(" in path.read_text("utf-8")}
    assert compiling == set(KERNEL_MODULES)


def test_kernels_older_than_any_source_are_stale(tmp_path: Path) -> None:
    cache = tmp_path / "__pycache__"
    cache.mkdir()
    sources = [tmp_path / f"{name}.py" for name in (*KERNEL_MODULES, "discretisation", "kernels")]
    index = cache / "products.add_far-1.py311.nbi"
    other = cache / "solve.something-1.py311.nbi"
    for path in (*sources, index, other):
        path.touch()
        os.utime(path, (1000, 1000))
    assert stale_kernels(tmp_path) == []
    os.utime(sources[-2], (2000, 2000))
    assert stale_kernels(tmp_path) == [index]
    os.utime(index, (3000, 3000))
    assert stale_kernels(tmp_path) == []
    os.utime(sources[0], (1e11, 1e11))  # a clock ahead of ours is not believed
    assert stale_kernels(tmp_path) == []
