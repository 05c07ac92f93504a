"""What every file says about where it comes from: the program, the plan, and its sources."""

from importlib.metadata import version
from typing import Any

from tankside.base.provenance import source
from tankside.plan.plan import Plan


def made_by() -> str:
    """The program and its version, such as "Tankside 1.2.0"."""
    return f"Tankside {version('tankside')}"


def plan_origin(plan: Plan) -> dict[str, Any]:
    """What a field belongs to: settings, assumptions and cited sources; SI, unit in the name."""
    return {
        "current_A": plan.current,
        "duration_s": plan.duration,
        "goal_thickness_m": plan.goal.thickness,
        "goal_measured_at": plan.goal.measured_at.value,
        "bath_family": plan.electrolyte.family,
        "bath_temperature_K": plan.electrolyte.temperature,
        "assumptions": list(plan.assumptions),
        "warnings": list(plan.warnings),
        "sources": list(cited_sources(plan)),
    }


def cited_sources(plan: Plan) -> tuple[str, ...]:
    """The works that the plan stands on, one line each, in the plan's order."""
    return tuple(source(key).cited() for key in plan.sources)
