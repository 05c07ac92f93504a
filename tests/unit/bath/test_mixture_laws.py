"""Density, viscosity and heat capacity against an independent program of the same laws (thermo)."""

import csv
from collections.abc import Callable
from importlib import resources

import pytest
from thermo.electrochem import (
    Laliberte_density,
    Laliberte_heat_capacity,
    Laliberte_viscosity,
)

from tankside.base.errors import BadInput, MissingData, OutsideValidity
from tankside.base.tables import table
from tankside.bath.density import RELATIVE_ERROR, density, density_estimate
from tankside.bath.heat_capacity import heat_capacity, heat_capacity_estimate
from tankside.bath.laliberte import Law
from tankside.bath.viscosity import viscosity, viscosity_estimate
from tankside.substances import substance

BATHS = [
    {"copper sulfate": 0.11, "sulfuric acid": 0.05},
    {"copper sulfate": 0.04, "sulfuric acid": 0.16},
    {"copper sulfate": 0.14},
    {"sulfuric acid": 0.30},
    {"hydrochloric acid": 0.06},
    {"sodium chloride": 0.10, "sulfuric acid": 0.10},
]

LAWS = [
    (density, Laliberte_density, 1e-12),
    (viscosity, Laliberte_viscosity, 1e-12),
    (heat_capacity, Laliberte_heat_capacity, 7e-4),  # there, water's own is a Chebyshev fit
]


def named(value: object) -> str:
    """A test's name that is the same in every process."""
    return str(getattr(value, "__name__", value))


@pytest.mark.parametrize("bath", BATHS, ids=str)
@pytest.mark.parametrize("celsius", [15.0, 18.0, 25.0, 40.0])
@pytest.mark.parametrize(("ours", "theirs", "tolerance"), LAWS, ids=named)
def test_laws_agree_with_an_independent_program(
    ours: Callable[[dict[str, float], float], float],
    theirs: Callable[[float, list[float], list[str]], float],
    tolerance: float,
    bath: dict[str, float],
    celsius: float,
) -> None:
    cas = [substance(name).cas for name in bath]
    expected = theirs(celsius + 273.15, list(bath.values()), cas)
    assert ours(bath, celsius + 273.15) == pytest.approx(expected, rel=tolerance)


def test_parameters_are_the_published_file_digit_for_digit() -> None:
    lines = (
        resources.files("chemicals")
        .joinpath("Electrolytes/Laliberte2009.tsv")
        .read_text("utf-8")
        .splitlines()
    )
    published = {row[1]: row for row in csv.reader(lines[1:], delimiter="\t")}
    for row in table("tankside.bath", "laliberte.csv"):
        theirs = published[substance(row["substance"]).cas]
        for first, law in ((4, Law.DENSITY), (13, Law.VISCOSITY), (23, Law.HEAT_CAPACITY)):
            count = len(law.names)
            ours = [float(row[name]) for name in law.names]
            assert ours == [float(cell) for cell in theirs[first : first + count]]
            ends = [float(row[f"{law.prefix}_{end}"]) for end in ("min_degC", "max_degC")]
            assert ends == [float(cell) for cell in theirs[first + count : first + count + 2]]
            highest = float(row[f"{law.prefix}_max_fraction"])
            assert highest == float(theirs[first + count + 2])


def test_water_alone_is_water() -> None:
    assert density({}, 298.15) == pytest.approx(997.045, abs=1e-3)
    assert density({"copper sulfate": 0.0}, 298.15) == density({}, 298.15)


@pytest.mark.parametrize(
    ("law", "bath", "celsius", "words"),
    [
        (density, {"copper sulfate": 0.30}, 25.0, "up to 0.284 kg of copper sulfate"),
        (density, {"copper sulfate": 0.10}, 5.0, "from 10 to 60 °C, not at 5 °C"),
        (density, {"sulfuric acid": 0.80}, 25.0, "up to 0.782 kg of sulfuric acid"),
        (density, {"sodium chloride": 0.2, "copper sulfate": 0.2}, 25.0, "of dissolved matter"),
        (viscosity, {"copper sulfate": 0.10}, 14.0, "from 15 to 60 °C, not at 14 °C"),
        (viscosity, {"copper sulfate": 0.10}, 61.0, "from 15 to 60 °C, not at 61 °C"),
        (heat_capacity, {"copper sulfate": 0.16}, 25.0, "up to 0.15 kg of copper sulfate"),
    ],
    ids=named,
)
def test_beyond_the_fitted_range_is_refused(
    law: Callable[[dict[str, float], float], float],
    bath: dict[str, float],
    celsius: float,
    words: str,
) -> None:
    with pytest.raises(OutsideValidity, match=words):
        law(bath, celsius + 273.15)


def test_a_substance_without_parameters_is_named() -> None:
    with pytest.raises(MissingData, match="'water glass'"):
        density({"water glass": 0.1}, 298.15)


@pytest.mark.parametrize("share", [-0.1, 1.0, float("nan")])
def test_a_mass_fraction_that_cannot_be_is_refused(share: float) -> None:
    with pytest.raises(BadInput, match="between 0 and 1"):
        density({"sulfuric acid": share}, 298.15)


def test_intervals_enclose_what_was_measured() -> None:
    """10 % sodium chloride at 20 °C: 1070.7 kg/m³ (CRC Handbook, 97th edition, p. 5-129)."""
    assert 1070.7 in density_estimate({"sodium chloride": 0.10}, 293.15).value
    assert RELATIVE_ERROR == 0.0025
    bath = BATHS[0]
    for estimate in (density_estimate, viscosity_estimate, heat_capacity_estimate):
        value = estimate(bath, 298.15).value
        assert value.low < value.best < value.high
        assert estimate(bath, 298.15).sources
