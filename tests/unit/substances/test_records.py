"""Substances answer to all their names, and say where they stand."""

import chemicals
import pytest

from tankside.base.errors import BadInput, UnknownName
from tankside.base.tables import table
from tankside.substances import hazards, substance, substances


@pytest.mark.parametrize(
    "name",
    [
        "copper sulfate pentahydrate",
        "copper_sulfate_pentahydrate",
        "Copper Sulphate Pentahydrate",
        "  copper  sulfate   pentahydrate ",
        "CuSO4·5H2O",
        "CuSO4.5H2O",
        "bluestone",
        "7758-99-8",
    ],
)
def test_one_substance_goes_by_many_names(name: str) -> None:
    assert substance(name).cas == "7758-99-8"


def test_the_salt_and_its_hydrate_are_not_confused() -> None:
    assert substance("copper sulfate").formula == "CuSO4"
    assert substance("copper sulfate pentahydrate").formula == "CuSO4·5H2O"


def test_a_typing_error_gets_close_names() -> None:
    with pytest.raises(UnknownName) as caught:
        substance("sulfric acid", where="[bath]")
    assert caught.value.candidates[0] == "sulfuric acid"
    assert str(caught.value).startswith("[bath]: ")


def test_no_name_means_two_substances() -> None:
    names = [
        name.lower()
        for record in substances()
        for name in {record.name, record.formula, record.cas, *record.also}
    ]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("record", substances(), ids=lambda record: record.name)
def test_cas_numbers_carry_their_check_digit(record: object) -> None:
    digits = record.cas.replace("-", "")  # type: ignore[attr-defined]
    weighted = sum(int(d) * n for n, d in enumerate(reversed(digits[:-1]), start=1))
    assert weighted % 10 == int(digits[-1])


@pytest.mark.parametrize(
    ("name", "theirs"),
    [
        ("copper sulfate pentahydrate", "copper sulfate pentahydrate"),
        ("copper sulfate", "copper sulfate"),
        ("sulfuric acid", "sulfuric acid"),
        ("hydrochloric acid", "hydrogen chloride"),
        ("sodium chloride", "sodium chloride"),
        ("water", "water"),
    ],
)
def test_cas_numbers_agree_with_an_independent_register(name: str, theirs: str) -> None:
    assert substance(name).cas == chemicals.CAS_from_any(theirs)


def test_hazards_grow_with_strength() -> None:
    assert hazards("sulfuric acid", 0.02).codes == ()
    assert hazards("sulfuric acid", 0.10).signal_word == "warning"
    assert hazards("sulfuric acid", 0.35).codes == ("H314",)
    assert hazards("sulfuric acid", 0.15).sentences == ("Causes severe skin burns and eye damage",)


def test_the_pentahydrate_carries_the_statements_of_its_safety_card() -> None:
    """ICSC 1416: harmful if swallowed, serious eye damage, very toxic to aquatic life."""
    held = hazards("copper sulfate pentahydrate")
    assert held.signal_word == "danger"
    assert held.codes == ("H302", "H318", "H410")


def test_no_classification_is_an_empty_answer() -> None:
    assert hazards("sodium chloride").codes == ()


@pytest.mark.parametrize("share", [-0.1, 1.1, float("nan")])
def test_a_mass_fraction_lies_between_nothing_and_all(share: float) -> None:
    with pytest.raises(BadInput, match="between 0 and 1"):
        hazards("sulfuric acid", share)


def test_the_hazard_table_speaks_of_known_substances_and_statements() -> None:
    names = {record.name for record in substances()}
    codes = {row["code"] for row in table("tankside.substances", "statements.csv")}
    for row in table("tankside.substances", "hazards.csv"):
        assert row["substance"] in names
        assert set(row["statements"].split(";")) <= codes
        assert row["signal_word"] in ("danger", "warning")
        assert 0.0 <= float(row["from_mass_fraction"]) <= 1.0
