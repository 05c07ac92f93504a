"""Which cautions a piece of work calls for, from what is being done.

The texts are rows of data/cautions.toml, each with the condition that raises it. A caution is never
left out because a person has seen it before.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

SEVERE_BURNS_FROM_KG_PER_M3 = 150.0
"""Sulfuric acid from 15 % by mass is classed as causing severe burns (CLP, Annex VI); about
165 g/L. The caution begins a little below."""

WARM_FROM_K = 313.15
"""PLA softens at 55 to 60 °C; 40 °C leaves a margin (common practice, no source)."""

TOUCH_VOLTAGE_V = 30.0
"""Direct voltage above which wet skin is at risk (common practice, no source)."""

HOT_WIRE_A_PER_M2 = 2.0e7
"""20 A/mm² in a bare copper wire in air (our guess: a third of the fusing current of 0.5 mm)."""

WORKING_DAY_S = 8 * 3600.0

PLATING = "plating"
"""The activity that `cautions_for` speaks of."""

ALL = "*"
"""Stands in a row for every activity."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What is about to be done, as far as cautions depend on it. SI."""

    sulfuric_acid: float
    temperature: float
    air_agitation: bool
    voltage_limit: float
    duration: float
    highest_wire_current_density: float
    makes_hydrogen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution: a stable id, the condition that raises it, the sentence, the source's key or "",
    and the activities that it is read before ("*" for all)."""

    id: str
    when: str
    text: str
    source: str
    activities: tuple[str, ...] = (PLATING,)


def cautions_for(work: Work) -> tuple[Caution, ...]:
    """The cautions that `work` calls for, in the order in which they are to be read."""
    raised = _conditions(work)
    return tuple(
        caution
        for caution in all_cautions()
        if caution.when in raised and (PLATING in caution.activities or ALL in caution.activities)
    )


@cache
def all_cautions() -> tuple[Caution, ...]:
    """Every caution held."""
    text = resources.files("tankside.safety").joinpath("data/cautions.toml").read_text("utf-8")
    return tuple(_caution(row) for row in tomllib.loads(text)["caution"])


def _caution(row: dict[str, Any]) -> Caution:
    activities = tuple(row.get("activities", (PLATING,)))
    return Caution(**{**row, "activities": activities})


def _conditions(work: Work) -> set[str]:
    strong = work.sulfuric_acid >= SEVERE_BURNS_FROM_KG_PER_M3
    raised = {
        "always": True,
        "strong acid": strong,
        "mild acid": not strong,
        "air agitation": work.air_agitation,
        "warm bath": work.temperature >= WARM_FROM_K,
        "high voltage": work.voltage_limit > TOUCH_VOLTAGE_V,
        "long run": work.duration > WORKING_DAY_S,
        "hot wire": work.highest_wire_current_density > HOT_WIRE_A_PER_M2,
        "hydrogen": work.makes_hydrogen,
    }
    return {name for name, applies in raised.items() if applies}


CONDITIONS = frozenset(
    {
        "always",
        "strong acid",
        "mild acid",
        "air agitation",
        "warm bath",
        "high voltage",
        "long run",
        "hot wire",
        "hydrogen",
    }
)
"""The conditions of plating that a row may name; activities.py adds its own."""
