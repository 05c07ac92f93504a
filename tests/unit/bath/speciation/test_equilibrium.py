"""Equilibria: against the geological survey's program twice over, and what is refused."""

import pytest

from tankside.base.errors import BadInput, OutsideValidity
from tankside.bath.speciation.equilibrium import speciated
from tankside.bath.speciation.species import BARE, Species, species
from tests.unit.bath.speciation.phreeqc_peer import our_constants, peer

BATHS = [
    ({"copper": 0.2, "acetate": 0.5}, 25.0),
    ({"copper": 0.2, "acetate": 0.45, "sulfate": 0.1}, 20.0),
    ({"copper": 0.2, "sulfate": 0.2, "citrate": 0.5}, 25.0),
    ({"copper": 0.2, "sulfate": 0.2, "citrate": 0.5}, 45.0),
    ({"copper": 0.1, "sulfate": 0.1, "citrate": 0.1, "sodium": 0.25}, 25.0),
    ({"copper": 0.05, "sulfate": 0.06, "chloride": 0.02, "sodium": 0.02}, 30.0),
]
WATCHED = ("H+", "Cu+2", "CuSO4", "CuAcetate+", "Cu(Acetate)2", "CuCitrate-", "CuH2Citrate+")


@pytest.mark.parametrize(("totals", "celsius"), BATHS)
def test_our_constants_give_the_same_in_the_surveys_program(
    totals: dict[str, float], celsius: float
) -> None:
    """Same constants, other solver; its slope of Debye and Hückel is its own."""
    ours = speciated(totals, celsius + 273.15)
    theirs = peer(totals, celsius, WATCHED, our_constants())
    assert ours.pH == pytest.approx(theirs["pH"], abs=5e-4)
    assert ours.ionic_strength == pytest.approx(theirs["mu"], rel=2e-3)
    for name in WATCHED:
        if name in ours.molality:
            assert ours.molality[name] == pytest.approx(theirs[name], rel=5e-3, abs=1e-12)


@pytest.mark.parametrize(("totals", "celsius"), BATHS)
def test_the_published_file_with_its_own_activities_is_near(
    totals: dict[str, float], celsius: float
) -> None:
    """The file gives organic ions Debye and Hückel's bare limiting law: up to 0.13 in pH."""
    theirs = peer(totals, celsius, WATCHED)
    ours = speciated(totals, celsius + 273.15)
    assert ours.pH == pytest.approx(theirs["pH"], abs=0.15)
    assert ours.molality["Cu+2"] == pytest.approx(theirs["Cu+2"], rel=0.25)


@pytest.mark.parametrize("one", species(), ids=lambda one: one.name)
def test_charges_are_those_of_the_parts(one: Species) -> None:
    bare = {name: s.charge for name, ion in BARE.items() for s in species() if s.name == ion}
    assert one.charge == sum(count * bare[name] for name, count in one.counts.items())


def test_convergence_is_told() -> None:
    answer = speciated({"copper": 0.2, "acetate": 0.5}, 298.15)
    assert answer.residual < 1e-12
    assert 0 < answer.iterations < 100
    assert not answer.beyond_trust
    assert speciated({"copper": 0.5, "sulfate": 0.6}, 298.15).beyond_trust


@pytest.mark.parametrize(
    ("totals", "kelvin", "error", "words"),
    [
        ({"copper": -0.1}, 298.15, BadInput, "cannot hold"),
        ({"copper": float("nan")}, 298.15, BadInput, "cannot hold"),
        ({"iron": 0.1}, 298.15, BadInput, "'iron' is no component"),
        ({"hydrogen": 0.1}, 298.15, BadInput, "no component"),
        ({"copper": 0.1}, 400.0, OutsideValidity, "0 to 60 °C"),
        ({"sodium": 5.0, "chloride": 5.0}, 298.15, OutsideValidity, "2 mol/kg"),
        (
            {"copper": 0.5, "sulfate": 0.5, "sodium": 3.0, "citrate": 1.0},
            313.15,
            OutsideValidity,
            "dilute",
        ),
    ],
)
def test_refusals(
    totals: dict[str, float], kelvin: float, error: type[Exception], words: str
) -> None:
    with pytest.raises(error, match=words):
        speciated(totals, kelvin)
