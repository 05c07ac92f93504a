"""The theory page of the bath shows the numbers that the laws give."""

import re
from pathlib import Path

import pytest

from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.composition import Composition
from tankside.bath.solubility import saturated
from tankside.bath.speciation.recipe import WeakAcidRecipe
from tankside.bath.speciation.species import species
from tankside.bath.wagner import wagner_length
from tankside.bath.weak_acid import equilibrium_of, weak_acid

PAGE = (Path(__file__).parents[2] / "docs" / "theory" / "bath.md").read_text("utf-8")
ROOM = 298.15
WEAK = {
    "50 g/L copper sulfate, 60 g/L citric acid": (
        "citrate",
        WeakAcidRecipe(copper_sulfate_pentahydrate=50.0, citric_acid=60.0),
    ),
    "8 g/L copper dissolved in 50 g/L acetic acid, 20 g/L sodium sulfate": (
        "acetate",
        WeakAcidRecipe(dissolved_copper=8.0, acetic_acid=50.0, sodium_sulfate=20.0),
    ),
    "8 g/L copper dissolved in 50 g/L acetic acid": (
        "acetate",
        WeakAcidRecipe(dissolved_copper=8.0, acetic_acid=50.0),
    ),
}
STRONG = {
    "75 g/L copper sulfate, 190 g/L sulfuric acid": (75.0, 190.0),
    "220 g/L copper sulfate, 60 g/L sulfuric acid": (220.0, 60.0),
}


def cells(first: str) -> list[str]:
    """The other cells of the page's row that begins so."""
    (row,) = re.findall(rf"^\| {re.escape(first)} \|(.*)\|$", PAGE, re.M)
    return [cell.strip() for cell in str(row).split("|")]


@pytest.mark.parametrize("name", WEAK)
def test_weak_baths(name: str) -> None:
    family, recipe = WEAK[name]
    acidity, conductivity, length = cells(name)
    bath = weak_acid(family, recipe, ROOM, "still")
    assert float(acidity) == pytest.approx(equilibrium_of(family, recipe, ROOM).pH, abs=0.051)
    assert float(conductivity) == pytest.approx(bath.conductivity.best, rel=0.03)
    assert float(length) == pytest.approx(1e3 * wagner_length(bath, 100.0).best, rel=0.06)


@pytest.mark.parametrize("name", STRONG)
def test_strong_baths(name: str) -> None:
    salt, acid = STRONG[name]
    _, conductivity, length = cells(name)
    bath = acid_sulfate(
        Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid), ROOM, "still"
    )
    assert float(conductivity) == pytest.approx(bath.conductivity.best, rel=0.03)
    assert float(length) == pytest.approx(1e3 * wagner_length(bath, 100.0).best, rel=0.06)


@pytest.mark.parametrize("acid", [0.0, 60.0, 100.0, 200.0])
def test_solubilities(acid: float) -> None:
    shown = [float(cell) for cell in cells(f"{acid:g}")]
    ours = [saturated(acid, t + 273.15) for t in (0.0, 10.0, 20.0, 25.0, 40.0)]
    assert shown == [round(value) for value in ours]


def test_number_of_species() -> None:
    assert f"holds {len(species())} species" in PAGE
