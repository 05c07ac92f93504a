"""A plan as the one JSON object of the open contract: SI, the unit in every key's name.

The first keys are those that DESIGN fixes and that stay; the later ones say more. Every number is
finite: where a quantity has none (a Wagner number without a limit), its value is null.
"""

from dataclasses import asdict
from math import isfinite
from typing import Any

from tankside.base.intervals import Interval
from tankside.base.units import in_unit
from tankside.plan.plan import Plan, Spread
from tankside.plan.usual_rules import usual_rules
from tankside.sheets.provenance import cited_sources, made_by
from tankside.sheets.rig.reply import rig_json
from tankside.sheets.start_json import start_json


def plan_json(plan: Plan, seconds: float) -> dict[str, Any]:
    """The reply; `seconds` is how long the planning took [s]."""
    entries = {**_stable(plan, seconds), **_more(plan)}
    return {key: _finite(value) for key, value in entries.items()}


def _stable(plan: Plan, seconds: float) -> dict[str, Any]:
    """The keys that programs lean on."""
    density, split = plan.current_density, plan.voltage
    return {
        "current_A": plan.current,
        "hours": in_unit(plan.duration, "h"),
        "charge_Ah": in_unit(plan.charge, "Ah"),
        "copper_g": in_unit(plan.copper_mass, "g"),
        "area_m2": plan.part_area,
        "current_density_A_m2": {
            "mean": density.mean,
            "min": density.minimum,
            "max": density.maximum,
        },
        "thickness_um": _spread_um(plan.thickness),
        "voltage_V": {
            "total": split.total,
            "anode": split.anode,
            "solution": split.solution,
            "cathode": split.cathode,
            "leads": split.leads,
        },
        "burning_area_fraction": plan.burning_area_fraction,
        "bare_area_fraction": plan.bare_area_fraction,
        "wagner_number": plan.wagner_number,
        "checks": {
            "charge_balance": plan.balances.charge_balance,
            "mass_balance": plan.balances.mass_balance,
            "closure": plan.balances.closure,
        },
        "panels": plan.panels,
        "seconds": seconds,
        "cautions": list(plan.cautions),
        "assumptions": list(plan.assumptions),
        "sources": list(cited_sources(plan)),
    }


def _more(plan: Plan) -> dict[str, Any]:
    """Everything else that the plan knows."""
    return {
        "made_by": made_by(),
        "warnings": list(plan.warnings),
        "source_keys": list(plan.sources),
        "limited_by": plan.limited_by,
        "goal": {
            "thickness_um": in_unit(plan.goal.thickness, "um"),
            "measured_at": plan.goal.measured_at.value,
        },
        "intervals": {
            "thickness_mean_um": _interval(plan.thickness_mean_interval, "um"),
            "thickness_p05_um": _interval(plan.thickness_p05_interval, "um"),
            "thickness_min_um": _interval(plan.thickness_minimum_interval, "um"),
            "voltage_V": _interval(plan.voltage_interval, "V"),
        },
        "rough_area_fraction": plan.rough_area_fraction,
        "copper_on_part_g": in_unit(plan.copper_on_part, "g"),
        "cathode_area_m2": plan.cathode_area,
        "growth_of_size_um": in_unit(plan.growth_of_size, "um"),
        "anodes": _anodes(plan),
        "wires": _wires(plan),
        "thief_current_A": plan.thief_current,
        "heat": _heat(plan),
        "bath": {
            "family": plan.electrolyte.family,
            "temperature_K": plan.electrolyte.temperature,
            "conductivity_S_m": _interval(plan.electrolyte.conductivity, "S/m"),
            "limiting_current_density_A_m2": _interval(
                plan.electrolyte.limiting_current_density, "A/m^2"
            ),
            "volume_m3": plan.cell.solution_volume,
        },
        "start": None if plan.start is None else start_json(plan.start),
        "rig": rig_json(plan.cell),
        "rules_of_thumb": [asdict(rule) for rule in usual_rules(plan)],
    }


def _anodes(plan: Plan) -> list[dict[str, Any]]:
    return [
        {
            "number": load.number,
            "current_A": load.current,
            "area_m2": load.area,
            "current_density_A_m2": {
                "mean": load.mean_current_density,
                "p95": load.p95_current_density,
            },
            "copper_used_g": in_unit(load.copper_used, "g"),
            "may_go_passive": bool(load.may_go_passive),
        }
        for load in plan.anodes
    ]


def _wires(plan: Plan) -> list[dict[str, Any]]:
    return [
        {
            "number": load.number,
            "carried_current_A": load.carried_current,
            "own_current_A": load.own_current,
            "metal_current_density_A_m2": load.metal_current_density,
            "voltage_drop_V": load.voltage_drop,
            "heat_W": load.heat,
            "copper_gained_g": in_unit(load.copper_gained, "g"),
            "remark": load.remark,
        }
        for load in plan.wires
    ]


def _heat(plan: Plan) -> dict[str, Any]:
    heat = plan.heat
    return {
        "ohmic_power_W": heat.ohmic_power,
        "loss_W": _interval(heat.loss, "W"),
        "holding_power_W": _interval(heat.holding_power, "W"),
        "warm_up_energy_J": heat.warm_up_energy,
        "water_lost_kg": _interval(heat.water_lost, "kg"),
    }


def _spread_um(spread: Spread) -> dict[str, float]:
    return {
        "mean": in_unit(spread.mean, "um"),
        "min": in_unit(spread.minimum, "um"),
        "p05": in_unit(spread.p05, "um"),
        "p95": in_unit(spread.p95, "um"),
        "max": in_unit(spread.maximum, "um"),
    }


def _interval(interval: Interval, unit: str) -> dict[str, float]:
    """Ends that hold nine times in ten, round the best guess."""
    return {
        "low": in_unit(interval.low, unit),
        "best": in_unit(interval.best, unit),
        "high": in_unit(interval.high, unit),
    }


def _finite(value: Any) -> Any:
    """The same tree of plain values, null where a number is not finite."""
    if isinstance(value, dict):
        return {key: _finite(entry) for key, entry in value.items()}
    if isinstance(value, list):
        return [_finite(entry) for entry in value]
    if isinstance(value, (str, bool)) or value is None:
        return value
    if isinstance(value, int):
        return int(value)
    return float(value) if isfinite(value) else None
