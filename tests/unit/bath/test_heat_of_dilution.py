"""Heats of mixing against published heats, libraries and what must hold of any of them."""

from math import inf

import chemicals
import pytest

from tankside.base.errors import BadInput, MissingData
from tankside.bath.heat_of_dilution import (
    heat_capacity_of,
    heat_given_off,
    heat_of_dissolving,
    heat_of_solution,
    mixed_temperature,
)
from tankside.bath.ions import dissolving
from tankside.bath.mixture import Mixture, mixed
from tankside.substances import molar_mass, substance

WARM = 298.15


def acid(mass: float, fraction: float) -> Mixture:
    return Mixture(masses={"sulfuric acid": mass * fraction, "water": mass * (1.0 - fraction)})


def water(mass: float) -> Mixture:
    return Mixture(masses={"water": mass})


@pytest.mark.parametrize(
    ("fraction", "mass", "into", "kilojoules", "kelvins"),
    [
        (0.35, 0.1714, 0.850, 4.10, 1.01),
        (0.35, 0.500, 0.500, 9.35, 2.60),
        (0.96, 0.0625, 0.960, 40.5, 9.9),
        (0.96, 0.200, 0.850, 126.6, 33.8),
    ],
)
def test_acid_into_water_by_hand(
    fraction: float, mass: float, into: float, kilojoules: float, kelvins: float
) -> None:
    """Worked by hand from the table of integral heats of solution and Laliberté's heat capacity,
    linear in the logarithm of the moles of water; our curve differs by up to 1 %."""
    given = heat_given_off(water(into), acid(mass, fraction)).best
    assert given == pytest.approx(kilojoules * 1e3, rel=0.01)
    after = mixed_temperature(water(into), WARM, acid(mass, fraction), WARM).value.best
    assert after - WARM == pytest.approx(kelvins, rel=0.015)


def test_the_table_is_met_at_its_rows_and_smooth_between() -> None:
    assert heat_of_solution("sulfuric acid", 10.0) == pytest.approx(-67030.0, rel=1e-12)
    assert heat_of_solution("sulfuric acid", 0.0) == 0.0
    assert heat_of_solution("sulfuric acid", inf) == -96190.0
    assert heat_of_solution("sulfuric acid", 1000.0) == pytest.approx(
        heat_of_solution("sulfuric acid", 1000.001), rel=1e-5
    )
    values = [heat_of_solution("sulfuric acid", 10.0 ** (n / 20.0)) for n in range(-40, 140)]
    assert values == sorted(values, reverse=True)


def test_a_second_formula_for_acid_agrees_to_its_age() -> None:
    """Thomsen's closed form, 17860 r/(r + 1.7983) cal/mol at 18 °C (from memory), lies up to 7 %
    low."""
    for r in (0.5, 1.0, 2.0, 5.0, 10.0, 50.0):
        thomsen = -17860.0 * 4.184 * r / (r + 1.7983)
        assert heat_of_solution("sulfuric acid", r) == pytest.approx(thomsen, rel=0.08)


def test_infinite_dilution_agrees_with_enthalpies_of_formation() -> None:
    """Sulfate ion -909.3 less liquid acid -814.0 kJ/mol: 1 % from the older table's -96.19."""
    assert chemicals.Hfl("7664-93-9") == -814000.0
    assert heat_of_solution("sulfuric acid", inf) == pytest.approx(-909300.0 + 814000.0, rel=0.011)


@pytest.mark.parametrize("name", ["copper sulfate", "copper oxide", "sodium chloride"])
def test_solids_agree_with_a_library(name: str) -> None:
    """Enthalpies of formation of the solids as the library `chemicals` holds them."""
    ions = {
        "copper ion": 64800.0,
        "sulfate": -909300.0,
        "chloride": -167200.0,
        "sodium ion": -240100.0,
        "hydrogen ion": 0.0,
        "water": -285830.0,
    }
    formed = chemicals.Hfs(substance(name).cas)
    expected = sum(n * ions[ion] for ion, n in dissolving()[name].items()) - formed
    assert heat_of_dissolving(name) == pytest.approx(expected, abs=1.0)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("sodium chloride", 3.88),  # CRC Handbook, from memory
        ("sodium hydroxide", -44.5 - 55.8),  # solution, then neutralisation; from memory
        ("copper sulfate pentahydrate", 6.0),  # to infinite dilution, NBS tables, from memory
        ("copper sulfate", -73.1),  # NBS tables, from memory
    ],
)
def test_solids_agree_with_published_heats(name: str, expected: float) -> None:
    assert heat_of_dissolving(name) / 1e3 == pytest.approx(expected, abs=0.3)


def test_crystals_cool_and_powder_warms() -> None:
    bath = acid(10.0, 0.06)
    share = molar_mass("CuSO4") / molar_mass("CuSO4·5H2O")
    crystals = Mixture(masses={"copper sulfate": share, "water": 1.0 - share})
    powder = Mixture(masses={"copper sulfate": 1.0})
    cooled = mixed_temperature(
        bath, WARM, crystals, WARM, solid={"copper sulfate pentahydrate": 1.0}
    ).value
    warmed = mixed_temperature(bath, WARM, powder, WARM, solid={"copper sulfate": 1.0}).value
    assert -2.0 < cooled.best - WARM < -0.5
    assert 5.0 < warmed.best - WARM < 12.0


def test_heats_of_hydration_close_the_circle() -> None:
    """Powder into the bath gives off more than crystals by the heat of hydration, 78 kJ/mol
    (Thomsen's 18.55 kcal/mol, from memory), whatever the bath is."""
    salt = molar_mass("CuSO4")
    crystals = Mixture(masses={"copper sulfate": salt, "water": 5.0 * molar_mass("H2O")})
    vessel = acid(20.0, 0.05)
    wet = heat_given_off(
        vessel, crystals, solid={"copper sulfate pentahydrate": molar_mass("CuSO4·5H2O")}
    ).best
    dry = heat_given_off(
        mixed(vessel, water(5.0 * molar_mass("H2O"))),
        Mixture(masses={"copper sulfate": salt}),
        solid={"copper sulfate": salt},
    ).best
    assert (dry - wet) / 1e3 == pytest.approx(78.0, abs=2.0)


def test_oxide_in_acid_gives_off_the_heat_of_its_reaction() -> None:
    """CuO + H2SO4 (about 1 mol/L) = CuSO4 + H2O. From enthalpies of formation, with the acid at its
    strength: -844.5 - 285.8 + 157.3 + 886.9 = -86 kJ/mol, less 4.5 for pairing."""
    oxide = {"copper oxide": molar_mass("CuO")}
    given = heat_given_off(acid(30.0, 0.06), Mixture(masses=oxide), solid=oxide)
    assert given.best / 1e3 == pytest.approx(81.0, abs=5.0)
    assert given.low < given.best < given.high


def test_copper_with_peroxide_gives_off_a_great_deal() -> None:
    """Cu + H2O2 + 2 H+ = Cu2+ + 2 H2O: 64.8 - 571.7 + 187.8 = -319 kJ/mol, less 4.5 for
    pairing and what the acid takes up."""
    copper = {"copper": molar_mass("Cu")}
    vessel = mixed(acid(30.0, 0.06), Mixture(masses={"hydrogen peroxide": molar_mass("H2O2")}))
    given = heat_given_off(vessel, Mixture(masses=copper), solid=copper).best
    assert given / 1e3 == pytest.approx(335.0, abs=10.0)


def test_water_into_water_gives_nothing() -> None:
    assert heat_given_off(water(1.0), water(2.0)).best == 0.0


def test_pouring_at_once_or_by_halves_gives_the_same_heat() -> None:
    half = acid(0.1, 0.96)
    first = heat_given_off(water(1.0), half).best
    second = heat_given_off(mixed(water(1.0), half), half).best
    assert first + second == pytest.approx(heat_given_off(water(1.0), acid(0.2, 0.96)).best)


def test_heat_capacity_of_water_is_waters() -> None:
    assert heat_capacity_of(water(2.0), WARM) == pytest.approx(2.0 * 4181.3, rel=1e-4)


@pytest.mark.parametrize(
    ("acid_name", "ratio", "error", "match"),
    [
        ("nitric acid", 1.0, MissingData, "nitric"),
        ("sulfuric acid", -1.0, BadInput, "cannot be dissolved"),
        ("sulfuric acid", float("nan"), BadInput, "cannot be dissolved"),
        ("hydrochloric acid", 0.2, MissingData, "from 1 moles"),
    ],
)
def test_what_the_tables_do_not_hold_is_refused(
    acid_name: str, ratio: float, error: type[Exception], match: str
) -> None:
    with pytest.raises(error, match=match):
        heat_of_solution(acid_name, ratio)


def test_a_solid_without_an_enthalpy_is_named() -> None:
    with pytest.raises(MissingData, match="citric acid"):
        heat_of_dissolving("citric acid")
