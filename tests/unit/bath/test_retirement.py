"""Retiring a bath: masses that balance, gas, heat, sludge, and what is said beside the numbers."""

from math import log10

import pytest
from chemicals import Hfg, Hfl, Hfs
from hypothesis import given
from hypothesis import strategies as st

from tankside.base.errors import BadInput, Impossible, OutsideValidity, UnknownName
from tankside.base.intervals import Interval
from tankside.base.tables import table
from tankside.bath.bases import base, bases
from tankside.bath.copper_removal import (
    after_plating_out,
    cemented,
    copper_over_hydroxide,
    plated_out,
)
from tankside.bath.retirement import (
    Holding,
    holding,
    portions,
    retired,
)
from tankside.bath.retirement_numbers import held_number, held_numbers
from tankside.substances import molar_mass

exact = Interval.exact
BATH = holding(exact(15e-3), copper=exact(50.0), sulfuric_acid=exact(60.0), density=exact(1158.0))
RANGE = holding(
    Interval(14e-3, 15e-3, 16e-3),
    copper=Interval(45.0, 50.0, 55.0),
    sulfuric_acid=Interval(55.0, 60.0, 65.0),
    density=Interval(1150.0, 1158.0, 1165.0),
)


def test_a_bath_holds_volume_times_concentration() -> None:
    assert BATH.held_copper.best == pytest.approx(0.75)
    assert RANGE.held_copper.low == pytest.approx(14e-3 * 45.0)
    assert RANGE.held_acid.high == pytest.approx(16e-3 * 65.0)


@pytest.mark.parametrize("name", sorted(bases()))
def test_charge_and_carbon_balance(name: str) -> None:
    """Moles of hydroxide given equal moles of proton and copper charge taken; each mole of
    carbonate leaves as one of carbon dioxide."""
    one = base(name)
    found = retired(BATH, one)
    moles = found.base_in_all.best / molar_mass(one.formula)
    charge = 2 * 0.9 / molar_mass("H2SO4") + 2 * 0.75 / molar_mass("Cu")
    assert moles * one.equivalents == pytest.approx(charge, rel=1e-12)
    gas = found.carbon_dioxide.best * 101325.0 / (8.314462618 * 298.15)
    carbons = moles if "C" in one.formula.replace("Ca", "") else 0.0
    assert gas == pytest.approx(carbons, rel=1e-9)


@pytest.mark.parametrize(
    ("species", "cas", "law"),
    [
        ("NaOH(s)", "1310-73-2", Hfs),
        ("Na2CO3(s)", "497-19-8", Hfs),
        ("NaHCO3(s)", "144-55-8", Hfs),
        ("Ca(OH)2(s)", "1305-62-0", Hfs),
        ("Cu(OH)2(s)", "20427-59-2", Hfs),
        ("CO2(g)", "124-38-9", Hfg),
        ("H2O(l)", "7732-18-5", Hfl),
    ],
)
def test_formation_enthalpies_are_those_of_a_library(species: str, cas: str, law: object) -> None:
    rows = {row["species"]: float(row["kJ_mol"]) for row in table("tankside.bath", "formation_enthalpies.csv")}  # fmt: skip  # noqa: E501
    assert rows[species] == pytest.approx(law(cas) / 1e3, abs=0.05)  # type: ignore[operator]


def test_heat_of_dissolving_comes_out_as_handbooks_have_it() -> None:
    """Sodium hydroxide gives off 44.5 kJ/mol on dissolving, soda ash 26.7, bicarbonate takes up
    about 19; with the base's own heat taken off, the enthalpies leave just that."""
    for name, given_off in (("sodium-hydroxide", 44.5), ("soda-ash", 26.7)):
        one = base(name)
        difference = (one.enthalpy_dissolved - one.enthalpy_solid) * one.equivalents
        assert difference / 1e3 == pytest.approx(given_off, abs=0.6)
    assert base("bicarbonate").enthalpy_solid > 0.0


def test_hydroxide_heats_and_bicarbonate_cools() -> None:
    hot = retired(BATH, base("sodium-hydroxide"))
    assert hot.temperature_rise.best > 40.0
    assert any("could warm by" in note for note in hot.notes)
    assert retired(BATH, base("bicarbonate")).temperature_rise.high < 0.0
    assert retired(BATH, base("sodium-hydroxide"), dissolved=True).heat.best < hot.heat.best


def test_lime_makes_several_times_the_sludge() -> None:
    soda, lime = retired(BATH, base("soda-ash")), retired(BATH, base("lime"))
    assert lime.sludge_dry.best > 3.0 * soda.sludge_dry.best
    copper_alone = 0.75 / molar_mass("Cu") * molar_mass("Cu(OH)2")
    assert soda.sludge_dry.best == pytest.approx(copper_alone)
    sulfate = 0.9 / molar_mass("H2SO4") + 0.75 / molar_mass("Cu")
    gypsum = sulfate * molar_mass("CaSO4·2H2O") - 15e-3 * held_number("gypsum_solubility").best
    assert lime.sludge_dry.best == pytest.approx(copper_alone + gypsum)
    assert soda.sludge_dry.best < soda.sludge_filtered.best < soda.sludge_settled.best


def test_a_range_of_baths_holds_each_of_its_baths() -> None:
    whole = retired(RANGE, base("lime"))
    for volume, copper, acid in ((14e-3, 45.0, 65.0), (16e-3, 55.0, 55.0)):
        one = retired(
            holding(
                exact(volume),
                copper=exact(copper),
                sulfuric_acid=exact(acid),
                density=exact(1158.0),
            ),
            base("lime"),
        )
        assert one.base_in_all.best in whole.base_in_all
        assert one.heat.best in whole.heat
        assert one.sludge_dry.best in whole.sludge_dry
        assert one.temperature_rise.best in whole.temperature_rise


def test_citrate_keeps_copper_dissolved_and_it_is_said() -> None:
    citrate = holding(
        exact(10e-3),
        copper=exact(20.0),
        sulfuric_acid=exact(0.0),
        density=exact(1080.0),
        other_acid=exact(3 * 100.0 / 0.19212),
        complexed=True,
    )
    found = retired(citrate, base("soda-ash"))
    assert found.sludge_dry.low == 0.0
    assert any("keep copper dissolved whatever the pH" in note for note in found.notes)
    assert found.base_for_acid.best == pytest.approx(
        10e-3 * 3 * 100.0 / 0.19212 * molar_mass("Na2CO3") / 2
    )
    assert not any("whatever the pH" in note for note in retired(BATH, base("soda-ash")).notes)


def test_gas_is_let_off_in_portions() -> None:
    found = retired(BATH, base("soda-ash"))
    count = portions(found, 40e-3, 15e-3)
    assert count * 25e-3 >= found.carbon_dioxide.high > (count - 1) * 25e-3
    assert portions(retired(BATH, base("sodium-hydroxide")), 16e-3, 15e-3) == 1
    with pytest.raises(Impossible, match="foam over"):
        portions(found, 20e-3, 15e-3)
    with pytest.raises(BadInput, match="between zero"):
        portions(found, 10e-3, 15e-3)


def test_plating_out_costs_charge_and_makes_acid() -> None:
    found = plated_out(exact(0.75), 15e-3, 1.0)
    moles = (0.75 - 15e-3) / molar_mass("Cu")
    assert found.acid_gained.best == pytest.approx(moles * molar_mass("H2SO4"))
    assert found.charge.low < 2 * 96485.33212 * moles / 0.6 < found.charge.high
    assert found.copper_left.best == pytest.approx(15e-3)
    with pytest.raises(BadInput, match="ends between"):
        plated_out(exact(0.75), 15e-3, 60.0)


def test_plating_out_trades_sludge_for_acid_and_takes_the_same_base() -> None:
    """Each copper ion's charge becomes two protons: equivalents are kept, to the last one."""
    done = plated_out(BATH.held_copper, 15e-3, 0.5)
    after = after_plating_out(BATH, done)
    before = retired(BATH, base("soda-ash"))
    then = retired(after, base("soda-ash"))
    assert then.base_in_all.best == pytest.approx(before.base_in_all.best, rel=1e-12)
    assert then.sludge_dry.best == pytest.approx(0.01 * before.sludge_dry.best)


@given(factor=st.floats(0.01, 100.0), name=st.sampled_from(sorted(bases())))
def test_everything_scales_with_the_bath(factor: float, name: str) -> None:
    many = holding(
        exact(15e-3 * factor),
        copper=exact(50.0),
        sulfuric_acid=exact(60.0),
        density=exact(1158.0),
    )
    one, scaled = retired(BATH, base(name)), retired(many, base(name))
    for amount in ("base_in_all", "carbon_dioxide", "heat", "sludge_dry", "sludge_settled"):
        assert getattr(scaled, amount).best == pytest.approx(factor * getattr(one, amount).best)
    assert scaled.temperature_rise.best == pytest.approx(one.temperature_rise.best)


def test_cementation_takes_iron_for_copper() -> None:
    found = cemented(exact(0.75), exact(15e-3))
    assert found.iron.low == pytest.approx(0.75 * 55.845 / 63.546)
    assert found.copper_left.best == pytest.approx(15e-3 * 0.02)


def test_copper_is_least_soluble_in_the_window_and_rises_on_both_sides() -> None:
    window = held_number("window_pH").value
    inside = copper_over_hydroxide(window.best).best
    assert copper_over_hydroxide(6.5).best > 100.0 * inside
    assert copper_over_hydroxide(12.5).best > 5.0 * inside
    assert copper_over_hydroxide(window.best).low < 1e-4 < copper_over_hydroxide(window.best).high
    for pH in (6.0, 7.0, 8.0, 9.0, 11.0):
        found = copper_over_hydroxide(pH)
        assert found.low <= found.best <= found.high


def test_free_copper_falls_a_hundredfold_with_each_pH() -> None:
    """Where hydrolysis is small the slope is -2."""
    slope = log10(copper_over_hydroxide(6.0).low / copper_over_hydroxide(5.0).low)
    assert slope == pytest.approx(-2.0, abs=0.02)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: base("soda"), UnknownName, "soda-ash"),
        (lambda: copper_over_hydroxide(4.0), OutsideValidity, "between pH 5"),
        (lambda: held_number("sludge"), UnknownName, "number of retirement"),
        (
            lambda: holding(
                exact(0.0), copper=exact(1.0), sulfuric_acid=exact(1.0), density=exact(1e3)
            ),
            BadInput,
            "volume is above zero",
        ),
        (
            lambda: holding(
                exact(1e-3), copper=exact(-1.0), sulfuric_acid=exact(1.0), density=exact(1e3)
            ),
            BadInput,
            "cannot hold -1",
        ),
    ],
)
def test_impossible_requests_are_refused(call: object, error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words):
        call()  # type: ignore[operator]


def test_nothing_advises_the_drain() -> None:
    texts = [one.caution for one in bases().values()]
    texts += [note for one in bases().values() for note in retired(BATH, one).notes]
    texts += [*plated_out(exact(0.75), 15e-3, 1.0).notes, *cemented(exact(1.0), exact(1e-2)).notes]
    texts += [row.note for row in held_numbers().values()]
    assert not any("drain" in text or "sewer" in text or "sink" in text for text in texts)
    assert isinstance(BATH, Holding)
