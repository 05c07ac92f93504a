"""Hazard statements follow the strength at which a substance is met."""

import pytest

from tankside.base.errors import BadInput
from tankside.base.tables import table
from tankside.substances import grade, hazards, product_hazards, substances
from tankside.substances.hazards import statement


def test_hazards_grow_with_strength() -> None:
    assert hazards("sulfuric acid", 0.02).codes == ()
    assert hazards("sulfuric acid", 0.10).signal_word == "warning"
    assert hazards("sulfuric acid", 0.35).codes == ("H314",)
    assert hazards("sulfuric acid", 0.15).sentences == ("Causes severe skin burns and eye damage",)


@pytest.mark.parametrize(
    ("fraction", "word", "codes"),
    [
        (0.03, "", ()),
        (0.06, "warning", ("H319",)),
        (0.12, "danger", ("H272", "H318")),
        (0.30, "danger", ("H272", "H302", "H318")),
    ],
)
def test_peroxide_by_strength(fraction: float, word: str, codes: tuple[str, ...]) -> None:
    """The data sheet for 8 to 35 %: eye damage and oxidiser; harmful if swallowed from 25 %."""
    held = hazards("hydrogen peroxide", fraction)
    assert (held.signal_word, held.codes) == (word, codes)


@pytest.mark.parametrize(
    ("fraction", "codes"),
    [(0.09, ()), (0.10, ("H315", "H319")), (0.25, ("H314",)), (0.90, ("H226", "H314"))],
)
def test_acetic_acid_by_strength(fraction: float, codes: tuple[str, ...]) -> None:
    assert hazards("acetic acid", fraction).codes == codes


def test_the_pentahydrate_carries_the_statements_of_its_safety_card() -> None:
    """ICSC 1416: harmful if swallowed, serious eye damage, very toxic to aquatic life."""
    held = hazards("copper sulfate pentahydrate")
    assert held.signal_word == "danger"
    assert held.codes == ("H302", "H318", "H410")
    assert [one.source for one in held.provenances] == ["icsc1416"]


def test_no_classification_is_an_empty_answer() -> None:
    assert hazards("sodium chloride").codes == ()
    assert hazards("sodium chloride").provenances == ()


@pytest.mark.parametrize("share", [-0.1, 1.1, float("nan")])
def test_a_mass_fraction_lies_between_nothing_and_all(share: float) -> None:
    with pytest.raises(BadInput, match="between 0 and 1"):
        hazards("sulfuric acid", share)


def test_a_product_is_judged_at_the_strongest_that_it_may_be() -> None:
    assert product_hazards(grade("battery acid")).codes == ("H314",)
    assert product_hazards(grade("hydrogen peroxide 3 %")).codes == ()
    assert product_hazards(grade("low-fume muriatic acid")).codes == (
        "H290",
        "H315",
        "H319",
        "H335",
    )
    assert product_hazards(grade("distilled water")).signal_word == ""


def test_an_unheld_statement_is_refused() -> None:
    with pytest.raises(BadInput, match="H999"):
        statement("H999")


def test_signal_words_never_fall_as_strength_grows() -> None:
    words = ("", "warning", "danger")
    for record in substances():
        ranks = [words.index(hazards(record.name, step / 200).signal_word) for step in range(201)]
        assert ranks == sorted(ranks), record.name


def test_the_hazard_table_speaks_of_known_substances_and_statements() -> None:
    names = {record.name for record in substances()}
    codes = {row["code"] for row in table("tankside.substances", "statements.csv")}
    for row in table("tankside.substances", "hazards.csv"):
        assert row["substance"] in names
        assert set(row["statements"].split(";")) <= codes
        assert row["signal_word"] in ("danger", "warning")
        assert 0.0 <= float(row["from_mass_fraction"]) <= 1.0
