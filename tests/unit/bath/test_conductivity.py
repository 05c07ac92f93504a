"""Conductivity: the acid against tables it was not made from, the bath against its direction."""

import pytest

from tankside.base.errors import OutsideValidity
from tankside.base.intervals import Interval
from tankside.bath.composition import Composition
from tankside.bath.conductivity import (
    acid_conductivity,
    conductivity,
    conductivity_estimate,
    copper_drag,
    measured,
)
from tankside.bath.density import density


def bath(salt: float, acid: float) -> Composition:
    return Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid)


@pytest.mark.parametrize(
    ("mass_fraction", "siemens_per_metre"),
    [(0.005, 2.43), (0.01, 4.78), (0.02, 9.2), (0.05, 21.1)],
)
def test_acid_at_20_degrees_against_the_crc_handbook(
    mass_fraction: float, siemens_per_metre: float
) -> None:
    """CRC Handbook, electrical conductivity of aqueous solutions; not the table behind the law."""
    acid = mass_fraction * density({"sulfuric acid": mass_fraction}, 293.15)
    assert acid_conductivity(acid, 293.15) == pytest.approx(siemens_per_metre, rel=0.04)


@pytest.mark.parametrize(
    ("mass_fraction", "siemens_per_metre"),
    [(0.05, 20.85), (0.10, 39.15), (0.15, 54.32), (0.20, 65.27), (0.25, 71.71)],
)
def test_rows_of_the_table_come_back(mass_fraction: float, siemens_per_metre: float) -> None:
    acid = mass_fraction * density({"sulfuric acid": mass_fraction}, 291.15)
    assert acid_conductivity(acid, 291.15) == pytest.approx(siemens_per_metre, rel=1e-12)


def test_the_root_law_carries_on_without_a_step() -> None:
    first = 0.05 * density({"sulfuric acid": 0.05}, 291.15)
    below, above = (acid_conductivity(first * f, 298.15) for f in (1 - 1e-9, 1 + 1e-9))
    assert below == pytest.approx(above, rel=1e-8)


def test_intervals_have_the_widths_that_are_claimed() -> None:
    strong = conductivity(bath(75.0, 200.0), 298.15)
    weak = conductivity(bath(200.0, 60.0), 298.15)
    assert 0.08 < strong.relative_spread < 0.13
    assert 0.18 < weak.relative_spread < 0.25


def test_a_handbooks_figures_lie_in_the_interval() -> None:
    """53 to 62 S/m at 200 g/L of acid, 23.3 to 23.8 S/m at 100 g/L (a trade text that gives neither
    copper nor temperature; taken at 19 and 51 g/L and 25 °C)."""
    strong = conductivity(bath(75.0, 200.0), 298.15)
    assert strong.low < 62.0
    assert strong.high > 53.0
    assert 23.5 in conductivity(bath(200.0, 100.0), 298.15)


def test_copper_only_ever_hinders() -> None:
    for acid in (20.0, 100.0, 140.0, 180.0, 260.0):
        drag = copper_drag(acid)
        assert 0.0 < drag.low < drag.best < drag.high
    assert copper_drag(100.0).high == pytest.approx(copper_drag(100.0 + 1e-9).high, rel=1e-9)
    assert copper_drag(180.0).high < copper_drag(100.0).high


def test_temperature_counts_the_right_way_on_both_sides_of_the_table() -> None:
    for celsius in (10.0, 17.99, 18.0, 18.01, 60.0):
        value = conductivity(bath(200.0, 60.0), celsius + 273.15)
        assert value.low < value.best < value.high


@pytest.mark.parametrize(
    ("salt", "acid", "celsius", "words"),
    [
        (200.0, 19.0, 25.0, "from 20 to 260 g/L"),
        (200.0, 261.0, 25.0, "from 20 to 260 g/L"),
        (200.0, 60.0, 9.0, "from 10 to 60 °C"),
        (200.0, 60.0, 61.0, "from 10 to 60 °C"),
    ],
)
def test_outside_the_range_a_measurement_is_asked_for(
    salt: float, acid: float, celsius: float, words: str
) -> None:
    with pytest.raises(OutsideValidity, match=f"{words}.*measure the conductivity"):
        conductivity(bath(salt, acid), celsius + 273.15)


def test_a_measurement_replaces_the_law() -> None:
    assert measured(20.0).value == Interval.about(20.0, 0.03)
    assert measured(Interval(18.0, 20.0, 21.0)).value.high == 21.0
    with pytest.raises(OutsideValidity, match="above zero"):
        measured(0.0)


def test_the_estimate_says_that_it_was_not_measured() -> None:
    estimate = conductivity_estimate(bath(200.0, 60.0), 298.15)
    assert "computed, not measured" in estimate.assumptions[0]
    assert {"kohlrausch1898", "skowronski1927"} <= set(estimate.sources)
