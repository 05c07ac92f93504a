"""What all tests share: which are slow, by where they stand, and how hypothesis explores: anew at
each run on a bench, and the same examples each time where CI is set, so that what fails there
fails again."""

import os
from pathlib import Path

import pytest
from hypothesis import settings

ROOT = Path(__file__).parent
SLOW = (
    "contracts/test_kills.py",
    "browser",
    "convergence",
    "docs/test_readme.py",
    "faces",
    "laws",
    "unit/plan/rigs/test_held_parts.py",
    "unit/sweeps/test_sweeps.py",
    "soak",
    "unit/app/work/test_queue.py",
    "unit/app/work/test_live_runs.py",
    "unit/hardware/test_guardian.py",
    "unit/plan/test_shop_tests.py",
    "validation/test_finite_elements.py",
)
"""Folders and files left out of the fast tier."""

settings.register_profile(
    "tankside", deadline=None, print_blob=True, derandomize=bool(os.environ.get("CI"))
)
settings.load_profile("tankside")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Marks as slow by place; the slow begin, so that no core waits for them at the end."""
    for item in items:
        place = Path(item.path).relative_to(ROOT).as_posix()
        if place.startswith(SLOW):
            item.add_marker(pytest.mark.slow)
    items.sort(key=lambda item: item.get_closest_marker("slow") is None)
