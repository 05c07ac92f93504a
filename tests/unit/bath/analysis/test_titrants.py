"""Titrants by their label, in their bottle, and set against a standard."""

import pytest

from tankside.base.errors import BadInput, UnknownName
from tankside.bath.analysis.instruments import instrument, scale
from tankside.bath.analysis.propagation import Measured
from tankside.bath.analysis.runs import Run
from tankside.bath.analysis.standardisation import (
    standard,
    standardised,
    standards,
    strength_of,
)
from tankside.bath.analysis.titrants import (
    MONTH_S,
    aged,
    bought,
    made_up,
    titrant_kind,
    titrant_kinds,
)
from tests.unit.bath.analysis.bench import BURETTE, ML


def test_a_litre_of_tenth_molar_edta() -> None:
    assert titrant_kind("EDTA").mass_for(1e-3, 100.0) == pytest.approx(37.22e-3, rel=1e-3)


def test_an_old_titrant_is_weaker_and_less_sure() -> None:
    fresh = bought("thiosulfate", 100.0, 0.002)
    old = aged(fresh, 3 * MONTH_S)
    assert old.strength.value < fresh.strength.value
    assert old.strength.std > fresh.strength.std
    assert "Set it again against potassium iodate" in old.notes[-1]
    assert aged(fresh, 0.0) is fresh
    stable = aged(bought("EDTA", 100.0, 0.002), 3 * MONTH_S)
    assert "Set it again" not in stable.notes[-1]


def test_age_runs_together() -> None:
    fresh = bought("sodium hydroxide", 1000.0, 0.0)
    once = aged(fresh, 2 * MONTH_S)
    assert once.strength.value == pytest.approx(1000.0 * (1 - 2 * 0.003))


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: bought("EDTA", 0.1, 0.01), "strength is in mol/m³ here"),
        (lambda: bought("EDTA", 1e6, 0.01), "outside"),
        (lambda: bought("EDTA", 100.0, 1.5), "fraction"),
        (lambda: aged(bought("EDTA", 100.0, 0.0), -1.0), "not negative"),
        (lambda: aged(bought("thiosulfate", 100.0, 0.0), 60 * MONTH_S), "make it fresh"),
    ],
)
def test_impossible_titrants_are_refused(call: object, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        call()  # type: ignore[operator]


def test_an_unknown_titrant_offers_close_ones() -> None:
    with pytest.raises(UnknownName, match="'EDTA'"):
        titrant_kind("EDTA 0.1")


def test_every_kind_can_be_set_against_each_standard_that_it_names() -> None:
    for kind in titrant_kinds().values():
        for name in kind.set_against:
            assert standard(name, kind.name).mass_for(10.0 * ML, kind.usual_strength) > 0.0
        assert kind.keep
        assert kind.cautions
    assert {row.titrant for row in standards()} == set(titrant_kinds())


def test_a_titrant_set_against_the_mass_made_for_it() -> None:
    iodate = standard("potassium iodate", "thiosulfate")
    mass = iodate.mass_for(20.0 * ML, 100.0)
    weighed = scale("analytical balance").weighed(mass)
    found = standardised(
        iodate, weighed, [Run(end=20.0 * ML), Run(end=20.02 * ML)], BURETTE, label=100.0
    )
    assert found.strength.value == pytest.approx(99.95, rel=1e-4)
    assert 0.002 < found.strength.std / found.strength.value < 0.006
    assert "set against potassium iodate" in found.notes[0]


def test_each_run_may_have_its_own_mass() -> None:
    """Three masses and titres in proportion are one and the same strength, without scatter."""
    zinc = standard("zinc", "EDTA")
    balance = scale("analytical balance")
    masses = [balance.weighed(zinc.mass_for(titre * ML, 100.0)) for titre in (8.0, 15.0, 24.0)]
    runs = [Run(end=titre * ML) for titre in (8.0, 15.0, 24.0)]
    found = standardised(zinc, masses, runs, BURETTE)
    assert found.strength.value == pytest.approx(100.0, rel=1e-9)
    assert not any("stands apart" in note for note in found.notes)
    odd = standardised(zinc, masses, [*runs[:2], Run(end=24.8 * ML)], BURETTE)
    assert any("run 3" in note for note in odd.notes)
    with pytest.raises(BadInput, match="3 runs need 3 masses"):
        standardised(zinc, masses[:2], runs, BURETTE)


def test_a_titrant_weighed_in_believes_its_label() -> None:
    mass = scale("pocket scale 0.01 g").weighed(37.22e-3)
    litre = Measured(value=1e-3, std=2e-6)
    found = made_up("EDTA", mass, litre, Measured(value=0.99, std=0.006))
    assert found.strength.value == pytest.approx(99.0, rel=1e-3)
    assert found.strength.std / found.strength.value == pytest.approx(0.0064, rel=0.1)
    assert "not set against a standard" in found.notes[0]
    with pytest.raises(BadInput, match="mass fraction"):
        made_up("EDTA", mass, litre, Measured(value=99.0))


def test_a_strength_far_from_the_label_is_asked_about() -> None:
    zinc = standard("zinc", "EDTA")
    mass = Measured(value=zinc.mass_for(20.0 * ML, 100.0))
    run = [Run(end=10.0 * ML)]
    with pytest.raises(BadInput, match=r"label says 0\.1"):
        standardised(zinc, mass, run, BURETTE, label=100.0)
    assert standardised(zinc, mass, run, BURETTE, label=100.0, sure=True).strength.value > 190.0


def test_a_standard_that_does_not_react_is_refused() -> None:
    with pytest.raises(UnknownName, match="potassium hydrogen phthalate"):
        standard("zinc", "sodium hydroxide")


def test_the_balance_matters_for_a_small_mass() -> None:
    """The same zinc on a pocket scale: the mass brings nearly all of the doubt."""
    zinc = standard("zinc", "EDTA")
    mass = zinc.mass_for(20.0 * ML, 100.0)
    nothing = Measured(value=0.0)
    titre = Measured(value=20.0 * ML, std=0.03 * ML)
    shares = strength_of(
        zinc,
        {
            "mass": scale("pocket scale 0.01 g").weighed(mass),
            "purity": zinc.purity,
            "titre": titre,
            "burette": instrument("burette 25 mL class A").measured(20.0 * ML).scaled(0.0),
            "last drop": nothing,
            "blank": nothing,
        },
    ).shares
    assert shares[0].name == "mass"
    assert shares[0].fraction > 0.95
