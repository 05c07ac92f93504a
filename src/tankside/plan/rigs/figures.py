"""What is judged of a rig and what is found: values only, which workers and journals carry."""

from dataclasses import dataclass
from enum import StrEnum
from math import inf

from tankside.bath.electrolyte import Electrolyte
from tankside.cell.coating import End
from tankside.cell.description import PanelBudget
from tankside.plan.plan import Goal, Supply
from tankside.plan.rigs.rig import Rig
from tankside.plan.rigs.starting import StartFigures

AIR_BORNE_M3 = 5e-8
"""Trapped air below this is bubbles that a shake frees [m³]: our guess."""


class Starts(StrEnum):
    """How the start on a coat is worked out: not; with the solution lumped, which adds half to a
    rig's time; or by the whole growth, which takes ten times as long as the rig."""

    LEFT_OUT = "left out"
    QUICK = "quick"
    WHOLE = "whole"


@dataclass(frozen=True, kw_only=True)
class Bench:
    """What every rig of a search is judged by.

    goal        the person's; a current in it is kept
    panels      of everything but the parts
    air         trapped under each part that is borne [m³], in the parts' order: what the person's
                own rig traps, or AIR_BORNE_M3
    starts      how the start on a coat is worked out
    coat        the end of what is believed of coats' sheet resistance that starts are judged by
    start_within  the time that a start may take [s]; None for the usual patience
    """

    electrolyte: Electrolyte
    supply: Supply
    goal: Goal
    panels: PanelBudget
    air: tuple[float, ...]
    starts: Starts = Starts.LEFT_OUT
    coat: End = "high"
    start_within: float | None = None


@dataclass(frozen=True, kw_only=True)
class RigCase:
    """One rig to be evaluated at one bench: all that a worker needs."""

    rig: Rig
    bench: Bench


@dataclass(frozen=True, slots=True, kw_only=True)
class RigStart:
    """How a rig's start goes; on metal, or where starts are left out, as it is given here.

    delay            what it costs the job [s]; None where it fails
    covered          share of the coat that copper covers in time [-]
    covered_after    until 99 % of the coat is covered [s]; None where it is not in time
    collar_fraction  of copper's limit that thin copper round a wire bears at most [-]
    failure          why it fails, or ""
    """

    delay: float | None = 0.0
    covered: float = 1.0
    covered_after: float | None = 0.0
    collar_fraction: float = 0.0
    failure: str = ""

    @classmethod
    def of(cls, start: StartFigures | None) -> "RigStart":
        """Of a start that was worked out, or of none."""
        if start is None:
            return cls()
        return cls(
            delay=None if start.failure else start.delay,
            covered=start.covered_share,
            covered_after=start.covered_after if start.covered_after < inf else None,
            collar_fraction=start.collar_fraction,
            failure=start.failure,
        )


@dataclass(frozen=True, kw_only=True)
class RigFigures:
    """What a rig gives. Rates hold at its own current.

    thinnest_rate         growth that 95 % of a part's area exceeds, of the part that fares worst
                          [m s⁻¹]
    part_thinnest_rates   the same part by part [m s⁻¹]
    mean_rate             over all parts [m s⁻¹]
    thickest_rate         growth that 5 % of all parts' area exceeds [m s⁻¹]
    copper_rate           deposited on everything that plates [kg s⁻¹]
    part_copper_rate      on the parts [kg s⁻¹]
    burning_fraction      of the parts' area at copper's limit, in the worst stage [-]
    rough_fraction        of it where deposits roughen [-]
    highest_fraction      of copper's limit, that 1 % of the parts' area exceeds [-]
    current, voltage      at the supply [A], [V], in the stage where each is highest
    limited_by            what keeps the current from being higher
    solved_panels         of all stages
    start                 on a coat, by the poorest coat that is believed
    """

    thinnest_rate: float
    part_thinnest_rates: tuple[float, ...]
    mean_rate: float
    thickest_rate: float
    copper_rate: float
    part_copper_rate: float
    burning_fraction: float
    rough_fraction: float
    highest_fraction: float
    current: float
    voltage: float
    limited_by: str
    solved_panels: int
    start: RigStart = RigStart()


@dataclass(frozen=True, kw_only=True)
class RigResult:
    """The figures, or why the rig cannot be: exactly one of the two."""

    figures: RigFigures | None = None
    refusal: str = ""
