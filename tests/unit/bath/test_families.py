"""Handbook windows hold, and a bath outside one is told so in one sentence a quantity."""

from typing import Any

import pytest

from tankside.base.errors import BadInput, UnknownName
from tankside.base.provenance import NEEDS_NO_SOURCE
from tankside.bath.boundary_layer import AGITATIONS
from tankside.bath.composition import Composition
from tankside.bath.families import (
    KINDS,
    SHOWN,
    families,
    families_of,
    family,
    nearest_family,
)
from tankside.bath.own_families import own_family


def bath(salt: float, acid: float, chloride: float = 0.07) -> Composition:
    return Composition(copper_sulfate_pentahydrate=salt, sulfuric_acid=acid, chloride=chloride)


@pytest.mark.parametrize(
    ("composition", "name"),
    [
        (bath(220, 60), "conventional"),
        (bath(70, 200), "high-throw"),
        (bath(220, 60, chloride=0.0), "electroforming"),
        (bath(75, 190), "high-throw"),
        (bath(100, 150), "high-throw"),
        (bath(180, 60), "conventional"),
    ],
)
def test_a_bath_finds_its_family(composition: Composition, name: str) -> None:
    assert nearest_family(composition, 298.15).name == name


def test_published_windows_are_as_read() -> None:
    """Metal Finishing Guidebook 2013, p. 284, tables VIII and IX."""
    conventional, high_throw = family("conventional"), family("high-throw")
    salt = "copper_sulfate_pentahydrate"
    assert (conventional.windows[salt].low, conventional.windows[salt].high) == (195, 248)
    assert (high_throw.windows[salt].low, high_throw.windows[salt].high) == (60, 75)
    acid = high_throw.windows["sulfuric_acid"]
    assert (acid.low, acid.high, acid.source) == (187, 225, "mfg2013")
    current = conventional.windows["current_density"]  # 20 to 100 A/ft²
    assert current.low == pytest.approx(20 / 0.3048**2, rel=2e-3)
    assert current.high == pytest.approx(100 / 0.3048**2, rel=2e-3)


def test_inside_all_windows_nothing_is_said() -> None:
    assert family("conventional").outside(bath(220, 60), 298.15) == ()


def test_outside_says_what_by_how_much_and_whose_window() -> None:
    notes = family("conventional").outside(bath(150, 60, chloride=0.2), 298.15)
    assert len(notes) == 2
    assert notes[0] == (
        "Copper sulfate pentahydrate at 150 g/L is below the 195 to 248 g/L that is usual for the "
        "conventional acid copper bath (Metal Finishing Guidebook, p. 284, table VIII)."
    )
    assert "Chloride at 200 mg/L is above the 50 to 120 mg/L" in notes[1]


def test_cold_and_hot_are_said() -> None:
    assert (
        "The temperature at 12 °C is below"
        in family("conventional").outside(bath(220, 60), 285.15)[0]
    )


def test_a_current_beyond_the_window_is_said() -> None:
    assert family("conventional").outside_current(500.0) == ""
    assert "15 A/dm² is above the 2.15 to 10.8 A/dm²" in family("conventional").outside_current(
        1500.0
    )


def test_unknown_family_gets_close_names() -> None:
    with pytest.raises(UnknownName, match="'high-throw'"):
        family("high throw")


@pytest.mark.parametrize("name", sorted(families()))
def test_windows_are_sane(name: str) -> None:
    one = family(name)
    assert {"current_density", "temperature"} < set(one.windows) <= set(SHOWN)
    if one.kind == "acid sulfate":
        assert {"copper_sulfate_pentahydrate", "sulfuric_acid", "chloride"} < set(one.windows)
    for window in one.windows.values():
        assert 0.0 <= window.low < window.high
        assert window.source or window.evidence in NEEDS_NO_SOURCE
    assert one.kind in KINDS
    assert one.good_at
    assert one.bad_at
    assert "toxic to water life" in one.hazard
    assert set(one.agitation) <= set(AGITATIONS)


def test_weak_acids_are_never_the_nearest_of_an_acid_sulfate_bath() -> None:
    assert nearest_family(bath(50, 1), 298.15).kind == "acid sulfate"
    assert [one.name for one in families_of("citrate")] == ["citrate", "citrate-complexed"]


def test_the_published_citrate_bath_is_as_read() -> None:
    """Hosokawa and Suematsu 1964, abstract: pH 4 to 5, 40 to 50 °C, 0.3 to 0.8 A/dm²."""
    windows = family("citrate-complexed").windows
    assert (windows["pH"].low, windows["pH"].high) == (4.0, 5.0)
    assert (windows["current_density"].low, windows["current_density"].high) == (30.0, 80.0)
    salt, citrate = 0.5 * 249.685, 1.0 * 294.10
    assert windows["copper_sulfate_pentahydrate"].low < salt
    assert windows["copper_sulfate_pentahydrate"].high > salt
    assert windows["sodium_citrate_dihydrate"].low < citrate
    assert windows["sodium_citrate_dihydrate"].high > citrate


OWN_LABEL = {
    "words": "shell bath",
    "windows": {
        "copper_sulfate_pentahydrate": ["80 g/L", "120 g/L"],
        "chloride": ["40 mg/L", "90 mg/L"],
        "temperature": ["59 degF", "86 degF"],
        "current_density": ["1 A/dm^2", "30 asf"],
    },
}


def test_an_own_family_reads_units_and_says_whose_it_is() -> None:
    own = own_family("shells", OWN_LABEL)
    assert own.windows["chloride"].low == pytest.approx(0.040)
    assert own.windows["temperature"].high == pytest.approx(30.0)
    assert own.windows["current_density"].high == pytest.approx(322.9, rel=1e-3)
    (note,) = own.outside_of({"chloride": 0.1, "temperature": 20.0})
    assert note == (
        "Chloride at 100 mg/L is above the 40 to 90 mg/L that is usual for the shell bath "
        "(your own window)."
    )


@pytest.mark.parametrize(
    ("name", "label", "words"),
    [
        ("citrate", OWN_LABEL, "published family"),
        ("a", {"windws": {}}, "did you mean 'windows'"),
        ("a", {"kind": "cyanide", "windows": {}}, "kind of bath"),
        ("a", {}, "at least one window"),
        ("a", {"windows": {"sulphuric_acid": ["1 g/L", "2 g/L"]}}, "did you mean 'sulfuric_acid'"),
        ("a", {"windows": {"sulfuric_acid": "50 g/L"}}, "two values"),
        ("a", {"windows": {"sulfuric_acid": ["70 g/L", "50 g/L"]}}, "rises from low to high"),
        ("a", {"windows": {"sulfuric_acid": ["-1 g/L", "50 g/L"]}}, "rises from low to high"),
        ("a", {"windows": {"sulfuric_acid": [50, 70]}}, "with its unit"),
        ("a", {"windows": {"pH": ["1", "2"]}}, "plain number"),
    ],
)
def test_an_own_family_that_makes_no_sense_is_refused(
    name: str, label: dict[str, Any], words: str
) -> None:
    with pytest.raises(BadInput, match=words):
        own_family(name, label)
