"""Formulas become masses, and nothing else does."""

import chemicals
import pytest

from tankside.base.errors import BadInput, MissingData
from tankside.substances.molar_mass import atomic_weights, atoms_in, molar_mass


@pytest.mark.parametrize(
    ("formula", "atoms"),
    [
        ("H2O", {"H": 2, "O": 1}),
        ("CuSO4·5H2O", {"Cu": 1, "S": 1, "O": 9, "H": 10}),
        ("CuSO4.5H2O", {"Cu": 1, "S": 1, "O": 9, "H": 10}),
        ("Cu(OH)2", {"Cu": 1, "O": 2, "H": 2}),
        ("Cu4(OH)6SO4", {"Cu": 4, "O": 10, "H": 6, "S": 1}),
        ("Ca3((SO4)2H)2", {"Ca": 3, "S": 4, "O": 16, "H": 2}),
        ("C10H16N2O8", {"C": 10, "H": 16, "N": 2, "O": 8}),
    ],
)
def test_atoms_are_counted(formula: str, atoms: dict[str, int]) -> None:
    assert atoms_in(formula) == atoms


@pytest.mark.parametrize(
    "text", ["", "copper", "cuSO4", "Cu(OH", "CuOH)2", "Cu2+", "Cu SO4", "()", "5", "Cu·", "·H2O"]
)
def test_what_is_no_formula_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="not a chemical formula"):
        molar_mass(text)


def test_an_unknown_element_is_named() -> None:
    with pytest.raises(MissingData, match="Xx"):
        molar_mass("XxO2")


def test_hydration_adds_up() -> None:
    parts = molar_mass("CuSO4") + 5 * molar_mass("H2O")
    assert molar_mass("CuSO4·5H2O") == pytest.approx(parts, rel=1e-14)


@pytest.mark.parametrize("symbol", sorted(atomic_weights()))
def test_atomic_weights_agree_with_an_independent_table(symbol: str) -> None:
    """chemicals 1.5.2 holds its own periodic table; sulfur and chlorine vary by 0.02 %."""
    theirs = chemicals.periodic_table[symbol].MW * 1e-3
    assert atomic_weights()[symbol] == pytest.approx(theirs, rel=3e-4)
