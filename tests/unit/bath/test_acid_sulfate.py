"""The bath as the cell sees it: everything filled, everything said, nothing silently stretched."""

from dataclasses import fields

import pytest

from tankside.base.errors import BadInput, OutsideValidity, UnknownName
from tankside.base.intervals import Interval
from tankside.base.provenance import source
from tankside.bath.acid_sulfate import FAMILY, acid_sulfate
from tankside.bath.composition import Composition
from tankside.bath.electrolyte import Electrolyte

CONVENTIONAL = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0, chloride=0.07)
HIGH_THROW = Composition(copper_sulfate_pentahydrate=75.0, sulfuric_acid=190.0, chloride=0.07)


def test_every_property_comes_with_an_interval() -> None:
    bath = acid_sulfate(CONVENTIONAL, 298.15, "gentle air")
    assert bath.family == FAMILY
    for one in fields(Electrolyte):
        value = getattr(bath, one.name)
        if isinstance(value, Interval) and one.name != "efficiency":
            assert value.low < value.best < value.high, one.name
    assert bath.efficiency == Interval.exact(1.0)  # until the shop's audits say otherwise


def test_sources_are_named_once_and_exist() -> None:
    bath = acid_sulfate(CONVENTIONAL, 298.15, "still")
    assert list(bath.sources) == sorted(set(bath.sources))
    for key in bath.sources:
        assert source(key).title
    assert {"laliberte2009", "kohlrausch1898", "wilke1953", "newman1966b"} <= set(bath.sources)


def test_assumptions_are_sentences_and_none_twice() -> None:
    bath = acid_sulfate(CONVENTIONAL, 298.15, "still")
    assert len(set(bath.assumptions)) == len(bath.assumptions)
    for text in bath.assumptions:
        assert text[0].isupper() or text[0] == "'"
        assert text.endswith(".")


def test_inside_a_published_window_no_window_is_mentioned() -> None:
    for composition in (CONVENTIONAL, HIGH_THROW):
        bath = acid_sulfate(composition, 298.15, "still")
        assert not [text for text in bath.assumptions if "that is usual for" in text]


def test_outside_every_window_one_is_mentioned() -> None:
    odd = Composition(copper_sulfate_pentahydrate=120.0, sulfuric_acid=60.0, chloride=0.07)
    bath = acid_sulfate(odd, 298.15, "still")
    said = [text for text in bath.assumptions if "that is usual for" in text]
    assert len(said) == 1
    assert said[0].startswith("Copper sulfate pentahydrate at 120 g/L is below")


def test_the_high_throw_bath_conducts_better_and_burns_sooner() -> None:
    """The trade's reason for either bath."""
    plain = acid_sulfate(CONVENTIONAL, 298.15, "gentle air")
    throwing = acid_sulfate(HIGH_THROW, 298.15, "gentle air")
    assert throwing.conductivity.best > 2.0 * plain.conductivity.best
    assert throwing.limiting_current_density.best < 0.6 * plain.limiting_current_density.best


def test_limits_are_those_of_the_bench() -> None:
    """Still about 6 A/dm² at 0.8 M and 10 cm (free convection, D 5.5e-10: 6.1 to 6.2 A/dm²)."""
    still = acid_sulfate(CONVENTIONAL, 298.15, "still").limiting_current_density
    assert 600.0 == pytest.approx(still.best, rel=0.1)
    assert 615.0 in still


def test_a_measured_conductivity_replaces_the_law_and_its_sources() -> None:
    bath = acid_sulfate(CONVENTIONAL, 298.15, "still", measured_conductivity=18.0)
    assert bath.conductivity == Interval.about(18.0, 0.03)
    assert "kohlrausch1898" not in bath.sources
    assert "Conductivity is the measured one." in bath.assumptions


def test_a_measured_conductivity_opens_what_only_that_law_closed() -> None:
    weak = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=15.0)
    with pytest.raises(OutsideValidity, match="measure the conductivity"):
        acid_sulfate(weak, 298.15, "still")
    assert acid_sulfate(weak, 298.15, "still", measured_conductivity=8.0).conductivity.best == 8.0


def test_a_taller_part_has_a_thicker_layer_in_a_still_bath() -> None:
    small, tall = (
        acid_sulfate(CONVENTIONAL, 298.15, "still", height=h).boundary_layer.best
        for h in (0.02, 0.06)
    )
    assert small < tall


def test_a_given_layer_is_the_layer() -> None:
    assert acid_sulfate(CONVENTIONAL, 298.15, 9e-5).boundary_layer.best == 9e-5


@pytest.mark.parametrize(
    ("composition", "celsius", "error"),
    [
        (Composition(copper_sulfate_pentahydrate=0.0, sulfuric_acid=60.0), 25.0, BadInput),
        (Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=0.0), 25.0, BadInput),
        (
            Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=400.0),
            25.0,
            OutsideValidity,
        ),
        (Composition(copper_sulfate_pentahydrate=500.0, sulfuric_acid=60.0), 25.0, OutsideValidity),
        (CONVENTIONAL, 5.0, OutsideValidity),
        (CONVENTIONAL, 70.0, OutsideValidity),
        (CONVENTIONAL, 25.0 - 273.15, OutsideValidity),
    ],
)
def test_what_no_law_covers_is_refused(
    composition: Composition, celsius: float, error: type[Exception]
) -> None:
    with pytest.raises(error):
        acid_sulfate(composition, celsius + 273.15, "still")


def test_an_unknown_agitation_gets_close_names() -> None:
    with pytest.raises(UnknownName, match="'stirred'"):
        acid_sulfate(CONVENTIONAL, 298.15, "stirring")
