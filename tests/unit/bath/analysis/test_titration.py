"""Titrations worked out, and the slips that they ask about."""

import pytest

from tankside.base.errors import BadInput, UnknownName
from tankside.bath.analysis.doubts import question
from tankside.bath.analysis.instruments import instrument, scale
from tankside.bath.analysis.propagation import Measured
from tankside.bath.analysis.runs import Run
from tankside.bath.analysis.samples import diluted, taken_with, weighed_out
from tankside.bath.analysis.titrants import bought
from tankside.bath.analysis.titration import titrated, titration, titrations
from tankside.substances import molar_mass
from tests.unit.bath.analysis.bench import BURETTE, ML, exact_sample

EDTA = bought("EDTA", 100.0, 0.0)
COPPER = titration("copper-by-edta")


def copper(titre_mL: float, **more: object) -> float:
    found = titrated(
        COPPER,
        [Run(end=titre_mL * ML), Run(end=titre_mL * ML)],
        titrant=EDTA,
        burette=BURETTE,
        sample=exact_sample(2.0 * ML),
        **more,  # type: ignore[arg-type]
    )
    return found.value.best


def test_a_mole_of_edta_finds_a_mole_of_copper() -> None:
    assert copper(10.0) == pytest.approx(10.0 * 0.1 * 63.546 / 2.0, rel=1e-12)


def test_two_moles_of_hydroxide_find_a_mole_of_acid() -> None:
    method = titration("acid-by-hydroxide")
    acid = method.concentration(10.0 * ML, 5.0 * ML, 1000.0)
    assert acid == pytest.approx(10.0 / 5.0 / 2.0 * 1e3 * molar_mass("H2SO4"))


@pytest.mark.parametrize("name", sorted(titrations()))
def test_the_titre_for_a_concentration_gives_it_back(name: str) -> None:
    method = titration(name)
    titre = method.titre_for(12.5, 3.0 * ML, 87.0)
    assert method.concentration(titre, 3.0 * ML, 87.0) == pytest.approx(12.5, rel=1e-12)


def test_a_blank_is_taken_off() -> None:
    assert copper(10.0, blank=Measured(value=0.2 * ML)) == pytest.approx(copper(9.8))
    with pytest.raises(BadInput, match="blank takes as much"):
        copper(1.0, blank=Measured(value=1.0 * ML))


def test_the_budget_names_the_weakest_link() -> None:
    found = titrated(
        COPPER,
        [Run(end=15.0 * ML), Run(end=15.0 * ML)],
        titrant=bought("EDTA", 100.0, 0.05),
        burette=BURETTE,
        sample=exact_sample(2.0 * ML),
    )
    assert found.budget[0].name == "titrant"
    assert found.std / found.value.best == pytest.approx(0.05 / 3**0.5, rel=0.1)
    assert {"iso385", "prohaska2022"} <= set(found.sources)


def test_a_small_titre_is_remarked_on() -> None:
    found = titrated(
        COPPER,
        [Run(end=2.0 * ML), Run(end=2.0 * ML)],
        titrant=EDTA,
        burette=BURETTE,
        sample=exact_sample(2.0 * ML),
    )
    assert any("is little for" in note for note in found.notes)


def test_swapped_bottles_and_too_much_bath_are_refused() -> None:
    with pytest.raises(BadInput, match="were two bottles swapped"):
        titrated(
            COPPER,
            [Run(end=2.0 * ML)],
            titrant=bought("thiosulfate", 100.0, 0.01),
            burette=BURETTE,
            sample=exact_sample(2.0 * ML),
        )
    with pytest.raises(BadInput, match="take 10 mL at most"):
        titrated(
            COPPER,
            [Run(end=2.0 * ML)],
            titrant=EDTA,
            burette=BURETTE,
            sample=exact_sample(20.0 * ML),
        )


@pytest.mark.parametrize(
    ("factor", "words"),
    [
        (10.0, "decimal point"),
        (0.1, "decimal point"),
        (100.0, "dilution"),
        (0.01, "dilution of a hundred"),
        (1000.0, "milligrams and grams"),
        (2.0, "normality"),
        (0.5, "half the bath"),
        (63.546 / 249.68, "copper sulfate pentahydrate"),
        (249.68 / 63.546, "copper metal entered as copper sulfate"),
        (7.0, "check bottle"),
        (0.3, "check bottle"),
    ],
)
def test_each_slip_is_asked_about(factor: float, words: str) -> None:
    assert words in question(50.0 * factor, 50.0, "copper")
    with pytest.raises(BadInput, match="expected"):
        copper(15.0, expected=copper(15.0) / factor)
    assert copper(15.0, expected=copper(15.0) / factor, sure=True) == copper(15.0)


def test_an_ordinary_drift_is_not_asked_about() -> None:
    assert copper(15.0, expected=copper(15.0) / 1.3) == copper(15.0)
    with pytest.raises(BadInput, match="above zero"):
        copper(15.0, expected=0.0)


def test_an_unknown_titration_offers_close_ones() -> None:
    with pytest.raises(UnknownName, match="copper-by-edta"):
        titration("copper by edta")


def test_samples_by_pipette_scale_and_dilution() -> None:
    one, ten = instrument("pipette 1 mL class B"), instrument("pipette 10 mL class B")
    flask = instrument("flask 100 mL class B")
    thinned = diluted(ten, flask, one)
    assert thinned.volume.value == pytest.approx(0.1 * ML)
    assert diluted(ten, flask, ten).volume.value == pytest.approx(1.0 * ML)
    straight = taken_with(one)
    assert diluted(ten, flask, ten).volume.std < straight.volume.std
    twice = diluted(ten, flask, ten).volume
    assert twice.std / twice.value > 2.0**0.5 * ten.measured().std / ten.capacity
    weighed = weighed_out(
        scale("pocket scale 0.01 g").weighed(2.32e-3), Measured(value=1160.0, std=2.0)
    )
    assert weighed.volume.value == pytest.approx(2.0 * ML)
    with pytest.raises(BadInput, match="do not fit"):
        diluted(instrument("syringe 60 mL"), instrument("syringe 60 mL"), one)
    with pytest.raises(BadInput, match="above zero"):
        exact_sample(0.0)


def test_every_caution_of_waste_names_the_drain_as_forbidden() -> None:
    for method in titrations().values():
        last = method.steps[-1]
        assert last.startswith("!")
        assert "Never the drain" in last
