"""How much bath to take, so that the titre is large enough to be read well and fits the burette.

Every way to take a sample with the glassware at hand (straight, or by way of one measuring flask)
is worked through to the answer's expected deviation; the surest wins, unless one without a
dilution comes nearly as near.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import sqrt

from tankside.base.errors import BadInput, Impossible
from tankside.base.messages import Quantity
from tankside.base.wording import quoting
from tankside.bath.analysis.instruments import Volumetric
from tankside.bath.analysis.runs import drop_volume, expected_deviation
from tankside.bath.analysis.samples import Sample, diluted, taken_with
from tankside.bath.analysis.titrants import Titrant
from tankside.bath.analysis.titration import Titration

TITRE_RANGE = (0.1, 0.85)
"""Shares of the burette between which a titre is wanted [-]: our choice; the upper end leaves room
for a bath that is stronger than thought."""

NEARLY = 1.15
"""A straight sample wins where its deviation is within this factor of the best [-]: our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SamplePlan:
    """How to take the sample, and what to expect.

    sample               as it will be taken
    dilution             whether by way of a measuring flask
    titre                expected [m³]
    relative_std         expected deviation of the answer as a fraction of itself [-]
    """

    sample: Sample
    dilution: bool
    titre: float
    relative_std: float


def planned_sample(
    method: Titration,
    *,
    expected: float,
    titrant: Titrant,
    burette: Volumetric,
    pipettes: Sequence[Volumetric],
    flasks: Sequence[Volumetric] = (),
    runs: int = 2,
) -> SamplePlan:
    """The best sample for a bath expected to hold `expected` [kg m⁻³], for so many runs.

    Impossible where no way fits the burette, saying what the titrant's strength ought to be.
    """
    if not expected > 0.0:
        raise BadInput(
            "an expected concentration is above zero, not {expected} g/L", expected=expected
        )
    plans = [
        _plan(sample, dilution, method, expected, titrant, burette, runs)
        for sample, dilution in _ways(pipettes, flasks)
    ]
    low, high = (share * burette.capacity for share in TITRE_RANGE)
    fitting = [
        plan
        for plan in plans
        if low <= plan.titre <= high and plan.sample.volume.value <= method.largest_sample * 1.0001
    ]
    if not fitting:
        raise Impossible(_none_fits(method, expected, titrant, burette, plans))
    best = min(fitting, key=lambda plan: plan.relative_std)
    straight = [plan for plan in fitting if not plan.dilution]
    if straight:
        simple = min(straight, key=lambda plan: plan.relative_std)
        if simple.relative_std <= NEARLY * best.relative_std:
            return simple
    return best


def _ways(
    pipettes: Sequence[Volumetric], flasks: Sequence[Volumetric]
) -> Iterator[tuple[Sample, bool]]:
    for pipette in pipettes:
        yield taken_with(pipette), False
    for flask in flasks:
        for first in pipettes:
            if first.capacity > flask.capacity / 2.0:
                continue
            for second in pipettes:
                yield diluted(first, flask, second), True


def _plan(
    sample: Sample,
    dilution: bool,
    method: Titration,
    expected: float,
    titrant: Titrant,
    burette: Volumetric,
    runs: int,
) -> SamplePlan:
    strength = titrant.strength
    titre = method.titre_for(expected, sample.volume.value, strength.value)
    read = sqrt(
        expected_deviation(burette) ** 2 / runs
        + burette.scale_std**2
        + drop_volume(burette) ** 2 / 12.0
    )
    parts = (
        read / titre,
        strength.std / strength.value,
        sample.volume.std / sample.volume.value,
        method.method_std,
    )
    deviation = sqrt(sum(part**2 for part in parts))
    return SamplePlan(sample=sample, dilution=dilution, titre=titre, relative_std=deviation)


def _none_fits(
    method: Titration,
    expected: float,
    titrant: Titrant,
    burette: Volumetric,
    plans: Sequence[SamplePlan],
) -> str:
    words = quoting(
        "for about {expected} of {quantity}",
        expected=Quantity(expected, "g/L"),
        quantity=method.quantity.replace("_", " "),
    )
    if not plans:
        return quoting("{words} a sample needs a pipette or syringe; none is listed", words=words)
    usable = [p for p in plans if p.sample.volume.value <= method.largest_sample * 1.0001] or plans
    wanted = burette.capacity * sum(TITRE_RANGE) / 2.0
    nearest = min(usable, key=lambda plan: max(plan.titre / wanted, wanted / plan.titre))
    strength = titrant.strength.value * nearest.titre / wanted
    return quoting(
        "{words} no sample that this glassware can take gives a titre that suits a "
        "{burette}; with {sample}, a titrant of about {strength:.2g} mol/L would",
        words=words,
        burette=burette.words,
        sample=nearest.sample.words,
        strength=strength / 1e3,
    )
