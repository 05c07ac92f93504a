"""Laws of the analyses: scaling, order of slips, and intervals that hold what they say.

The coverage tests play a bench many times with hidden truth: bottles, glassware and eyes err as the
tables say, the analysis sees only labels and readings.
"""

from collections.abc import Callable
from math import sqrt

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tankside.bath.analysis.acid_end_point import Flask, free_acid, indicator, shortfall
from tankside.bath.analysis.chloride import chloride_by_silver
from tankside.bath.analysis.density_line import acid_from
from tankside.bath.analysis.finding import Finding, finding
from tankside.bath.analysis.hydrometer import Hydrometer, Mark, density_by_hydrometer
from tankside.bath.analysis.instruments import instrument, scale
from tankside.bath.analysis.parameters import deviation, number
from tankside.bath.analysis.ph_meter import BUFFER_STD, BufferReading, ph_by_meter
from tankside.bath.analysis.potentiometry import Curve
from tankside.bath.analysis.propagation import Measured, propagated
from tankside.bath.analysis.runs import Run, drop_volume, expected_deviation
from tankside.bath.analysis.samples import taken_with
from tankside.bath.analysis.standardisation import standard, standardised
from tankside.bath.analysis.titrants import bought
from tankside.bath.analysis.titration import titrated, titration, titrations
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.density import RELATIVE_ERROR, density
from tankside.substances import molar_mass

ML = 1e-6
BURETTE = instrument("burette 25 mL class B")
PIPETTE = instrument("pipette 2 mL class B")
ROUNDS = 1200

steady = settings(deadline=None, max_examples=60)


def uniform(rng: np.random.Generator, half: float) -> float:
    return float(rng.uniform(-half, half))


def played_runs(rng: np.random.Generator, volume: float, count: int) -> list[Run]:
    """Burette readings of a true volume [m³]: the scale errs once, reading and drop each time."""
    drop = drop_volume(BURETTE)
    bias = uniform(rng, BURETTE.tolerance) + uniform(rng, drop / 2.0)
    runs = []
    for _ in range(count):
        start = abs(float(rng.normal(0.3 * ML, 0.1 * ML)))
        read = rng.normal(0.0, BURETTE.reading_std, size=2)
        end = start + volume + bias + uniform(rng, drop / 2.0) + float(read[0] - read[1])
        runs.append(Run(start=start, end=end))
    return runs


def held(play: Callable[[np.random.Generator], bool], rounds: int = ROUNDS) -> float:
    """Share of plays in which the interval holds the truth."""
    rng = np.random.default_rng(20260131)
    return sum(play(rng) for _ in range(rounds)) / rounds


@pytest.mark.parametrize("count", [1, 2, 4])
def test_copper_by_edta_holds_the_truth_nine_times_in_ten(count: int) -> None:
    method = titration("copper-by-edta")

    def play(rng: np.random.Generator) -> bool:
        truth = float(rng.uniform(15.0, 57.0))
        strength = 100.0 * (1.0 + uniform(rng, 0.01))
        reading = float(rng.normal(0.0, PIPETTE.reading_std))
        sample = PIPETTE.capacity + uniform(rng, PIPETTE.tolerance) + reading
        matrix = float(rng.normal(1.0, method.method_std))
        volume = method.titre_for(truth / matrix, sample, strength)
        found = titrated(
            method,
            played_runs(rng, volume, count),
            titrant=bought("EDTA", 100.0, 0.01),
            burette=BURETTE,
            sample=taken_with(PIPETTE),
        )
        return truth in found.value

    assert 0.87 <= held(play) <= 0.94


def test_a_bench_that_repeats_worse_than_expected_still_holds_the_truth() -> None:
    """A hand that scatters three times as much: the pooled deviation follows it with six runs."""
    method = titration("copper-by-edta")

    def play(rng: np.random.Generator) -> bool:
        volume = method.titre_for(50.0, 2.0 * ML, 100.0)
        scatter = rng.normal(0.0, 3.0 * expected_deviation(BURETTE), size=6)
        found = titrated(
            method,
            [Run(end=volume + float(one)) for one in scatter],
            titrant=bought("EDTA", 100.0, 0.0),
            burette=BURETTE,
            sample=taken_with(PIPETTE),
        )
        return 50.0 in found.value

    assert held(play, 400) >= 0.87


def test_a_titrant_set_by_hand_holds_its_strength() -> None:
    phthalate = standard("potassium hydrogen phthalate", "sodium hydroxide")
    balance = scale("pocket scale 0.001 g")

    def play(rng: np.random.Generator) -> bool:
        truth = 1000.0 * (1.0 + uniform(rng, 0.05))
        mass = phthalate.mass_for(15.0 * ML, 1000.0)
        digit = balance.resolution / 2.0
        weighed = mass + uniform(rng, digit) + uniform(rng, digit) + uniform(rng, balance.tolerance)
        purity = float(rng.normal(phthalate.purity.value, phthalate.purity.std))
        volume = mass * purity / molar_mass(phthalate.formula) / truth
        found = standardised(
            phthalate, balance.weighed(weighed), played_runs(rng, volume, 2), BURETTE
        )
        low = found.strength.value - 1.7 * found.strength.std
        return low <= truth <= found.strength.value + 1.7 * found.strength.std

    assert 0.87 <= held(play) <= 0.94


def test_free_acid_holds_the_truth_though_the_eye_errs() -> None:
    """The flask's own chemistry decides where the eye stops; eye, bottle and glass err."""
    method = titration("acid-by-hydroxide")
    orange = indicator("methyl orange")

    def play(rng: np.random.Generator) -> bool:
        acid, copper = float(rng.uniform(40.0, 70.0)), float(rng.uniform(40.0, 57.0))
        sample = PIPETTE.capacity + uniform(rng, PIPETTE.tolerance)
        strength = 250.0 * (1.0 + uniform(rng, 0.01))
        eye = float(rng.normal(orange.stop.value, orange.stop.std))
        full = method.titre_for(acid, sample, strength)
        volume = full
        for _ in range(6):
            inside = sample + 1e-4 + volume
            metal = copper * sample / molar_mass("Cu") / inside
            all_sulfate = metal + acid * sample / molar_mass("H2SO4") / inside
            flask = Flask(
                copper=metal, sulfate=all_sulfate, sodium=volume * strength / inside, volume=inside
            )
            missing = shortfall(flask, Measured(value=eye)).value * inside / strength
            volume = full - missing
        matrix = float(rng.normal(1.0, method.method_std))
        found = free_acid(
            played_runs(rng, volume / matrix, 2),
            titrant=bought("sodium hydroxide", 250.0, 0.01),
            burette=BURETTE,
            sample=taken_with(PIPETTE),
            indicator=orange,
            copper=Measured(value=copper, std=1.0),
        )
        return acid in found.value

    assert 0.86 <= held(play, 600) <= 0.96


def test_acid_by_density_and_copper_holds_the_truth() -> None:
    spindle = Hydrometer(mark=Mark.SPECIFIC_GRAVITY, division=0.002)

    def play(rng: np.random.Generator) -> bool:
        salt, acid = float(rng.uniform(150.0, 220.0)), float(rng.uniform(40.0, 80.0))
        bath = Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid)
        law = 1.0 + float(rng.normal(0.0, RELATIVE_ERROR / 1.645))
        true = density(mass_fractions(bath, 298.15), 298.15) * law
        shown = true / 998.2 + uniform(rng, 0.001) + uniform(rng, 0.002)
        weight = density_by_hydrometer(shown, 298.15, spindle)
        copper = told("copper", bath.copper + float(rng.normal(0.0, 0.4)), 0.4)
        return acid in acid_from(weight, copper).value

    assert 0.86 <= held(play, 250) <= 0.97


def test_chloride_from_a_curve_holds_the_truth() -> None:
    """Bottle, pipette, burette scale and a millivolt of noise err; the electrode follows Nernst."""
    steps = np.concatenate(
        [np.arange(0.0, 5.0, 0.5), np.arange(5.0, 12.0, 0.2), np.arange(12, 16, 0.5)]
    )
    method = titration("chloride-by-silver")
    fifty = instrument("pipette 50 mL class B")

    def play(rng: np.random.Generator) -> bool:
        truth = float(rng.uniform(0.05, 0.07))
        strength = 10.0 * (1.0 + uniform(rng, 0.01))
        sample = fifty.capacity + uniform(rng, fifty.tolerance)
        matrix = float(rng.normal(1.0, method.method_std))
        end = method.titre_for(truth / matrix, sample, strength) + uniform(rng, BURETTE.tolerance)
        volumes = steps * ML
        surplus = strength * (volumes - end) / (sample + 5e-5 + volumes)
        silver = (surplus + np.sqrt(surplus**2 + 4e6 * 10**-9.75)) / 2.0
        volts = 0.56 + 0.05916 * np.log10(silver / 1e3) + rng.normal(0.0, 1e-3, len(steps))
        found = chloride_by_silver(
            Curve(volumes=volumes, potentials=volts),
            titrant=bought("silver nitrate", 10.0, 0.01),
            burette=BURETTE,
            sample=taken_with(fifty),
            water=5e-5,
        )
        return truth in found.value

    assert 0.86 <= held(play, 500) <= 0.98


def test_pH_holds_the_truth() -> None:
    """Buffers, electrode and junction err as the tables say."""

    def play(rng: np.random.Generator) -> bool:
        truth = float(rng.uniform(2.0, 6.0))
        repeat = number("electrode_repeatability").best
        junction = float(rng.normal(0.0, deviation("junction_potential")))
        read = rng.normal(0.0, repeat, 3)
        true = 4.0 + rng.normal(0.0, BUFFER_STD), 7.0 + rng.normal(0.0, BUFFER_STD)
        slope, zero = float(rng.uniform(0.93, 1.0)), float(rng.uniform(-0.2, 0.2))
        buffers = [
            BufferReading(buffer=nominal, shown=zero + slope * one + float(error))
            for nominal, one, error in zip((4.0, 7.0), true, read[:2], strict=True)
        ]
        shown = zero + slope * (truth - junction) + float(read[2])
        return truth in ph_by_meter(shown, buffers, 298.15).value

    assert 0.87 <= held(play) <= 0.93


def told(quantity: str, value: float, std: float) -> Finding:
    outcome = propagated(lambda x: x, {"x": Measured(value=value, std=std)})
    return finding(quantity, outcome, method="by fiat")


@pytest.mark.parametrize("name", sorted(titrations()))
@steady
@given(titre=st.floats(1.0, 20.0), factor=st.floats(0.2, 5.0))
def test_answers_scale_with_titre_and_strength_and_against_the_sample(
    name: str, titre: float, factor: float
) -> None:
    method = titration(name)
    one = method.concentration(titre * ML, 2.0 * ML, 100.0)
    assert method.concentration(titre * factor * ML, 2.0 * ML, 100.0) == pytest.approx(factor * one)
    assert method.concentration(titre * ML, 2.0 * ML, 100.0 * factor) == pytest.approx(factor * one)
    assert method.concentration(titre * ML, 2.0 * ML * factor, 100.0) == pytest.approx(one / factor)


@steady
@example(value=296.04073540640576, stds=[1.5e-8, 0.0], more=0.0)
@given(
    value=st.floats(0.1, 1e3),
    stds=st.lists(st.floats(0.0, 0.05), min_size=2, max_size=5),
    more=st.floats(0.0, 0.1),
)
def test_a_doubt_more_never_makes_an_answer_surer(
    value: float, stds: list[float], more: float
) -> None:
    def total(relative: list[float]) -> float:
        inputs = {f"x{n}": Measured(value=1.0, std=one) for n, one in enumerate(relative)}
        return propagated(lambda **x: value * float(np.prod(list(x.values()))), inputs).std

    less, wider = total(stds), total([stds[0] + more, *stds[1:]])
    assert wider >= less - 1e-12
    rounding = 1e-14 * value  # of the differences that the propagation takes
    assert less <= value * sqrt(sum(one**2 for one in stds)) * (1.0 + 1e-9) + rounding


@steady
@given(
    copper=st.floats(0.0, 30.0),
    acid=st.floats(5.0, 40.0),
    pH=st.floats(2.0, 4.5),
    step=st.floats(0.01, 0.5),
)
def test_more_base_leaves_less_acid(copper: float, acid: float, pH: float, step: float) -> None:
    flask = Flask(copper=copper, sulfate=copper + acid, sodium=2.0 * acid, volume=1e-4)
    earlier = shortfall(flask, Measured(value=pH)).value
    later = shortfall(flask, Measured(value=pH + step)).value
    assert later < earlier
