"""What came out of a run, held against what went in: scale, ampere-hours and callipers.

Three things are known of the copper on a part: what the scale says, what the charge should have
laid down, and how thick it is over how much area. They are tied by

    mass = charge * k * efficiency * share,      mean thickness = mass / (density * area),

and none is exact. The audit takes the logarithms as normal, with what the plan believed of each
factor before, and returns what is believed after: a linear least-squares answer in closed form.
Where the measurements contradict what was believed beyond chance, it says so and which factor would
have to give; mass, charge and area never disagree in silence.
"""

from dataclasses import dataclass
from math import erfc, exp, log, pi, sqrt

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.constants import (
    COPPER_DENSITY_KG_PER_M3,
    COPPER_MOLAR_MASS_KG_PER_MOL,
    COPPER_PER_CHARGE_KG_PER_C,
    COPPER_VALENCE,
)
from tankside.base.errors import BadInput
from tankside.base.intervals import NINE_IN_TEN, Interval
from tankside.runs.audit_words import findings

METER = Interval(0.98, 1.0, 1.02)
"""True over counted charge [-]: meters of bench supplies (common practice, no source)."""

DENSITY = Interval(
    0.985 * COPPER_DENSITY_KG_PER_M3, 0.995 * COPPER_DENSITY_KG_PER_M3, COPPER_DENSITY_KG_PER_M3
)
"""Of the deposit [kg m⁻³]: tables of electrodeposits lie between 8890 and 8960."""

FACTORS = ("efficiency", "share", "area", "meter", "density")


@dataclass(frozen=True, slots=True, kw_only=True)
class Believed:
    """What the plan held of a run before it was weighed, each nine times in ten.

    efficiency   copper's share of the current on the cathodes [-]
    share        the part's share of the copper [-]
    area         of the part's coat [m²]
    meter        true over counted charge [-]
    density      of the deposit [kg m⁻³]
    """

    efficiency: Interval
    share: Interval
    area: Interval
    meter: Interval = METER
    density: Interval = DENSITY

    def __post_init__(self) -> None:
        for name in FACTORS:
            if getattr(self, name).low <= 0.0:
                raise BadInput("the {name} believed before must be above zero", name=name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A calliper reading: where, the thickness laid down there [m] and how finely it was read [m],
    and what the plan said [m]."""

    place: str
    thickness: float
    resolution: float
    planned: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """What was measured.

    charge        counted [C]
    mass_gain     of the part alone, dry [kg], and how finely the scale reads [kg]; or None
    others_gain   of all else that hung there as cathode (wires, hooks, thieves) [kg]; or None
    points        calliper readings, perhaps none
    """

    charge: float
    mass_gain: float | None = None
    scale: float = 1e-4
    others_gain: float | None = None
    points: tuple[Point, ...] = ()

    def __post_init__(self) -> None:
        if not self.charge > 0.0:
            raise BadInput(
                "a charge of {charge:g} C laid nothing down; was it counted?", charge=self.charge
            )
        if self.mass_gain is not None and self.mass_gain <= 0.0:
            raise BadInput(
                "the part weighs {loss:.3g} g less than before, or the same; was it wet before, "
                "or were parts or wires taken off?",
                loss=-1e3 * self.mass_gain,
            )
        if self.others_gain is not None and (self.mass_gain is None or self.others_gain <= 0.0):
            raise BadInput("wires and hooks that were weighed have gained, and so has the part")
        for point in self.points:
            if point.planned <= 0.0 or point.resolution <= 0.0:
                raise BadInput(
                    "a planned thickness and a resolution are above zero", where=point.place
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Audit:
    """What is believed after.

    copper_mass       on the part [kg]
    mean_thickness    [m]
    factors           each factor after, by name
    chance            how often measurements would disagree so much by chance [-]
    explanations      (factor, share of the shift that it explains), the largest first
    ratio_of_points   measured over planned thickness, geometric mean [-], or None
    unevenness        thinnest over mean point, measured and planned, or None
    findings          sentences
    """

    copper_mass: Interval
    mean_thickness: Interval
    factors: dict[str, Interval]
    chance: float
    explanations: tuple[tuple[str, float], ...]
    ratio_of_points: Interval | None
    unevenness: tuple[float, float] | None
    findings: tuple[str, ...]


def audited(believed: Believed, weighed: Weighed) -> Audit:
    """The audit of one run."""
    if weighed.mass_gain is None and not weighed.points:
        raise BadInput("an audit needs a weight or a calliper reading")
    mean, spread = _prior(believed)
    rows, values, errors = _measurements(weighed, believed)
    after, covariance, chance = _updated(mean, spread, rows, values, errors)
    mass_row = np.array([1.0, 1.0, 0.0, 1.0, 0.0])
    thick_row = mass_row - np.array([0.0, 0.0, 1.0, 0.0, 1.0])
    laid = log(weighed.charge * COPPER_PER_CHARGE_KG_PER_C)
    shift = after - mean
    explanations = _explained(shift, np.sqrt(np.diag(spread)))
    return Audit(
        copper_mass=_interval(
            laid + float(mass_row @ after), float(mass_row @ covariance @ mass_row)
        ),
        mean_thickness=_interval(
            laid + float(thick_row @ after), float(thick_row @ covariance @ thick_row)
        ),
        factors={
            name: _interval(float(after[k]), float(covariance[k, k]))
            for k, name in enumerate(FACTORS)
        },
        chance=chance,
        explanations=explanations,
        ratio_of_points=_ratio(weighed.points),
        unevenness=_unevenness(weighed.points),
        findings=tuple(findings(weighed, believed, chance, explanations)),
    )


def efficiency_by_coulometer(
    mass_gain: float, coulometer_gain: float, valence: int, molar_mass: float
) -> float:
    """Cathode efficiency [-] of a test in series with a copper coulometer: masses gained [kg], and
    the tested metal's valence and molar mass [kg mol⁻¹] (Metal Finishing Guidebook 2012-13,
    p. 554)."""
    equivalents = COPPER_MOLAR_MASS_KG_PER_MOL / COPPER_VALENCE
    return mass_gain * valence * equivalents / (coulometer_gain * molar_mass)


def _prior(believed: Believed) -> tuple[Floats, Floats]:
    """Mean and covariance of the factors' logarithms."""
    intervals = [getattr(believed, name) for name in FACTORS]
    mean = np.array([log(one.best) for one in intervals])
    deviation = [max(1e-6, log(one.high / one.low) / (2 * NINE_IN_TEN)) for one in intervals]
    return mean, np.diag(np.square(deviation))


def _measurements(weighed: Weighed, believed: Believed) -> tuple[Floats, Floats, Floats]:
    """Rows on the factors, values less the charge's part, standard deviations; in logarithms. A
    gain is the difference of two roundings. All copper together does not know how it was shared,
    which is what tells current that made no copper from copper beside the part."""
    laid = log(weighed.charge * COPPER_PER_CHARGE_KG_PER_C)
    rows, values, errors = [], [], []
    if weighed.mass_gain is not None:
        rows.append([1.0, 1.0, 0.0, 1.0, 0.0])
        values.append(log(weighed.mass_gain) - laid)
        errors.append(max(1e-6, weighed.scale * sqrt(1 / 6) / weighed.mass_gain))
        if weighed.others_gain is not None:
            total = weighed.mass_gain + weighed.others_gain
            rows.append([1.0, 0.0, 0.0, 1.0, 0.0])
            values.append(log(total) - laid)
            errors.append(max(1e-6, weighed.scale * sqrt(1 / 6) / total))
    ratio = _ratio(weighed.points)
    if ratio is not None:
        planned = exp(laid + sum(
            sign * log(getattr(believed, name).best)
            for name, sign in zip(FACTORS, (1, 1, -1, 1, -1), strict=True)
        ))  # fmt: skip
        rows.append([1.0, 1.0, -1.0, 1.0, -1.0])
        values.append(log(ratio.best * planned) - laid)
        errors.append(log(ratio.high / ratio.low) / (2 * NINE_IN_TEN))
    return np.array(rows), np.array(values), np.array(errors)


def _updated(
    mean: Floats, spread: Floats, rows: Floats, values: Floats, errors: Floats
) -> tuple[Floats, Floats, float]:
    """Mean and covariance after, and the chance of such a misfit before."""
    expected = rows @ spread @ rows.T + np.diag(errors**2)
    missed = values - rows @ mean
    gain = np.linalg.solve(expected, rows @ spread).T
    misfit = float(missed @ np.linalg.solve(expected, missed))
    return mean + gain @ missed, spread - gain @ rows @ spread, _chance(misfit, len(values))


def _chance(misfit: float, count: int) -> float:
    """Of a chi-squared number of one to three degrees of freedom to be as large."""
    if count == 2:
        return exp(-misfit / 2)
    beyond = erfc(sqrt(misfit / 2))
    return beyond if count == 1 else beyond + sqrt(2 * misfit / pi) * exp(-misfit / 2)


def _explained(shift: Floats, deviation: Floats) -> tuple[tuple[str, float], ...]:
    pulls = np.square(shift / deviation)
    total = float(pulls.sum())
    if total == 0.0:
        return ()
    order = np.argsort(-pulls)
    return tuple((FACTORS[k], float(pulls[k] / total)) for k in order)


def _ratio(points: tuple[Point, ...]) -> Interval | None:
    """Geometric mean of measured over planned; its error from the readings, and from their scatter
    where there are several."""
    usable = [point for point in points if point.thickness > point.resolution]
    if not usable:
        return None
    ratios = np.array([log(point.thickness / point.planned) for point in usable])
    reading = np.array([point.resolution * sqrt(1 / 6) / point.thickness for point in usable])
    variance = float(np.square(reading).sum()) / len(usable) ** 2
    if len(usable) > 1:
        variance = max(variance, float(ratios.var(ddof=1)) / len(usable))
    return _interval(float(ratios.mean()), max(variance, 1e-8))


def _unevenness(points: tuple[Point, ...]) -> tuple[float, float] | None:
    if len(points) < 2:
        return None
    measured = [point.thickness for point in points]
    planned = [point.planned for point in points]
    return (
        min(measured) * len(points) / sum(measured),
        min(planned) * len(points) / sum(planned),
    )


def _interval(mean: float, variance: float) -> Interval:
    half = NINE_IN_TEN * sqrt(max(variance, 0.0))
    return Interval(exp(mean - half), exp(mean), exp(mean + half))
