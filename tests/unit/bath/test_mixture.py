"""Masses add, volumes do not; bases take up acid; a bath made of masses is the bath."""

import copy
import pickle

import pytest
from thermo.electrochem import Laliberte_density

from tankside.base.errors import BadInput, Impossible, OutsideValidity, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.composition import Composition
from tankside.bath.ions import dissolving, ions, ions_of, ions_per_kilogram
from tankside.bath.mixture import (
    Mixture,
    composition_of,
    concentrations_of,
    filled,
    gas,
    mixed,
    mixture_of,
    portion,
    reacted,
    volume,
)
from tankside.substances import molar_mass, substance
from tankside.substances.products import Content, Form, Product
from tests.unit.bath.makeup.shelf import BATTERY_ACID, CONVENTIONAL, HIGH_THROW, MURIATIC, SALT

COLD, WARM = 293.15, 298.15


def water(mass: float) -> Mixture:
    return Mixture(masses={"water": mass})


def acid(mass: float, fraction: float) -> Mixture:
    return Mixture(masses={"sulfuric acid": mass * fraction, "water": mass * (1.0 - fraction)})


@pytest.mark.parametrize("name", sorted(dissolving()))
def test_dissolving_keeps_mass_and_charge(name: str) -> None:
    """A mole of each substance weighs what its ions, water and gas weigh, and carries no charge."""
    counts = dissolving()[name]
    mass = sum(n * ions()[ion].molar_mass for ion, n in counts.items())
    assert mass == pytest.approx(substance(name).molar_mass, rel=1e-12)
    assert sum(n * ions()[ion].charge for ion, n in counts.items()) == 0


def test_crystal_water_counts_as_water() -> None:
    """A kilogram of crystals at 99 % holds 0.6328 kg of salt without water; 159.6/249.7."""
    held = portion(SALT, 1.0)
    share = molar_mass("CuSO4") / molar_mass("CuSO4·5H2O")
    assert held.of("copper sulfate") == pytest.approx(0.99 * share, rel=1e-12)
    assert held.of("water") == pytest.approx(1.0 - 0.99 * share - 5e-6, rel=1e-12)
    assert held.mass == pytest.approx(1.0, rel=1e-12)


def test_hydrochloric_acid_counts_as_chloride_with_its_hydrogen() -> None:
    held = portion(MURIATIC, 0.1)
    moles = 0.031 / molar_mass("HCl")
    assert held.of("chloride") == pytest.approx(moles * molar_mass("Cl"), rel=1e-12)
    assert held.of("hydrogen ion") == pytest.approx(moles * molar_mass("H"), rel=1e-12)
    assert set(held.masses) == {"water", "chloride", "hydrogen ion"}


@pytest.mark.parametrize("bath", [CONVENTIONAL, HIGH_THROW], ids=["conventional", "high-throw"])
@pytest.mark.parametrize("temperature", [COLD, WARM, 313.15])
def test_a_bath_of_masses_is_the_bath(bath: Composition, temperature: float) -> None:
    back = composition_of(mixture_of(bath, 0.018, temperature), temperature)
    for name in ("copper_sulfate_pentahydrate", "sulfuric_acid", "chloride"):
        assert getattr(back, name) == pytest.approx(getattr(bath, name), rel=1e-11)


@pytest.mark.parametrize(
    ("salt", "acid_mass", "water_mass"), [(0.128, 0.06, 0.97), (0.045, 0.19, 0.95), (0.0, 0.4, 0.6)]
)
def test_volume_is_that_of_an_independent_program(
    salt: float, acid_mass: float, water_mass: float
) -> None:
    whole = salt + acid_mass + water_mass
    rho = Laliberte_density(COLD, [salt / whole, acid_mass / whole], ["7758-98-7", "7664-93-9"])
    held = Mixture(masses={"copper sulfate": salt, "sulfuric acid": acid_mass, "water": water_mass})
    assert volume(held, COLD) == pytest.approx(whole / rho, rel=1e-12)


def test_volumes_do_not_add() -> None:
    """A litre of battery acid and two of water make 1 % less than three litres: handbook densities
    of 35 % and 14.5 % acid, 1260.9 and 1098.6 kg/m³ at 20 °C."""
    battery, clean = acid(1.2609, 0.35), water(1.9964)
    apart = volume(battery, COLD) + volume(clean, COLD)
    together = volume(mixed(battery, clean), COLD)
    assert apart == pytest.approx(3.0e-3, rel=1e-3)
    assert 0.985 < together / apart < 0.995


def test_oxide_takes_up_acid_and_leaves_water() -> None:
    """CuO + H2SO4 = CuSO4 + H2O, by molar masses."""
    oxide = Mixture(masses={"copper oxide": molar_mass("CuO")})
    done = reacted(mixed(oxide, Mixture(masses={"sulfuric acid": 3.0 * molar_mass("H2SO4")})))
    assert done.of("copper sulfate") == pytest.approx(molar_mass("CuSO4"), rel=1e-12)
    assert done.of("sulfuric acid") == pytest.approx(2.0 * molar_mass("H2SO4"), rel=1e-12)
    assert done.of("water") == pytest.approx(molar_mass("H2O"), rel=1e-12)


def test_carbonate_gives_off_its_gas_and_nothing_else() -> None:
    held = Mixture(masses={"basic copper carbonate": 0.1, "sulfuric acid": 0.2, "water": 1.0})
    lost = 0.1 * molar_mass("CO2") / molar_mass("Cu2(OH)2CO3")
    assert gas(held) == pytest.approx(lost, rel=1e-12)
    assert reacted(held).mass == pytest.approx(held.mass - lost, rel=1e-12)


def test_copper_metal_needs_peroxide_and_spare_peroxide_stays() -> None:
    metal = Mixture(masses={"copper": molar_mass("Cu"), "sulfuric acid": 0.5, "water": 1.0})
    with pytest.raises(Impossible, match="34 g of hydrogen peroxide"):
        reacted(metal)
    enough = mixed(metal, Mixture(masses={"hydrogen peroxide": 1.5 * molar_mass("H2O2")}))
    done = reacted(enough)
    assert done.of("hydrogen peroxide") == pytest.approx(0.5 * molar_mass("H2O2"), rel=1e-9)
    assert done.of("copper sulfate") == pytest.approx(molar_mass("CuSO4"), rel=1e-9)
    assert done.mass == pytest.approx(enough.mass, rel=1e-12)


def test_reacting_twice_changes_nothing() -> None:
    held = Mixture(
        masses={"copper oxide": 0.1, "sulfuric acid": 0.4, "chloride": 0.001, "water": 1.0}
    )
    once = reacted(held)
    assert reacted(once).masses == pytest.approx(dict(once.masses), rel=1e-12)


def test_oxide_without_acid_says_how_much_is_short() -> None:
    """79.5 g of oxide need 98.1 g of acid."""
    held = Mixture(masses={"copper oxide": 0.0795, "sulfuric acid": 0.05, "water": 1.0})
    with pytest.raises(Impossible, match=r"48(\.\d)? g more sulfuric acid"):
        reacted(held)


def test_a_weak_acid_holds_its_hydrogen() -> None:
    citric = Mixture(
        masses={"citric acid": 0.1, "copper sulfate": 0.02, "sodium hydroxide": 0.02, "water": 1.0}
    )
    moles = ions_of(citric.masses)
    held = concentrations_of(citric, COLD)
    assert held["hydrogen ion"] / held["citrate"] == pytest.approx(
        moles["hydrogen ion"] / moles["citrate"], rel=1e-12
    )
    with pytest.raises(OutsideValidity, match="citrate or acetate"):
        composition_of(citric, COLD)


def test_dilute_citric_acid_has_its_handbook_density() -> None:
    """10 % citric acid: 1.0392 g/mL at 20 °C (CRC Handbook, from memory); the molar volume is a
    guess, hence half a per cent."""
    held = Mixture(masses={"citric acid": 0.1, "water": 0.9})
    assert 1.0 / volume(held, COLD) == pytest.approx(1039.2, rel=5e-3)


def test_filling_reaches_the_mark_and_refuses_to_take_water_away() -> None:
    held = portion(BATTERY_ACID, 1.0)
    assert volume(filled(held, 5e-3, COLD), COLD) == pytest.approx(5e-3, rel=1e-12)
    with pytest.raises(Impossible, match="more than the"):
        filled(held, 5e-4, COLD)


def test_unknown_matter_is_kept_and_counts_as_water() -> None:
    dirty = Mixture(masses={"water": 0.99, "insoluble matter": 0.01})
    assert reacted(dirty).of("insoluble matter") == 0.01
    assert volume(dirty, COLD) == pytest.approx(volume(water(1.0), COLD), rel=1e-12)


def test_a_product_with_more_than_it_weighs_holds_no_water() -> None:
    heavy = Product(
        name="salt",
        form=Form.SOLID,
        contents=(Content(substance="sodium chloride", mass_fraction=Interval(0.99, 1.0, 1.0)),),
        chloride=Interval(0.0, 1e-4, 2e-4),
    )
    assert portion(heavy, 1.0).of("water") == 0.0


@pytest.mark.parametrize("mass", [-1.0, float("nan"), float("inf")])
def test_impossible_masses_are_refused(mass: float) -> None:
    with pytest.raises(BadInput, match="kg of water"):
        water(mass)


def test_a_mixture_cannot_be_changed_and_travels_whole() -> None:
    held = mixed(water(1.0), acid(0.2, 0.35))
    with pytest.raises(TypeError):
        held.masses["water"] = 2.0  # type: ignore[index]
    assert pickle.loads(pickle.dumps(held)) == held
    assert copy.deepcopy(held) == held
    assert hash(held) == hash(held.scaled(1.0))


def test_names_that_are_no_substance_of_a_bath_are_told() -> None:
    with pytest.raises(UnknownName, match="copper sulfate"):
        ions_per_kilogram("coper sulfate")


def test_acid_beyond_the_law_is_refused() -> None:
    with pytest.raises(OutsideValidity, match="sulfuric acid"):
        volume(acid(1.0, 0.9), COLD)
