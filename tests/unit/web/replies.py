"""Replies of plans, as the open contract has them, made up for the pages that show them."""

from typing import Any


def a_plan(**more: Any) -> dict[str, Any]:
    """A plan of the block of tests.unit.web.desk; `more` takes the place of its keys."""
    return {
        "current_A": 0.5, "hours": 10.0, "charge_Ah": 5.0, "copper_g": 5.9, "area_m2": 0.0052,
        "current_density_A_m2": {"mean": 96.0, "min": 60.0, "max": 150.0},
        "thickness_um": {"mean": 120.0, "min": 60.0, "p05": 80.0, "p95": 160.0, "max": 180.0},
        "voltage_V": {"total": 0.4, "anode": 0.1, "solution": 0.2, "cathode": 0.1, "leads": 0.0},
        "burning_area_fraction": 0.0, "bare_area_fraction": 0.0, "rough_area_fraction": 0.02,
        "wagner_number": 0.3, "checks": {"charge_balance": 1e-8, "mass_balance": 0.0},
        "panels": 9000, "seconds": 20.0, "cautions": ["wear goggles"], "assumptions": ["a"],
        "sources": ["b"], "made_by": "Tankside 0.1.0", "warnings": [],
        "limited_by": "The deposit sets the current.",
        "goal": {"thickness_um": 120.0, "measured_at": "mean"},
        "intervals": {
            key: {"low": 0.9, "best": 1.0, "high": 1.1}
            for key in ("thickness_mean_um", "thickness_p05_um", "thickness_min_um", "voltage_V")
        },
        "copper_on_part_g": 5.6, "growth_of_size_um": 240.0, "anodes": [], "wires": [],
        "heat": {"holding_power_W": {"low": 0.0, "best": 20.0, "high": 40.0}}, "start": None,
        **more,
    }  # fmt: skip


def slower(**more: Any) -> dict[str, Any]:
    """The same at a lower current: longer and more even."""
    thickness = {"mean": 120.0, "min": 75.0, "p05": 95.0, "p95": 142.5, "max": 150.0}
    return a_plan(current_A=0.3, hours=16.7, thickness_um=thickness, **more)
