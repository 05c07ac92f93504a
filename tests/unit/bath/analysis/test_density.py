"""Hydrometers, and what a density says of copper and acid."""

import numpy as np
import pytest

from tankside.base.errors import BadInput, Impossible, OutsideValidity
from tankside.bath import water
from tankside.bath.analysis.density_line import acid_from, copper_from, density_line
from tankside.bath.analysis.finding import Finding, finding
from tankside.bath.analysis.hydrometer import Hydrometer, Mark, density_by_hydrometer
from tankside.bath.analysis.propagation import Measured, propagated
from tankside.bath.composition import Composition, mass_fractions
from tankside.bath.density import density

GRAVITY = Hydrometer(mark=Mark.SPECIFIC_GRAVITY, division=0.002)
WARM = 298.15


def told(quantity: str, value: float, std: float, temperature: float | None = None) -> Finding:
    outcome = propagated(lambda x: x, {"x": Measured(value=value, std=std)})
    return finding(quantity, outcome, method="by fiat", temperature=temperature)


def weighs(salt: float, acid: float, temperature: float = WARM) -> float:
    bath = Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid)
    return density(mass_fractions(bath, temperature), temperature)


def test_at_its_own_temperature_a_hydrometer_needs_no_correction() -> None:
    found = density_by_hydrometer(1.16, 293.15, GRAVITY)
    assert found.value.best == pytest.approx(1.16 * water.density(293.15), rel=1e-12)


def test_a_warmer_bulb_is_larger_so_the_liquid_is_lighter_than_the_scale_says() -> None:
    """Glass: 25e-6 per kelvin, so 1.16 at 60 °C is 0.1 % less."""
    cold, hot = (density_by_hydrometer(1.16, t, GRAVITY).value.best for t in (293.15, 333.15))
    assert hot / cold == pytest.approx(1.0 - 25e-6 * 40.0, rel=1e-9)
    plastic = Hydrometer(mark=Mark.SPECIFIC_GRAVITY, division=0.002, glass=False)
    assert density_by_hydrometer(1.16, 333.15, plastic).value.best < 0.995 * cold


def test_scales_agree() -> None:
    other = Hydrometer(mark=Mark.DENSITY, division=2.0)
    us = Hydrometer(mark=Mark.BAUME_US, division=0.2, reference_temperature=288.7056)
    plain = density_by_hydrometer(1157.9, 293.15, other).value.best
    assert density_by_hydrometer(1.16, 293.15, GRAVITY).value.best == pytest.approx(plain, rel=1e-4)
    degrees = 145.0 - 145.0 * water.density(288.7056) / 1157.9
    assert density_by_hydrometer(degrees, 293.15, us).value.best == pytest.approx(plain, rel=1e-9)


@pytest.mark.parametrize(
    ("reading", "mark", "words"),
    [
        (1160.0, Mark.SPECIFIC_GRAVITY, r"did you mean 1\.160"),
        (1.16, Mark.DENSITY, "did you mean 1160"),
        (1.9, Mark.SPECIFIC_GRAVITY, "no copper bath's"),
        (0.9, Mark.SPECIFIC_GRAVITY, "no copper bath's"),
        (140.0, Mark.BAUME_US, "no reading of the scale"),
    ],
)
def test_readings_that_cannot_be_are_refused(reading: float, mark: Mark, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        density_by_hydrometer(reading, WARM, Hydrometer(mark=mark, division=0.002))
    with pytest.raises(OutsideValidity, match="kelvin"):
        density_by_hydrometer(1.16, 25.0, GRAVITY)


def test_every_pair_of_the_line_has_the_density() -> None:
    line = density_line(told("density", weighs(200.0, 60.0), 1.0, WARM))
    pairs = zip(line.copper_sulfate_pentahydrate, line.sulfuric_acid, strict=True)
    for salt, acid in pairs:
        assert weighs(salt, acid) == pytest.approx(weighs(200.0, 60.0), rel=1e-9)
    assert (np.diff(line.sulfuric_acid) < 0.0).all()
    acid_at_200 = np.interp(200.0, line.copper_sulfate_pentahydrate, line.sulfuric_acid)
    assert acid_at_200 == pytest.approx(60.0, abs=0.01)
    assert 3.0 < line.half_width < 10.0


def test_a_heavy_bath_gives_the_part_of_the_line_that_can_dissolve() -> None:
    line = density_line(told("density", 1320.0, 1.0, WARM))
    assert (line.sulfuric_acid >= 0.0).all()
    assert line.copper_sulfate_pentahydrate.max() <= 320.0


@pytest.mark.parametrize(("salt", "acid"), [(200.0, 60.0), (75.0, 190.0), (220.0, 30.0)])
def test_density_and_one_titration_give_the_other(salt: float, acid: float) -> None:
    bath = Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid)
    weight = told("density", weighs(salt, acid), 1.0, WARM)
    found = acid_from(weight, told("copper", bath.copper, 0.3))
    assert found.value.best == pytest.approx(acid, rel=1e-6)
    back = copper_from(weight, told("sulfuric_acid", acid, 1.0))
    assert back.value.best == pytest.approx(bath.copper, rel=1e-6)
    assert found.std > 2.0
    assert {share.name for share in found.budget} == {"density", "law", "copper"}


def test_contradictions_are_impossible() -> None:
    light = told("density", 1010.0, 1.0, WARM)
    with pytest.raises(Impossible, match="contradict each other"):
        acid_from(light, told("copper", 50.0, 0.3))
    with pytest.raises(Impossible, match="lighter than water"):
        density_line(told("density", 985.0, 1.0, WARM))
    with pytest.raises(Impossible, match="do not make a bath this dense"):
        copper_from(told("density", 1400.0, 1.0, WARM), told("sulfuric_acid", 60.0, 1.0))


def test_the_wrong_findings_are_refused() -> None:
    with pytest.raises(BadInput, match="without the temperature"):
        density_line(told("density", 1160.0, 1.0))
    with pytest.raises(BadInput, match="a density is needed"):
        density_line(told("copper", 50.0, 1.0))
    with pytest.raises(BadInput, match="finding of copper is needed"):
        acid_from(told("density", 1160.0, 1.0, WARM), told("sulfuric_acid", 60.0, 1.0))
