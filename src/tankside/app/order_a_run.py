"""Use case: from a plan to the order of a run, and the order as the JSON of its folder.

An order holds all that carrying out and auditing need, so that a run does not depend on files that
may change or go: the recipe, the voltages to expect, what to believe of the outcome, and the job
itself. Keys carry their units; a newer version is refused.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf, isfinite
from typing import Any

import numpy as np

from tankside.app.forms import ends
from tankside.app.plan_a_job import PlanReply, PlanRequest, plan_a_job
from tankside.app.run_ports import HardLimits
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.message_parts import all_packed, all_unpacked, with_parts
from tankside.base.progress import Progress, silent
from tankside.plan.run_order import believed_of, expected_of, recipe_of
from tankside.runs.audit import FACTORS, Believed
from tankside.runs.expected import Expected
from tankside.runs.recipe import Recipe, Setting

VERSION = 1
SAID = "said"
"""Key of the parts of the order's sentences, by their text."""


@dataclass(frozen=True, kw_only=True)
class Order:
    """What a run is to do and to expect; `limits` are the supply's hard limits, `planned_mass` the
    copper on the part [kg] and `planned_thickness` its mean [m], `temperature` the bath's [K]."""

    title: str
    recipe: Recipe
    expected: Expected
    believed: Believed
    limits: HardLimits
    planned_mass: float
    planned_thickness: float
    temperature: float | None = None
    cautions: tuple[str, ...] = ()
    job_text: str = ""


def order_a_run(request: PlanRequest, progress: Progress = silent) -> Order:
    """Plans the job and makes the order of its run."""
    reply = plan_a_job(request, progress)
    return order_of(reply, request.job_text)


def order_of(reply: PlanReply, job_text: str) -> Order:
    """The order of a plan that is made already."""
    from tankside.app.job.reading import read_job

    supply = read_job(job_text, name="the job").supply
    plan = reply.plan
    return Order(
        title=reply.title,
        recipe=recipe_of(plan, supply.voltage_limit),
        expected=expected_of(plan),
        believed=believed_of(plan),
        limits=HardLimits(current=supply.current_limit, voltage=supply.voltage_limit),
        planned_mass=plan.copper_on_part,
        planned_thickness=plan.thickness.mean,
        temperature=plan.electrolyte.temperature,
        cautions=plan.cautions,
        job_text=job_text,
    )


def as_json(order: Order) -> dict[str, Any]:
    """The order with the keys of its folder's order.json, and the parts of its sentences beside
    them."""
    row = _row(order)
    parts = all_packed([row["recipe"], row["cautions"]])
    return {**row, SAID: parts} if parts else row


def _row(order: Order) -> dict[str, Any]:
    return {
        "order": VERSION,
        "title": order.title,
        "recipe": [
            {
                "current_A": one.current,
                "voltage_limit_V": one.voltage_limit,
                "duration_s": one.duration if isfinite(one.duration) else None,
                "charge_C": one.charge if isfinite(one.charge) else None,
                "words": one.words,
            }
            for one in order.recipe.settings
        ],
        "expected": {
            "charge_C": order.expected.charge.tolist(),
            "current_A": order.expected.current.tolist(),
            "voltage_V": order.expected.voltage.tolist(),
            "spread": order.expected.spread,
        },
        "believed": {name: ends(getattr(order.believed, name)) for name in FACTORS},
        "limits": {"current_A": order.limits.current, "voltage_V": order.limits.voltage},
        "planned_mass_kg": order.planned_mass,
        "planned_thickness_m": order.planned_thickness,
        "temperature_K": order.temperature,
        "cautions": list(order.cautions),
        "job": order.job_text,
    }


def from_json(row: Mapping[str, Any], *, where: str = "order.json") -> Order:
    """An order as it was kept; BadInput where it is damaged or newer."""
    if row.get("order", 0) > VERSION:
        raise BadInput("this order was written by a newer version; update Tankside", where=where)
    try:
        return _order(with_parts(dict(row), all_unpacked(row.get(SAID, {}))))
    except (KeyError, TypeError, AttributeError) as error:
        raise BadInput("the order is damaged: {error}", error=error, where=where) from error
    except BadInput as error:
        raise BadInput(
            "the order is damaged: {reason}", reason=error.message, where=where
        ) from error


def _order(row: Mapping[str, Any]) -> Order:
    expected = row["expected"]
    return Order(
        title=str(row["title"]),
        recipe=Recipe(settings=tuple(_setting(one) for one in row["recipe"])),
        expected=Expected(
            charge=np.array(expected["charge_C"], dtype=float),
            current=np.array(expected["current_A"], dtype=float),
            voltage=np.array(expected["voltage_V"], dtype=float),
            spread=float(expected["spread"]),
        ),
        believed=Believed(**{name: _interval(row["believed"][name]) for name in FACTORS}),
        limits=HardLimits(
            current=float(row["limits"]["current_A"]), voltage=float(row["limits"]["voltage_V"])
        ),
        planned_mass=float(row["planned_mass_kg"]),
        planned_thickness=float(row["planned_thickness_m"]),
        temperature=None if row["temperature_K"] is None else float(row["temperature_K"]),
        cautions=tuple(row["cautions"]),
        job_text=str(row["job"]),
    )


def _setting(row: Mapping[str, Any]) -> Setting:
    return Setting(
        current=float(row["current_A"]),
        voltage_limit=float(row["voltage_limit_V"]),
        duration=inf if row["duration_s"] is None else float(row["duration_s"]),
        charge=inf if row["charge_C"] is None else float(row["charge_C"]),
        words=row["words"] if isinstance(row["words"], str) else str(row["words"]),
    )


def _interval(row: Mapping[str, float]) -> Interval:
    return Interval(float(row["low"]), float(row["best"]), float(row["high"]))
