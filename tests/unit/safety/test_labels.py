"""Classification of mixtures and what stands on their labels."""

import pytest

from tankside.base.errors import BadInput, MissingData, UnknownName
from tankside.base.tables import table
from tankside.bath.composition import Composition
from tankside.safety.classification import classified
from tankside.safety.labels import (
    bath_contents,
    label,
    pictograms_for,
    precautions_for,
    product_contents,
)
from tankside.substances import hazards, product_hazards, substances
from tankside.substances.products import grades

SALT = "copper sulfate pentahydrate"


def codes(**fractions: float) -> set[str]:
    return set(classified({n.replace("_", " "): f for n, f in fractions.items()}).codes)


@pytest.mark.parametrize(
    ("fraction", "code"),
    [(0.049, ""), (0.05, "H315"), (0.149, "H315"), (0.15, "H314"), (0.96, "H314")],
)
def test_acid_alone_follows_its_own_limits(fraction: float, code: str) -> None:
    found = codes(sulfuric_acid=fraction)
    assert (code in found) if code else not found & {"H314", "H315"}


def test_two_acids_below_their_limits_add_up() -> None:
    """8 % of one with a limit of 15 % and 13 % of one with 25 %: 0.53 + 0.52, over one."""
    assert "H314" not in codes(sulfuric_acid=0.08)
    assert "H314" not in codes(acetic_acid=0.13)
    assert "H314" in codes(sulfuric_acid=0.08, acetic_acid=0.13)
    assert codes(sulfuric_acid=0.03) & {"H315", "H319"} == set()
    assert {"H315", "H319"} <= codes(sulfuric_acid=0.03, acetic_acid=0.05)


def test_burns_cover_irritation_and_eye_damage() -> None:
    assert codes(sulfuric_acid=0.2) & {"H315", "H318", "H319"} == set()


def test_the_mouth_follows_the_estimate() -> None:
    """2000 / 481: a quarter of copper sulfate is harmful, a fifth is not."""
    assert "H302" in codes(**{SALT.replace(" ", "_"): 0.25})
    assert "H302" not in codes(**{SALT.replace(" ", "_"): 0.20})
    assert "H302" in codes(hydrogen_peroxide=0.2, copper_sulfate_pentahydrate=0.10)


@pytest.mark.parametrize(
    ("fraction", "code"), [(0.024, "H411"), (0.026, "H410"), (0.0003, "H412"), (0.0001, "")]
)
def test_water_life_follows_share_times_factor(fraction: float, code: str) -> None:
    found = codes(copper_sulfate_pentahydrate=fraction) & {"H410", "H411", "H412"}
    assert found == ({code} if code else set())


def test_nickel_paint_is_told_for_skin_and_lungs() -> None:
    found = classified({"nickel powder": 0.3, "acetone": 0.3})
    assert {"H317", "H351", "H372", "H412", "H225"} <= set(found.codes)
    assert all(one.because for one in found.due)


@pytest.mark.parametrize(
    "name", ["sulfuric acid", "hydrochloric acid", "acetic acid", "sodium hydroxide"]
)
@pytest.mark.parametrize("fraction", [0.06, 0.12, 0.3])
def test_single_substances_agree_with_the_shelf(name: str, fraction: float) -> None:
    """The shelf's rows and the sums here were written apart; for skin they must say the same."""
    skin = {"H314", "H315"}
    assert (
        set(classified({name: fraction}).codes) & skin == set(hazards(name, fraction).codes) & skin
    )


def test_what_is_not_held_is_told() -> None:
    found = classified({"murexide": 0.02, "water": 0.9})
    assert found.unknown == ("murexide",)
    assert any("murexide" in note for note in label("Indicator", {"murexide": 0.02}).notes)


def test_parts_of_the_shelf_alone_bring_their_own_statements() -> None:
    found = classified({"nitric acid": 0.1, "sulfuric acid": 0.02})
    assert "H314" in found.codes
    assert found.unknown == ()
    assert "EUH031" in classified({"sodium hypochlorite": 0.1}).codes


@pytest.mark.parametrize(
    ("contents", "error", "words"),
    [
        ({"sulfuric acid": 35.0}, BadInput, "between 0 and 1"),
        ({"sulfuric acid": 0.8, "acetic acid": 0.8}, BadInput, "make 160 %"),
        ({"sulphuric acd": 0.1}, UnknownName, "sulfuric acid"),
    ],
)
def test_impossible_mixtures_are_refused(
    contents: dict[str, float], error: type[Exception], words: str
) -> None:
    with pytest.raises(error, match=words):
        classified(contents)


def test_the_label_of_a_high_throw_bath() -> None:
    made = label("Acid copper bath, high throw", {SALT: 0.065, "sulfuric acid": 0.164})
    assert made.signal_word == "danger"
    assert [one.id for one in made.pictograms] == ["GHS05", "GHS09"]
    assert [one.code for one in made.hazards] == ["H290", "H314", "H410"]
    assert made.hazards[1].text == "Causes severe skin burns and eye damage"
    chosen = [one.code for one in made.precautions]
    assert {"P260", "P280", "P301+P330+P331", "P305+P351+P338", "P310", "P501"} <= set(chosen)
    assert "P301+P312" not in chosen
    kinds = {row["code"]: row["kind"] for row in table("tankside.safety", "precautions.csv")}
    order = ["prevention", "response", "storage", "disposal"]
    places = [order.index(kinds[code]) for code in chosen]
    assert places == sorted(places)
    assert len(chosen) <= 11


def test_a_bath_is_labelled_by_its_composition() -> None:
    bath = Composition(copper_sulfate_pentahydrate=75.0, sulfuric_acid=190.0)
    contents = bath_contents(bath, 298.15)
    assert contents[SALT] == pytest.approx(75.0 / 1159.8, rel=1e-4)
    assert contents["sulfuric acid"] == pytest.approx(190.0 / 1159.8, rel=1e-4)
    assert "H314" in classified(contents).codes
    weak = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=50.0)
    assert "H314" not in classified(bath_contents(weak, 298.15)).codes


def test_every_grade_of_the_shelf_gets_a_label() -> None:
    """And what the shelf's own rows say of burns is not lost."""
    for product in grades():
        made = label(product.name, product_contents(product))
        shelf = set(product_hazards(product).codes)
        mine = {one.code for one in made.hazards}
        assert not shelf - mine, product.name
        assert mine - shelf <= {"H290"}, product.name
        if made.hazards:
            assert made.signal_word or {one.code for one in made.hazards} <= {"H411", "H412"}


def test_harmless_water_has_an_empty_label() -> None:
    made = label("Distilled water", {"water": 1.0})
    assert made.signal_word == ""
    assert made.pictograms == made.hazards == made.precautions == ()
    with pytest.raises(BadInput, match="needs a name"):
        label("  ", {"water": 1.0})


def test_the_exclamation_mark_gives_way() -> None:
    assert [one.id for one in pictograms_for(("H314", "H315", "H319"))] == ["GHS05"]
    assert [one.id for one in pictograms_for(("H301", "H312"))] == ["GHS06"]
    assert [one.id for one in pictograms_for(("H318", "H335"))] == ["GHS05", "GHS07"]
    with pytest.raises(MissingData, match="H999"):
        pictograms_for(("H999",))


def test_every_statement_of_the_shelf_has_a_word_a_pictogram_and_a_text() -> None:
    """Whatever the shelf can say by a GHS code, a label can print."""
    held = {row["code"] for row in table("tankside.safety", "statements.csv")}
    for record in substances():
        for code in hazards(record.name, 1.0).codes:
            assert code in held, code


def test_tables_refer_to_each_other() -> None:
    precautions = {row["code"] for row in table("tankside.safety", "precautions.csv")}
    statements = {row["code"] for row in table("tankside.safety", "statements.csv")}
    pictograms = {row["id"] for row in table("tankside.safety", "pictograms.csv")}
    rules = table("tankside.safety", "precaution_rules.csv")
    assert {row["precaution"] for row in rules} == precautions
    assert {row["statement"] for row in rules} <= statements
    for row in table("tankside.safety", "statements.csv"):
        assert row["pictogram"] in {"", *pictograms}
        assert row["unless"] in {"", *pictograms}
    for row in table("tankside.safety", "classes.csv"):
        assert row["statement"] in statements
        assert float(row["figure"]) > 0.0
    assert len(precautions_for(("H314", "H410"))) >= 6
