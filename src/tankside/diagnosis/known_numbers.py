"""Numbers that the program already knows, as evidence: the bath's estimate, the plan, the log.

Each comes in a small value of plain numbers, so that this room depends on no room that makes them;
`of_plan` reads a plan itself. Whatever is None was not known and says nothing.
"""

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.intervals import Interval
from tankside.base.messages import said
from tankside.bath.families import Family
from tankside.diagnosis.evidence import Measured

if TYPE_CHECKING:  # a plan's rooms take seconds to load, and few diagnoses have one
    from tankside.bath.inventory.bath_estimate import BathEstimate
    from tankside.plan.plan import Plan

MODEL_SPREAD = 0.25
"""Relative spread of a plan's local numbers, nine times in ten [-]: our guess, mostly that of the
boundary layer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BathNumbers:
    """What the bath is believed to hold [kg m⁻³], each nine times in ten, and its temperature [K];
    charge [C m⁻³] passed for each volume of bath since carbon, filter and additive."""

    copper_sulfate_pentahydrate: Interval | None = None
    sulfuric_acid: Interval | None = None
    chloride: Interval | None = None
    temperature: Interval | None = None
    charge_since_carbon: Interval | None = None
    charge_since_filter: Interval | None = None
    charge_since_additive: Interval | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RunNumbers:
    """What the log of a run says.

    current_ratio           amps set over amps planned [-]
    area_ratio              true area over the area worked with, or its inverse, the larger [-]
    unpowered_before_start  time in the bath before the current [s]
    unpowered_in_run        time without current while the part hung there [s]
    voltage_limited_share   share of the run at the supply's voltage limit [-]
    voltage_fall_ratio      voltage of the first minute over that after an hour, at equal amps [-]
    voltage_rise_ratio      voltage at the end over that after an hour, at equal amps [-]
    start_current_share     amps of the first minute over working amps, on a bare coat [-]
    run_thickness           mean thickness by charge [m]
    mass_ratio              mass gained over Faraday's law of the recorded charge [-]
    current_jump_rate       jumps of the recorded current [s⁻¹]
    level_drop              fall of the liquid's level [m]
    idle_anode_time         how long anodes hung idle [s]
    """

    current_ratio: Interval | None = None
    area_ratio: Interval | None = None
    unpowered_before_start: Interval | None = None
    unpowered_in_run: Interval | None = None
    voltage_limited_share: Interval | None = None
    voltage_fall_ratio: Interval | None = None
    voltage_rise_ratio: Interval | None = None
    start_current_share: Interval | None = None
    run_thickness: Interval | None = None
    mass_ratio: Interval | None = None
    current_jump_rate: Interval | None = None
    level_drop: Interval | None = None
    idle_anode_time: Interval | None = None


def of_bath(
    numbers: BathNumbers, family: Family, origin: str = said("the estimate of the bath")
) -> tuple[Measured, ...]:
    """The bath's numbers against the windows of its family."""
    return tuple(
        Measured(
            quantity=name,
            value=value,
            origin=origin,
            window=_window(family, name),
        )
        for name, value in _known(numbers)
    )


def bath_numbers(estimate: "BathEstimate") -> BathNumbers:
    """What the ledger's estimate says of copper, acid and chloride."""
    from tankside.bath.inventory.bath_estimate import SALT_OF_COPPER

    return BathNumbers(
        copper_sulfate_pentahydrate=estimate.interval("copper").scaled(SALT_OF_COPPER),
        sulfuric_acid=estimate.interval("sulfuric_acid"),
        chloride=estimate.interval("chloride"),
    )


def of_run(numbers: RunNumbers, origin: str = said("the log")) -> tuple[Measured, ...]:
    """The log of a run."""
    return tuple(
        Measured(quantity=name, value=value, origin=origin) for name, value in _known(numbers)
    )


def of_plan(plan: "Plan") -> tuple[Measured, ...]:
    """The plan of the job as a whole: burning, rough and bare area, thin places, loads."""
    found = {
        "burning_area_fraction": plan.burning_area_fraction,
        "rough_area_fraction": plan.rough_area_fraction,
        "bare_area_fraction": plan.bare_area_fraction,
    }
    if plan.thickness.mean > 0.0:
        found["thin_ratio"] = max(plan.thickness.p05, 0.0) / plan.thickness.mean
    currents = [anode.current for anode in plan.anodes]
    if len(currents) > 1 and sum(currents) > 0.0:
        found["anode_share_ratio"] = max(currents) * len(currents) / sum(currents)
    if plan.anodes and plan.electrolyte.anode_limit.best > 0.0:
        highest = max(anode.mean_current_density for anode in plan.anodes)
        found["anode_load_ratio"] = highest / plan.electrolyte.anode_limit.best
    if plan.wires:
        found["metal_current_density"] = max(wire.metal_current_density for wire in plan.wires)
    return tuple(
        Measured(quantity=name, value=Interval.about(value, MODEL_SPREAD), origin=said("the plan"))
        for name, value in found.items()
    )


def _known(numbers: BathNumbers | RunNumbers) -> list[tuple[str, Interval]]:
    values = ((one.name, getattr(numbers, one.name)) for one in fields(numbers))
    return [(name, value) for name, value in values if value is not None]


def _window(family: Family, name: str) -> tuple[float, float] | None:
    window = family.windows.get(name)
    if window is None:
        return None
    shift = ZERO_CELSIUS_K if name == "temperature" else 0.0
    return window.low + shift, window.high + shift
