"""Density and strength undo each other, and are refused where two strengths fit."""

import csv
import sys
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from thermo.electrochem import Laliberte_density

from tankside.base.errors import BadInput, MissingData, OutsideValidity
from tankside.base.intervals import Interval
from tankside.base.tables import table
from tankside.bath.density import density as bath_density
from tankside.substances.strengths import (
    has_densities,
    possible_strengths,
    solution_density,
    strength_from_concentration,
    strength_from_density,
    strongest,
)

sys.path.insert(0, str(Path(__file__).parent))
import make_densities  # the script that wrote the table stands beside this test

sys.path.pop(0)

NAMES = sorted({row["substance"] for row in table("tankside.substances", "densities.csv")})
MONOTONE = sorted(set(NAMES) - {"acetic acid", "sulfuric acid"})


def test_the_table_is_what_its_script_writes() -> None:
    lines = make_densities.FILE.read_text("utf-8").splitlines()
    held = list(csv.reader(line for line in lines if not line.startswith("#")))
    assert held == make_densities.rows()


@pytest.mark.parametrize(
    ("name", "cas", "fraction", "t"),
    [
        ("sulfuric acid", "7664-93-9", 0.355, 27.0),
        ("hydrochloric acid", "7647-01-0", 0.3145, 22.5),
        ("acetic acid", "64-19-7", 0.055, 18.0),
        ("hydrogen peroxide", "7722-84-1", 0.11, 33.0),
        ("sodium hydroxide", "1310-73-2", 0.215, 28.0),
        ("sodium chloride", "7647-14-5", 0.105, 45.0),
        ("ammonia", "7664-41-7", 0.055, 24.0),
        ("copper sulfate", "7758-98-7", 0.125, 23.0),
    ],
)
def test_between_the_rows_the_law_is_met_to_a_part_in_five_thousand(
    name: str, cas: str, fraction: float, t: float
) -> None:
    """Straight lines between rows against the law itself, by an independent library."""
    law = Laliberte_density(t + 273.15, [fraction], [cas])
    assert solution_density(name, fraction, t + 273.15).best == pytest.approx(law, rel=2e-4)


def test_the_join_of_the_two_sulfuric_tables_shows_no_step() -> None:
    """From 45 to 60 % the slope goes on as it was: 8 to 12 kg/m3 for each percent."""
    densities = [solution_density("sulfuric acid", n / 100).best for n in range(45, 61)]
    slopes = [after - before for before, after in pairwise(densities)]
    assert all(8.0 < slope < 12.0 for slope in slopes)


@settings(deadline=None, max_examples=200)
@given(name=st.sampled_from(MONOTONE), share=st.floats(0.02, 0.98), t=st.sampled_from([20.0, 23.7]))
def test_density_and_strength_undo_each_other(name: str, share: float, t: float) -> None:
    temperature = 293.15 if name == "citric acid" else t + 273.15
    fraction = share * strongest(name, temperature)
    density = solution_density(name, fraction, temperature)
    back = strength_from_density(name, Interval.exact(density.best), temperature)
    assert back.best == pytest.approx(fraction, abs=1e-7)
    assert back.low < fraction < back.high


@settings(deadline=None, max_examples=200)
@given(name=st.sampled_from(NAMES), share=st.floats(0.0, 1.0))
def test_concentration_and_strength_undo_each_other(name: str, share: float) -> None:
    fraction = share * strongest(name)
    concentration = fraction * solution_density(name, fraction).best
    back = strength_from_concentration(name, Interval.exact(concentration))
    assert back.best == pytest.approx(fraction, abs=1e-9)


@settings(deadline=None, max_examples=100)
@given(fraction=st.floats(0.01, 0.93), t=st.floats(0.0, 60.0))
def test_sulfuric_acid_is_told_by_its_density_up_to_93_percent(fraction: float, t: float) -> None:
    density = solution_density("sulfuric acid", fraction, t + 273.15).best
    back = strength_from_density("sulfuric acid", Interval.exact(density), t + 273.15)
    assert back.best == pytest.approx(fraction, abs=1e-7)
    assert back.high - back.low < 0.02


@pytest.mark.parametrize(
    ("name", "density", "both"),
    [
        ("sulfuric acid", 1836.0, ["96.3 %", "98.1 %"]),
        ("sulfuric acid", 1833.0, ["94.7 %", "99.2 %"]),
        ("acetic acid", 1055.0, ["47.2 %", "97.5 %"]),
    ],
)
def test_a_density_with_two_strengths_is_refused_with_both(
    name: str, density: float, both: list[str]
) -> None:
    with pytest.raises(BadInput, match="does not tell the strength") as caught:
        strength_from_density(name, Interval.exact(density))
    assert all(one in str(caught.value) for one in both)


def test_a_rounded_density_over_the_heaviest_acid_gives_the_stretch_it_allows() -> None:
    rounded = Interval(1835.0, 1840.0, 1845.0)
    ((low, high),) = possible_strengths("sulfuric acid", rounded)
    assert 0.945 < low < 0.96 < 0.98 < high < 1.0
    with pytest.raises(BadInput, match="does not tell"):
        strength_from_density("sulfuric acid", rounded)


@pytest.mark.parametrize("density", [900.0, 1900.0])
def test_a_density_of_no_strength_is_refused_with_the_range(density: float) -> None:
    with pytest.raises(BadInput, match="no strength of sulfuric acid in water weighs"):
        strength_from_density("sulfuric acid", Interval.exact(density))


def test_more_than_a_solution_holds_is_refused() -> None:
    with pytest.raises(BadInput, match="more than a solution holds"):
        strength_from_concentration("sodium chloride", Interval.exact(400.0))


def test_beyond_the_table_it_says_so() -> None:
    with pytest.raises(OutsideValidity, match="up to 37 %"):
        solution_density("hydrochloric acid", 0.38, 298.15)
    with pytest.raises(OutsideValidity, match="no density of citric acid"):
        solution_density("citric acid", 0.1, 300.0)
    with pytest.raises(OutsideValidity):
        solution_density("sulfuric acid", 0.5, 400.0)
    with pytest.raises(MissingData, match="no table"):
        solution_density("copper oxide", 0.1)


def test_what_has_a_table_is_known() -> None:
    assert has_densities("muriatic acid")
    assert not has_densities("starch")


@pytest.mark.parametrize("name", NAMES)
def test_densities_fall_as_the_liquid_warms(name: str) -> None:
    """Above 10 °C every one of these liquids grows lighter with heat."""
    for row in table("tankside.substances", "densities.csv"):
        if row["substance"] == name:
            held = [float(row[f"density_at_{t}_degC"] or "nan") for t in (10, 20, 30, 40, 50, 60)]
            known = [value for value in held if value == value]
            assert known == sorted(known, reverse=True)


@pytest.mark.parametrize(
    ("name", "fraction", "t"),
    [
        ("sulfuric acid", 0.18, 25.0),
        ("sulfuric acid", 0.35, 20.0),
        ("hydrochloric acid", 0.30, 20.0),
        ("copper sulfate", 0.15, 30.0),
        ("sodium chloride", 0.20, 20.0),
    ],
)
def test_the_shelf_and_the_bath_weigh_alike(name: str, fraction: float, t: float) -> None:
    """The bath evaluates the law itself; what is poured into it must not change its weight."""
    bath = bath_density({name: fraction}, t + 273.15)
    assert solution_density(name, fraction, t + 273.15).best == pytest.approx(bath, rel=2e-4)


def test_the_error_grows_away_from_room_temperature() -> None:
    def spread_at(t: float) -> float:
        return solution_density("sulfuric acid", 0.9, t + 273.15).relative_spread

    assert spread_at(10.0) == pytest.approx(spread_at(30.0)) == pytest.approx(5e-4)
    assert spread_at(0.0) == pytest.approx(1.5 * spread_at(20.0))
    assert spread_at(60.0) == pytest.approx(2.5 * spread_at(20.0))
