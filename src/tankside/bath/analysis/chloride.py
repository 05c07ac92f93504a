"""Chloride: by silver nitrate along a curve of millivolts, or by turbidity against standards."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import inf, sqrt

from tankside.base.errors import BadInput
from tankside.bath.analysis.finding import Finding, finding
from tankside.bath.analysis.instruments import Volumetric
from tankside.bath.analysis.parameters import number
from tankside.bath.analysis.potentiometry import Curve, end_point
from tankside.bath.analysis.propagation import Measured, propagated
from tankside.bath.analysis.runs import Titre
from tankside.bath.analysis.samples import Sample
from tankside.bath.analysis.titrants import Titrant
from tankside.bath.analysis.titration import NOTHING, titration, worked_out


class Looks(StrEnum):
    """How the sample looks beside a standard after silver nitrate."""

    CLEARER = "clearer"
    SAME = "same"
    CLOUDIER = "cloudier"


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """A standard of known chloride [kg m⁻³] and how the sample looks beside it."""

    standard: float
    sample_looks: Looks


def chloride_by_silver(
    curve: Curve,
    *,
    titrant: Titrant,
    burette: Volumetric,
    sample: Sample,
    water: float,
    expected: float | None = None,
    sure: bool = False,
) -> Finding:
    """Chloride [kg m⁻³] from volumes and millivolts; `water` is what thinned the sample [m³]."""
    end = end_point(curve, initial_volume=sample.volume.value + water)
    reading = sqrt(2.0) * burette.reading_std
    deviation = sqrt(end.volume.std**2 + reading**2)
    titre = Titre(
        mean=Measured(value=end.volume.value, std=deviation),
        scale=Measured(value=0.0, std=burette.scale_std),
        stop=NOTHING,
        notes=(
            f"The end lies at {end.volume.value * 1e6:.2f} mL by {end.by}.",
            *end.notes,
        ),
    )
    return worked_out(
        titration("chloride-by-silver"),
        titre,
        titrant=titrant,
        burette=burette,
        sample=sample,
        expected=expected,
        sure=sure,
    )


def chloride_by_turbidity(
    comparisons: Sequence[Comparison], *, dilution: Measured | None = None
) -> Finding:
    """Chloride [kg m⁻³] between the standards that the sample lies between.

    Standards must hold the copper and acid of the bath, or colour and salt mislead. `dilution` is
    by how much the sample was thinned before it was compared [-]. BadInput where the comparisons
    contradict each other or give no end on one side.
    """
    low, high = _bracket(comparisons)
    middle = sqrt(low * high) if low > 0.0 else high / 2.0
    eye = number("eye_against_standards").best
    inputs = {
        "bracket": Measured(value=middle, std=(high - low) / sqrt(12.0)),
        "eye": Measured(value=1.0, std=eye / sqrt(3.0)),
        "dilution": dilution or Measured(value=1.0),
    }
    outcome = propagated(lambda bracket, eye, dilution: bracket * eye * dilution, inputs)
    return finding(
        "chloride",
        outcome,
        method="chloride by turbidity with silver nitrate against standards",
        notes=(
            f"The sample lies between standards of {low * 1e3:.3g} and {high * 1e3:.3g} mg/L.",
            "Compare within ten minutes of adding silver, out of sunlight, all flasks alike.",
        ),
    )


def _bracket(comparisons: Sequence[Comparison]) -> tuple[float, float]:
    """Ends that the sample lies between [kg m⁻³]; a standard that looks the same is both, spread
    to halfway to its neighbours."""
    if any(one.standard < 0.0 for one in comparisons):
        raise BadInput("a standard holds no less than zero chloride")
    stronger = [one.standard for one in comparisons if one.sample_looks is Looks.CLEARER]
    weaker = [one.standard for one in comparisons if one.sample_looks is Looks.CLOUDIER]
    same = [one.standard for one in comparisons if one.sample_looks is Looks.SAME]
    low, high = max(weaker, default=0.0), min(stronger, default=inf)
    if low >= high or any(not low < one < high for one in same):
        raise BadInput(
            "the sample cannot be cloudier than a strong standard and clearer than a weaker one; "
            "look again, or make the standards anew"
        )
    if same:
        low, high = (low + min(same)) / 2.0, (max(same) + min(high, 2.0 * max(same))) / 2.0
    if high == inf:
        raise BadInput(
            "the sample is cloudier than the strongest standard of {low:.3g} mg/L; dilute it, or "
            "make a stronger standard",
            low=low * 1e3,
        )
    return low, high
