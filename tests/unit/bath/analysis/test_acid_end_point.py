"""What a titration of acid beside copper misses, against the whole equilibrium solved anew."""

from math import log10, sqrt
from typing import Any

import phreeqc
import pytest
from scipy.optimize import brentq

from tankside.base.errors import BadInput, OutsideValidity, UnknownName
from tankside.bath.analysis.acid_end_point import (
    Flask,
    cloud_pH,
    free_acid,
    indicator,
    shortfall,
    stopped_at,
)
from tankside.bath.analysis.propagation import Measured
from tankside.bath.analysis.runs import Run
from tankside.bath.analysis.titrants import bought
from tankside.bath.analysis.titration import titrated, titration
from tankside.substances import molar_mass
from tests.unit.bath.analysis.bench import BURETTE, ML, exact_sample

HYDROXIDE = bought("sodium hydroxide", 1000.0, 0.0)
WATER = 100.0 * ML


def stopping_pH(acid: float, copper: float, titre_mL: float, sample_mL: float) -> float:
    """pH of a flask by charge balance over H+, Na+, Cu2+, CuOH+, HSO4-, SO4 2-, OH-: a solver of
    its own, with Davies' activities, in mol/L. Acid and copper of the bath in g/L."""
    volume = sample_mL + 100.0 + titre_mL
    sulfate_of_acid = acid / 98.074 * sample_mL / volume
    copper_total = copper / 63.546 * sample_mL / volume
    sodium = titre_mL * 1.0 / volume
    sulfate = sulfate_of_acid + copper_total
    strength = (4 * copper_total + 4 * (copper_total + sodium / 2) + sodium) / 2
    root = sqrt(strength)
    log_one = -0.509 * (root / (1 + root) - 0.3 * strength)
    one, two = 10**log_one, 10 ** (4 * log_one)

    def charge(pH: float) -> float:
        activity = 10**-pH
        protons = activity / one
        bisulfate_ratio = 10**1.988 * activity * two / one
        bisulfate = sulfate * bisulfate_ratio / (1 + bisulfate_ratio)
        hydrolysis_ratio = 10**-8.0 * two / activity / one
        hydrolysed = copper_total * hydrolysis_ratio / (1 + hydrolysis_ratio)
        free = copper_total - hydrolysed
        hydroxide = 1e-14 / activity / one
        positive = protons + sodium + 2 * free + hydrolysed
        negative = bisulfate + 2 * (sulfate - bisulfate) + hydroxide
        return positive - negative

    return float(brentq(charge, 0.0, 9.0))


BATHS = [
    (60.0, 50.0, 2.0),
    (190.0, 19.0, 2.0),
    (60.0, 50.0, 5.0),
    (30.0, 22.0, 5.0),
    (200.0, 0.0, 1.0),
]


def flask_of(acid: float, copper: float, titre_mL: float, sample_mL: float) -> Flask:
    volume = (sample_mL + 100.0 + titre_mL) * ML
    metal = copper / molar_mass("Cu") * sample_mL * ML / volume
    acid_in = acid / molar_mass("H2SO4") * sample_mL * ML / volume
    sodium = titre_mL * ML * 1000.0 / volume
    return Flask(copper=metal, sulfate=metal + acid_in, sodium=sodium, volume=volume)


@pytest.mark.parametrize(("acid", "copper", "sample_mL"), BATHS)
@pytest.mark.parametrize("share", [0.93, 0.96, 0.98, 0.99])
def test_what_is_missing_is_what_a_charge_balance_says(
    acid: float, copper: float, sample_mL: float, share: float
) -> None:
    """Stopped short of the equivalence, the missing protons are those not yet titrated."""
    equivalence = 2.0 * acid / (1e3 * molar_mass("H2SO4")) * sample_mL
    titre = share * equivalence
    at = stopping_pH(acid, copper, titre, sample_mL)
    flask = flask_of(acid, copper, titre, sample_mL)
    missing = (equivalence - titre) * ML * 1000.0 / flask.volume
    found = shortfall(flask, Measured(value=at), free_sulfate=Measured(value=1.0))
    assert found.value == pytest.approx(missing, rel=0.01)


def survey_pH(database: str, flask: Flask) -> float:
    """pH of a flask by the geological survey's program with one of its data files."""
    copper = f"Cu(2) {flask.copper / 1e3}" if flask.copper else ""
    program: Any = phreeqc.Phreeqc()
    assert program.LoadBuiltInDatabase(database) == 0
    text = (
        "SELECTED_OUTPUT\n-reset false\n-pH true\nSOLUTION 1\ntemp 25\nunits mol/kgw\n"
        f"pH 3 charge\nS(6) {flask.sulfate / 1e3}\nNa {flask.sodium / 1e3}\n{copper}\nEND\n"
    )
    assert program.RunString(text) == 0, program.GetErrorString()
    return float(program.GetSelectedOutputValue(program.GetSelectedOutputRowCount() - 1, 0))


@pytest.mark.parametrize(("acid", "copper", "sample_mL"), BATHS)
@pytest.mark.parametrize("share", [0.98, 0.99, 0.995])
@pytest.mark.parametrize("database", ["minteq.v4.dat", "wateq4f.dat", "phreeqc.dat"])
def test_the_corrected_answer_is_the_acid_of_a_flask_with_ion_pairs(
    acid: float, copper: float, sample_mL: float, share: float, database: str
) -> None:
    """The flask's pH by a program of others, with its own constants, pairs and activities."""
    titre = share * 2.0 * acid / (1e3 * molar_mass("H2SO4")) * sample_mL
    at = survey_pH(database, flask_of(acid, copper, titre, sample_mL))
    found = free_acid(
        [Run(end=titre * ML), Run(end=titre * ML)],
        titrant=HYDROXIDE,
        burette=BURETTE,
        sample=exact_sample(sample_mL * ML),
        indicator=stopped_at(at, 0.02),
        copper=Measured(value=copper, std=0.5),
    )
    assert found.value.best == pytest.approx(acid, rel=6e-3)
    assert found.value.low < acid < found.value.high


def test_without_the_correction_methyl_orange_reads_low() -> None:
    runs = [Run(end=2.42 * ML), Run(end=2.42 * ML)]
    sample = exact_sample(2.0 * ML)
    plain = titrated(
        titration("acid-by-hydroxide"), runs, titrant=HYDROXIDE, burette=BURETTE, sample=sample
    )
    corrected = free_acid(
        runs,
        titrant=HYDROXIDE,
        burette=BURETTE,
        sample=sample,
        indicator=indicator("methyl orange"),
        copper=Measured(value=50.0, std=1.0),
    )
    assert 1.005 < corrected.value.best / plain.value.best < 1.03
    assert corrected.std > plain.std
    assert "were added" in corrected.notes[0]
    assert "ball1991" in corrected.sources


@pytest.mark.parametrize("name", ["phenolphthalein", "bromocresol green"])
def test_indicators_that_turn_after_copper_falls_are_refused(name: str) -> None:
    with pytest.raises(BadInput, match="copper hydroxide has been falling"):
        free_acid(
            [Run(end=6.1 * ML)],
            titrant=HYDROXIDE,
            burette=BURETTE,
            sample=exact_sample(10.0 * ML),
            indicator=indicator(name),
            copper=Measured(value=56.0, std=1.0),
        )


def test_phenolphthalein_is_right_where_there_is_no_copper() -> None:
    found = free_acid(
        [Run(end=10.0 * ML)],
        titrant=HYDROXIDE,
        burette=BURETTE,
        sample=exact_sample(5.0 * ML),
        indicator=indicator("phenolphthalein"),
        copper=Measured(value=0.0),
    )
    expected = titration("acid-by-hydroxide").concentration(10.0 * ML, 5.0 * ML, 1000.0)
    assert found.value.best == pytest.approx(expected, rel=1e-5)


def test_brochantite_falls_where_its_constant_says() -> None:
    """At vanishing strength 4 log Cu + log SO4 + 6 pH equals the constant."""
    thin = Flask(copper=1e-3, sulfate=1e-3, sodium=0.0, volume=1e-4)
    pH = cloud_pH(thin)
    assert 5 * log10(1e-6) + 6 * pH == pytest.approx(15.34, abs=0.05)
    strong = Flask(copper=20.0, sulfate=40.0, sodium=40.0, volume=1e-4)
    assert cloud_pH(strong) < pH


def test_too_much_salt_is_beyond_the_law() -> None:
    flask = Flask(copper=200.0, sulfate=300.0, sodium=200.0, volume=1e-4)
    with pytest.raises(OutsideValidity, match="less bath or more water"):
        shortfall(flask, Measured(value=3.8))


def test_a_stated_pH_is_as_good_as_an_indicator() -> None:
    assert stopped_at(3.6).stop == indicator("pH meter").stop
    with pytest.raises(BadInput, match=r"between 2\.5 and 10"):
        stopped_at(1.0)


def test_an_unknown_indicator_offers_close_ones() -> None:
    with pytest.raises(UnknownName, match="methyl orange"):
        indicator("methyl oragne")
