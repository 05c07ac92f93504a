"""What a titration of free acid misses, because copper and sulfate are in the flask.

At the pH where it is stopped, sulfate still holds protons and some are free (acid not yet counted),
and copper has begun to take hydroxide (base counted as acid):

    missing = [H+] + s [HSO4-] - [CuOH+],      activities after Davies, I up to 0.5 mol/kg

where s, a little below one, stands for the sulfate that copper and sodium pair with.

Above the pH where brochantite, Cu4(OH)6SO4, can fall, copper itself is titrated: indicators that
turn there are refused. Concentrations are those in the flask, mol m⁻³; 25 °C.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import log10, sqrt

from tankside.base.errors import BadInput, OutsideValidity, UnknownName
from tankside.base.tables import table
from tankside.bath.analysis.finding import Finding
from tankside.bath.analysis.instruments import Volumetric
from tankside.bath.analysis.parameters import deviation, number
from tankside.bath.analysis.propagation import Measured, propagated
from tankside.bath.analysis.runs import Run
from tankside.bath.analysis.samples import Sample
from tankside.bath.analysis.titrants import Titrant
from tankside.bath.analysis.titration import titrated, titration
from tankside.substances import molar_mass

DEBYE_HUCKEL_25C = 0.509
"""Slope of Debye and Hückel's law for water at 25 °C, on decimal logarithms [kg^½ mol^-½]."""

MOST_IONIC_STRENGTH = 0.5
"""Up to where Davies' equation is used [mol kg⁻¹], as its author did."""

CLOUD_MARGIN = 0.4
"""Fresh precipitate is more soluble than the aged solid of the constant: it falls this much later
[pH], our guess."""


_ROUNDS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Indicator:
    """What an acid titration is stopped by: the pH where it is seen, with one deviation."""

    name: str
    words: str
    stop: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Flask:
    """What is in the flask near the end, [mol m⁻³]: copper, sulfate of all kinds, sodium; and the
    volume [m³]."""

    copper: float
    sulfate: float
    sodium: float
    volume: float

    @property
    def ionic_strength(self) -> float:
        """[mol kg⁻¹], all sulfate as such, a litre of thin liquid taken as a kilogram of water."""
        return (4.0 * self.copper + 4.0 * self.sulfate + self.sodium) / 2.0 / 1e3


def free_acid(
    runs: Sequence[Run],
    *,
    titrant: Titrant,
    burette: Volumetric,
    sample: Sample,
    indicator: Indicator,
    copper: Measured,
    water: float = 1e-4,
    expected: float | None = None,
    sure: bool = False,
) -> Finding:
    """Free sulfuric acid [kg m⁻³] of a bath by sodium hydroxide, corrected for the end point.

    `copper` is the bath's metal [kg m⁻³]; `water` what the sample was thinned with [m³].
    BadInput where the indicator turns only after copper hydroxide falls.
    """
    method = titration("acid-by-hydroxide")
    volume = sum(run.end - run.start for run in runs) / max(len(runs), 1)
    flask = _flask(volume, titrant, sample, copper.value, water, indicator.stop.value)
    _refuse_cloud(indicator, flask)
    short = shortfall(flask, indicator.stop).scaled(flask.volume / titrant.strength.value)
    found = titrated(
        method,
        runs,
        titrant=titrant,
        burette=burette,
        sample=sample,
        short=short,
        expected=expected,
        sure=sure,
    )
    note = (
        f"The end was taken at pH {indicator.stop.value:.1f} ({indicator.name}); "
        f"{short.value * 1e6:+.2f} mL were added for protons that sulfate still held there."
    )
    sources = tuple(sorted({*found.sources, "ball1991"}))
    return replace(found, notes=(note, *found.notes), sources=sources)


def shortfall(flask: Flask, stop: Measured, *, free_sulfate: Measured | None = None) -> Measured:
    """Acid not yet titrated when a flask stands at a pH [mol m⁻³ of protons]; negative beyond.

    `free_sulfate` is the share of bisulfate that pairing leaves [-], the held number if None.
    """
    held = Measured(value=number("free_sulfate").best, std=deviation("free_sulfate"))
    inputs = {
        "pairing": free_sulfate or held,
        "pH": stop,
        "bisulfate": Measured(value=number("bisulfate").best, std=deviation("bisulfate")),
        "hydrolysis": Measured(
            value=number("copper_hydrolysis").best, std=deviation("copper_hydrolysis")
        ),
    }
    found = propagated(
        lambda **read: _missing(
            flask, read["pH"], read["bisulfate"], read["hydrolysis"], read["pairing"]
        ),
        inputs,
    )
    return found.measured


def cloud_pH(flask: Flask) -> float:
    """pH from which brochantite can fall in a flask."""
    _, two = _log_activities(flask.ionic_strength)
    log_copper = log10(max(flask.copper, 1e-9) / 1e3) + two
    log_sulfate = log10(max(flask.sulfate, 1e-9) / 1e3) + two
    return float(number("brochantite").best - 4.0 * log_copper - log_sulfate) / 6.0


def indicator(name: str) -> Indicator:
    """The indicator of this name, "pH meter" among them; UnknownName offers close ones."""
    known = indicators()
    if name not in known:
        raise UnknownName("indicator", name, known)
    return known[name]


def stopped_at(pH: float, std: float = 0.06) -> Indicator:
    """A pH meter that the titration is stopped by at a stated pH, with one deviation."""
    if not 2.5 <= pH <= 10.0:
        raise BadInput("free acid is titrated to a pH between 2.5 and 10, not to {ph:g}", ph=pH)
    return Indicator(
        name="pH meter",
        words=f"the reading stays at {pH:.2f} for half a minute",
        stop=Measured(value=pH, std=std),
    )


@cache
def indicators() -> dict[str, Indicator]:
    """All that an acid titration can be stopped by, by name."""
    return {
        row["name"]: Indicator(
            name=row["name"],
            words=row["words"],
            stop=Measured(value=float(row["stop_pH"]), std=float(row["spread_pH"])),
        )
        for row in table("tankside.bath.analysis", "indicators.csv")
    }


def _flask(
    titre: float, titrant: Titrant, sample: Sample, copper: float, water: float, stop: float
) -> Flask:
    """The flask at the end; its sulfate counts the acid that is missing there, found in rounds."""
    volume = sample.volume.value + water + titre
    metal = copper * sample.volume.value / molar_mass("Cu") / volume
    sodium = titre * titrant.strength.value / volume
    flask = Flask(copper=metal, sulfate=metal + sodium / 2.0, sodium=sodium, volume=volume)
    for _ in range(_ROUNDS):
        missing = max(shortfall(flask, Measured(value=stop)).value, 0.0)
        flask = replace(flask, sulfate=metal + (sodium + missing) / 2.0)
    return flask


def _refuse_cloud(chosen: Indicator, flask: Flask) -> None:
    falls = cloud_pH(flask) + CLOUD_MARGIN
    if flask.copper > 0.0 and chosen.stop.value > falls:
        raise BadInput(
            "{chosen} turns at pH {stop:.1f}, where copper hydroxide has been falling since about "
            "pH {falls:.1f} and takes base as acid does; use methyl orange, or a pH meter to 3.6",
            chosen=chosen.name,
            stop=chosen.stop.value,
            falls=falls,
        )


def _missing(flask: Flask, pH: float, bisulfate: float, hydrolysis: float, pairing: float) -> float:
    one, two = _log_activities(flask.ionic_strength)
    protons = 10.0 ** (-pH - one)
    held = 10.0 ** (bisulfate - pH + two - one)
    hydrolysed = 10.0 ** (hydrolysis + pH + two - one)
    return float(
        1e3 * protons
        + pairing * flask.sulfate * held / (1.0 + held)
        - flask.copper * hydrolysed / (1.0 + hydrolysed)
    )


def _log_activities(ionic_strength: float) -> tuple[float, float]:
    """Decimal logarithms of the activity coefficients of ions of charge one and two."""
    if ionic_strength > MOST_IONIC_STRENGTH:
        raise OutsideValidity(
            "the flask's ionic strength of {ionic_strength:.2f} mol/kg is beyond the "
            "{most_ionic_strength} of the activity law; take less bath or more water",
            ionic_strength=ionic_strength,
            most_ionic_strength=MOST_IONIC_STRENGTH,
        )
    root = sqrt(ionic_strength)
    single = -DEBYE_HUCKEL_25C * (root / (1.0 + root) - 0.3 * ionic_strength)
    return single, 4.0 * single
