"""Substances answer to all their names, and say where they stand."""

import re

import chemicals
import pytest

from tankside.base.errors import MissingData, UnknownName
from tankside.base.tables import table
from tankside.substances import MixUp, Substance, substance, substances
from tankside.substances.molar_mass import atoms_in


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
        if name and not (name == record.cas and record.nominal_mass)
    ]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(
    "record", [one for one in substances() if one.cas], ids=lambda record: record.name
)
def test_cas_numbers_carry_their_check_digit(record: Substance) -> None:
    digits = record.cas.replace("-", "")
    weighted = sum(int(d) * n for n, d in enumerate(reversed(digits[:-1]), start=1))
    assert weighted % 10 == int(digits[-1])


IN_THE_REGISTER = {
    "copper sulfate pentahydrate": "copper sulfate pentahydrate",
    "copper sulfate": "copper sulfate",
    "copper oxide": "copper(II) oxide",
    "basic copper carbonate": "basic copper carbonate",
    "copper hydroxide": "copper hydroxide",
    "copper(I) chloride": "copper(I) chloride",
    "sulfuric acid": "sulfuric acid",
    "hydrochloric acid": "hydrogen chloride",
    "citric acid": "citric acid",
    "citric acid monohydrate": "citric acid monohydrate",
    "acetic acid": "acetic acid",
    "hydrogen peroxide": "hydrogen peroxide",
    "sodium chloride": "sodium chloride",
    "sodium carbonate": "sodium carbonate",
    "sodium carbonate decahydrate": "sodium carbonate decahydrate",
    "sodium bicarbonate": "sodium bicarbonate",
    "calcium hydroxide": "calcium hydroxide",
    "calcium carbonate": "calcium carbonate",
    "sodium hydroxide": "sodium hydroxide",
    "sodium thiosulfate pentahydrate": "sodium thiosulfate pentahydrate",
    "sodium thiosulfate": "sodium thiosulfate",
    "potassium iodide": "potassium iodide",
    "iodine": "iodine",
    "silver nitrate": "silver nitrate",
    "sodium acetate": "sodium acetate",
    "trisodium citrate": "sodium citrate",
    "murexide": "murexide",
    "1-(2-pyridylazo)-2-naphthol": "1-(2-pyridylazo)-2-naphthol",
    "phenolphthalein": "phenolphthalein",
    "ammonia": "ammonia",
    "sodium hypochlorite": "sodium hypochlorite",
    "calcium hypochlorite": "calcium hypochlorite",
    "nitric acid": "nitric acid",
    "sodium cyanide": "sodium cyanide",
    "acetone": "acetone",
    "isopropyl alcohol": "isopropanol",
    "water": "water",
}


@pytest.mark.parametrize(("name", "theirs"), IN_THE_REGISTER.items())
def test_cas_numbers_and_masses_agree_with_an_independent_register(name: str, theirs: str) -> None:
    """chemicals 1.5.2 knows the substance by another name; its masses use older atomic weights."""
    ours = substance(name)
    assert ours.cas == chemicals.CAS_from_any(theirs)
    assert ours.molar_mass == pytest.approx(chemicals.MW(ours.cas) * 1e-3, rel=2e-4)


@pytest.mark.parametrize(
    ("cas", "mass_g_mol"), [("6046-93-1", 199.64932), ("6381-92-6", 292.24264 + 43.9818 + 36.0306)]
)
def test_masses_of_what_the_register_holds_by_number_only(cas: str, mass_g_mol: float) -> None:
    """The register gives EDTA's acid for the salt: two sodium for hydrogen and two water on top."""
    assert substance(cas).molar_mass == pytest.approx(mass_g_mol * 1e-3, rel=2e-4)


def test_polymers_are_told_by_molar_mass_and_not_by_number() -> None:
    assert substance("PEG 4000").molar_mass == 4.0
    with pytest.raises(UnknownName):
        substance("25322-68-3")


def test_what_is_no_compound_has_no_molar_mass() -> None:
    with pytest.raises(MissingData, match="no single compound"):
        _ = substance("starch").molar_mass


@pytest.mark.parametrize("file", ["impurities.csv", "mix_ups.csv", "densities.csv"])
def test_tables_speak_of_known_substances(file: str) -> None:
    names = {record.name for record in substances()}
    assert {row["substance"] for row in table("tankside.substances", file)} <= names


def brought(record: Substance) -> float:
    """Of a kilogram: moles of copper, or else of what the substance neutralises or titrates."""
    copper = atoms_in(record.formula).get("Cu", 0)
    return (copper or record.equivalents or 1) / record.molar_mass


@pytest.mark.parametrize(
    ("record", "mix"),
    [(one, mix) for one in substances() for mix in one.mix_ups if mix.ratio],
    ids=lambda value: getattr(value, "name", ""),
)
def test_the_ratio_of_a_mix_up_is_that_of_the_molar_masses(record: Substance, mix: MixUp) -> None:
    ratio = brought(record) / brought(substance(mix.taken_for))
    assert mix.ratio == pytest.approx(ratio, abs=6e-4)
    figures = {float(figure) for figure in re.findall(r"\d\.\d+", mix.consequence)}
    assert mix.ratio in figures or record.name.startswith("citric acid mono")


def test_mix_ups_name_known_substances() -> None:
    for record in substances():
        for mix in record.mix_ups:
            assert substance(mix.taken_for).name == mix.taken_for
            assert mix.consequence.endswith(".")
