"""Citrate and acetate baths: less conducting than acid sulfate, so less throw; where it ends."""

from dataclasses import replace
from math import exp, log10

import chemicals
import pytest
import thermo.electrochem

from tankside.base.errors import BadInput, OutsideValidity, UnknownName
from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.composition import Composition
from tankside.bath.speciation import ionic_conductivity, recipe
from tankside.bath.speciation.equilibrium import speciated
from tankside.bath.speciation.recipe import INGREDIENTS, WeakAcidRecipe
from tankside.bath.speciation.solids import falling, solid_warnings, solids
from tankside.bath.speciation.species import species
from tankside.bath.wagner import wagner_length
from tankside.bath.weak_acid import diffusivity, equilibrium_of, pH, weak_acid

ROOM = 298.15
VINEGAR = WeakAcidRecipe(dissolved_copper=8.0, acetic_acid=50.0)
CITRATE = WeakAcidRecipe(copper_sulfate_pentahydrate=50.0, citric_acid=60.0)
BATHS = [("acetate", VINEGAR), ("citrate", CITRATE)]


@pytest.mark.parametrize(("family", "ingredients"), BATHS)
def test_weaker_acid_less_throw(family: str, ingredients: WeakAcidRecipe) -> None:
    """At 1 A/dm² the whole interval of the Wagner length lies below a high-throw bath's."""
    weak = wagner_length(weak_acid(family, ingredients, ROOM, "gentle air"), 100.0)
    strong_bath = Composition(copper_sulfate_pentahydrate=75.0, sulfuric_acid=190.0)
    strong = wagner_length(acid_sulfate(strong_bath, ROOM, "gentle air"), 100.0)
    assert weak.high < 0.25 * strong.low
    assert weak.best < 0.05 * strong.best


def test_a_salt_that_conducts_lengthens_the_throw() -> None:
    salted = replace(VINEGAR, sodium_sulfate=20.0)
    plain = weak_acid("acetate", VINEGAR, ROOM, "still")
    better = weak_acid("acetate", salted, ROOM, "still")
    assert better.conductivity.low > plain.conductivity.high


@pytest.mark.parametrize(("family", "ingredients"), BATHS)
def test_conductivity_rises_with_warmth_and_falls_under_measurement(
    family: str, ingredients: WeakAcidRecipe
) -> None:
    cool = weak_acid(family, ingredients, 288.15, "still").conductivity
    warm = weak_acid(family, ingredients, 308.15, "still").conductivity
    assert 1.2 < warm.best / cool.best < 1.6
    told = weak_acid(family, ingredients, ROOM, "still", measured_conductivity=1.0)
    assert told.conductivity.best == 1.0
    assert told.conductivity.relative_spread == pytest.approx(0.03)


def test_dissolving_copper_in_vinegar_eats_acid() -> None:
    acid = WeakAcidRecipe(dissolved_copper=0.5, acetic_acid=50.0)
    more = replace(acid, dissolved_copper=12.0)
    assert pH("acetate", more, ROOM).value.best > pH("acetate", acid, ROOM).value.best + 0.5


def test_the_same_bath_by_salt_or_by_metal() -> None:
    """Copper acetate monohydrate is copper with two acetates and a water."""
    by_salt = WeakAcidRecipe(copper_acetate_monohydrate=25.0, acetic_acid=30.0)
    moles = by_salt.moles
    copper = moles["copper"] * 63.546e-3
    acid = moles["acetate"] * recipe.molar_mass("C2H4O2")
    by_metal = WeakAcidRecipe(dissolved_copper=copper, acetic_acid=acid)
    first = equilibrium_of("acetate", by_salt, ROOM)
    second = equilibrium_of("acetate", by_metal, ROOM)
    assert first.molality == pytest.approx(second.molality, rel=1e-9)


@pytest.mark.parametrize("grams", [40.0, 80.0])
def test_density_and_viscosity_of_known_solutions(grams: float) -> None:
    """Copper sulfate and acetic acid by an independent library's fits."""
    for name, formula, cas in (
        ("copper_sulfate_pentahydrate", "CuSO4", "7758-98-7"),
        ("acetic_acid", "C2H4O2", "64-19-7"),
    ):
        made = WeakAcidRecipe(**{name: grams})
        ours = recipe.density(made, ROOM)
        amount = grams / recipe.molar_mass(INGREDIENTS[name][0])
        share = amount * recipe.molar_mass(formula) / ours
        theirs = thermo.electrochem.Laliberte_density(ROOM, [share], [cas])
        assert ours == pytest.approx(theirs, rel=3e-3)
        thick = thermo.electrochem.Laliberte_viscosity(ROOM, [share], [cas])
        plain = chemicals.viscosity.mu_IAPWS(ROOM, 997.05)
        assert plain * exp(recipe.thickening(made, ROOM)) == pytest.approx(thick, rel=0.05)


def test_free_copper_diffuses_as_the_handbook_says() -> None:
    """0.714e-9 m²/s at infinite dilution, CRC Handbook."""
    free = next(one for one in species() if one.name == "Cu+2")
    assert ionic_conductivity.ion_diffusivity(free, ROOM) == pytest.approx(7.14e-10, rel=2e-3)
    answer = equilibrium_of("citrate", CITRATE, ROOM)
    assert 3e-10 < diffusivity(CITRATE, answer).best < 7.14e-10


def test_oversaturation_is_told() -> None:
    basic = WeakAcidRecipe(copper_sulfate_pentahydrate=20.0, acetic_acid=2.0, sodium_hydroxide=6.0)
    answer = equilibrium_of("acetate", basic, ROOM)
    assert [solid.name for solid in falling(answer)]
    assert "oversaturated" in solid_warnings(answer, basic)[0]
    assert not falling(equilibrium_of("acetate", VINEGAR, ROOM))
    rich = WeakAcidRecipe(dissolved_copper=30.0, acetic_acid=90.0)
    warned = solid_warnings(equilibrium_of("acetate", rich, ROOM), rich)
    assert any("green crystals" in sentence for sentence in warned)


def test_hydroxide_in_water_is_the_surveys_saturation() -> None:
    """At saturation with copper hydroxide log a(Cu) + 2 pH = 8.674."""
    answer = speciated({"copper": 1e-3, "sulfate": 1e-3}, ROOM)
    (hydroxide,) = (solid for solid in solids() if solid.formula == "Cu(OH)2")
    index = hydroxide.saturation_index(answer)
    assert index == pytest.approx(log10(answer.activity("Cu+2")) + 2.0 * answer.pH - 8.674)


def test_sentences_say_where_the_model_ends() -> None:
    strong = replace(CITRATE, copper_sulfate_pentahydrate=120.0, sulfuric_acid=10.0)
    told = weak_acid("citrate", strong, ROOM, "still").assumptions
    assert any("beyond the 0.5 mol/kg" in sentence for sentence in told)
    neutral = WeakAcidRecipe(copper_sulfate_pentahydrate=25.0, sodium_citrate_dihydrate=60.0)
    told = weak_acid("citrate", neutral, ROOM, "still").assumptions
    assert any("Above pH 5" in sentence for sentence in told)


@pytest.mark.parametrize(
    ("family", "ingredients", "celsius", "error", "words"),
    [
        ("cyanide", CITRATE, 25.0, UnknownName, "is not known"),
        ("citrate", replace(CITRATE, copper_sulfate_pentahydrate=0.0), 25.0, BadInput, "no copper"),
        ("citrate", VINEGAR, 25.0, BadInput, "no citrate; give citric acid"),
        ("acetate", CITRATE, 25.0, BadInput, "no acetate; give acetic acid"),
        ("citrate", CITRATE, 5.0, OutsideValidity, "10 to 60 °C"),
        ("acetate", replace(VINEGAR, acetic_acid=900.0), 25.0, BadInput, "check the amounts"),
        ("acetate", replace(VINEGAR, sodium_sulfate=250.0), 25.0, OutsideValidity, "2 mol/kg"),
        ("acetate", replace(VINEGAR, dissolved_copper=0.1), 25.0, BadInput, "too thin"),
    ],
)
def test_refusals(
    family: str,
    ingredients: WeakAcidRecipe,
    celsius: float,
    error: type[Exception],
    words: str,
) -> None:
    with pytest.raises(error, match=words):
        weak_acid(family, ingredients, celsius + 273.15, "still")


@pytest.mark.parametrize("name", list(INGREDIENTS))
@pytest.mark.parametrize("value", [-1.0, float("nan"), float("inf")])
def test_ingredients_must_be_numbers(name: str, value: float) -> None:
    with pytest.raises(BadInput, match="from zero upwards"):
        WeakAcidRecipe(**{name: value})
