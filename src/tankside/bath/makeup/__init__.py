"""A bath from bottles: amounts, order, warmth, what comes out and what it costs."""

from tankside.bath.makeup.make_up import adjusted, made_up
from tankside.bath.makeup.plan import Action, Amount, MakeUpPlan, Resulting, Step, StockSolution
from tankside.bath.makeup.request import (
    Additive,
    MakeUpRequest,
    Measures,
    OldBath,
    Preference,
    Stocked,
    Target,
    Tool,
    Wanted,
    acid_sulfate_target,
)
from tankside.bath.makeup.vessels import Vessel, cylinder

__all__ = [
    "Action",
    "Additive",
    "Amount",
    "MakeUpPlan",
    "MakeUpRequest",
    "Measures",
    "OldBath",
    "Preference",
    "Resulting",
    "Step",
    "StockSolution",
    "Stocked",
    "Target",
    "Tool",
    "Vessel",
    "Wanted",
    "acid_sulfate_target",
    "adjusted",
    "cylinder",
    "made_up",
]
