"""Tankside: copper plating of parts that do not conduct, from the part's file to a plan.

The names below load on first use, so that importing the package costs nothing.
"""

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

_PUBLIC = {
    "plan_a_job": "tankside.app.plan_a_job",
    "PlanRequest": "tankside.app.plan_a_job",
    "compare_plans": "tankside.app.compare_plans",
    "CompareRequest": "tankside.app.compare_plans",
    "PlanToCompare": "tankside.app.compare_plans",
    "examine_a_part": "tankside.app.examine_a_part",
    "PartRequest": "tankside.app.examine_a_part",
    "check_against_published": "tankside.app.check_against_published",
    "TanksideError": "tankside.base.errors",
}

__all__ = ["__version__", *_PUBLIC]


def __getattr__(name: str) -> Any:
    if name not in _PUBLIC:
        raise AttributeError(f"module 'tankside' has no attribute {name!r}")
    return getattr(import_module(_PUBLIC[name]), name)


def __dir__() -> list[str]:
    return sorted(__all__)
