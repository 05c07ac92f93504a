"""Copper sulfate's solubility: the water table is met, acid drives it out, nights are judged."""

import pytest

from tankside.base.errors import OutsideValidity
from tankside.base.tables import table
from tankside.bath.composition import Composition
from tankside.bath.density import density
from tankside.bath.solubility import (
    coldest_safe,
    copper_sulfate_solubility,
    relative_error,
    saturated,
    still_dissolved,
)
from tankside.substances import substance

HYDRATE = (
    substance("copper sulfate pentahydrate").molar_mass / substance("copper sulfate").molar_mass
)


@pytest.mark.parametrize("celsius", [10.0, 20.0, 30.0, 50.0])
def test_without_acid_the_water_table_comes_out(celsius: float) -> None:
    rows = {
        float(row["temperature_degC"]): float(row["mass_fraction"])
        for row in table("tankside.bath", "copper_sulfate_solubility.csv")
    }
    share = rows[celsius]
    expected = share * density({"copper sulfate": share}, celsius + 273.15) * HYDRATE
    assert saturated(0.0, celsius + 273.15) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("row", table("tankside.bath", "copper_sulfate_in_acid.csv")[:2])
def test_acid_points_lie_inside_the_interval(row: dict[str, str]) -> None:
    acid = float(row["sulfuric_acid_mass_fraction"])
    salt = float(row["copper_sulfate_mass_fraction"])
    weight = density({"sulfuric acid": acid, "copper sulfate": salt}, 298.15)
    answer = copper_sulfate_solubility(acid * weight, 298.15).value
    assert salt * weight * HYDRATE in answer


def test_solubility_falls_with_acid_and_rises_with_warmth() -> None:
    acids = [saturated(acid, 288.15) for acid in (0.0, 0.5, 5.0, 50.0, 150.0, 300.0)]
    assert acids == sorted(acids, reverse=True)
    warmth = [saturated(60.0, t + 273.15) for t in (0.0, 7.0, 15.0, 33.0, 55.0)]
    assert warmth == sorted(warmth)


def test_interval_widens_with_acid_and_off_room_temperature() -> None:
    assert relative_error(0.0, 298.15) < relative_error(50.0, 298.15)
    assert relative_error(60.0, 298.15) < relative_error(60.0, 278.15)
    answer = copper_sulfate_solubility(60.0, 278.15)
    assert answer.value.relative_spread == pytest.approx(relative_error(60.0, 278.15))
    assert "5 °C" in answer.assumptions[0]


def test_a_conventional_bath_crystallises_on_a_cold_night_and_a_high_throw_one_does_not() -> None:
    """The trade knows that strong baths drop blue crystals in winter."""
    strong = Composition(copper_sulfate_pentahydrate=248.0, sulfuric_acid=60.0)
    high_throw = Composition(copper_sulfate_pentahydrate=70.0, sulfuric_acid=200.0)
    assert still_dissolved(strong, 278.15).value.best > 1.0
    assert still_dissolved(high_throw, 278.15).value.high < 1.0
    assert coldest_safe(high_throw) == pytest.approx(273.15)


def test_coldest_safe_is_where_the_low_end_is_met() -> None:
    bath = Composition(copper_sulfate_pentahydrate=220.0, sulfuric_acid=60.0)
    coldest = coldest_safe(bath)
    assert coldest is not None
    assert copper_sulfate_solubility(60.0, coldest).value.low == pytest.approx(220.0, rel=2e-3)
    impossible = Composition(copper_sulfate_pentahydrate=600.0, sulfuric_acid=60.0)
    assert coldest_safe(impossible) is None


@pytest.mark.parametrize(
    ("acid", "celsius"), [(-1.0, 25.0), (350.1, 25.0), (60.0, -1.0), (60.0, 56.0)]
)
def test_beyond_its_range_it_refuses(acid: float, celsius: float) -> None:
    with pytest.raises(OutsideValidity, match="known from 0 to 55 °C"):
        saturated(acid, celsius + 273.15)
