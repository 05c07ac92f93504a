"""A mixture and the recipe of the same ions give the same equilibrium."""

import pytest

from tankside.base.errors import BadInput
from tankside.bath.mixture import Mixture, volume
from tankside.bath.speciation.from_mixture import recipe_of
from tankside.bath.speciation.recipe import WeakAcidRecipe, density
from tankside.bath.weak_acid import equilibrium_of

ROOM = 298.15


def test_salt_and_citric_acid() -> None:
    made = Mixture(masses={"copper sulfate": 0.032, "citric acid": 0.060, "water": 0.95})
    room = volume(made, ROOM)
    told = recipe_of(made, ROOM)
    weighed = WeakAcidRecipe(
        copper_sulfate_pentahydrate=0.032 / room * 249.685 / 159.608, citric_acid=0.060 / room
    )
    assert told.moles == pytest.approx(weighed.moles, rel=1e-4)
    first = equilibrium_of("citrate", told, ROOM)
    second = equilibrium_of("citrate", weighed, ROOM)
    assert first.pH == pytest.approx(second.pH, abs=1e-3)


def test_oxide_carbonate_and_metal_come_to_the_same_bath() -> None:
    """A tenth of a mole of copper, brought in three ways, in acetic acid."""
    ways = {
        "copper oxide": 0.1 * 79.545e-3,
        "copper hydroxide": 0.1 * 97.561e-3,
        "basic copper carbonate": 0.05 * 221.114e-3,
    }
    found = []
    for name, mass in ways.items():
        made = Mixture(masses={name: mass, "acetic acid": 0.05, "water": 0.95})
        found.append(equilibrium_of("acetate", recipe_of(made, ROOM), ROOM).pH)
    assert found == pytest.approx([found[0]] * 3, abs=0.01)
    assert 3.0 < found[0] < 5.0


def test_soda_raises_the_ph() -> None:
    plain = {"copper sulfate": 0.032, "citric acid": 0.060, "water": 0.95}
    base = equilibrium_of("citrate", recipe_of(Mixture(masses=plain), ROOM), ROOM).pH
    sweetened = Mixture(masses={**plain, "sodium bicarbonate": 0.02})
    assert equilibrium_of("citrate", recipe_of(sweetened, ROOM), ROOM).pH > base + 0.4


def test_metal_needs_peroxide() -> None:
    """63.5 g of copper takes 34.0 g of peroxide."""
    vinegar = {"copper": 0.008, "acetic acid": 0.05, "water": 0.95}
    with pytest.raises(BadInput, match="peroxide"):
        recipe_of(Mixture(masses=vinegar), ROOM)
    fed = Mixture(masses={**vinegar, "hydrogen peroxide": 0.008 * 34.014 / 63.546})
    told = recipe_of(fed, ROOM)
    assert told.dissolved_copper == pytest.approx(0.008 / volume(fed, ROOM), rel=0.01)
    assert 3.5 < equilibrium_of("acetate", told, ROOM).pH < 4.2


@pytest.mark.parametrize(
    "masses",
    [
        {"copper sulfate": 0.032, "citric acid": 0.06},
        {"copper sulfate": 0.064, "citric acid": 0.1, "sodium hydroxide": 0.02},
        {"copper acetate monohydrate": 0.05, "acetic acid": 0.05},
        {"citric acid": 0.1},
    ],
)
def test_two_ways_to_the_density(masses: dict[str, float]) -> None:
    """The sum over components here and the law of mixtures there lie within a per cent."""
    made = Mixture(masses={**masses, "water": 0.93})
    assert density(recipe_of(made, ROOM), ROOM) == pytest.approx(
        made.mass / volume(made, ROOM), rel=0.01
    )
