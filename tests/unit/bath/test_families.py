"""Handbook windows hold, and a bath outside one is told so in one sentence a quantity."""

import pytest

from tankside.base.errors import UnknownName
from tankside.bath.composition import Composition
from tankside.bath.families import families, family, nearest_family


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
    assert set(one.windows) == {
        "copper_sulfate_pentahydrate",
        "sulfuric_acid",
        "chloride",
        "current_density",
        "temperature",
    }
    for window in one.windows.values():
        assert 0.0 <= window.low < window.high
        assert window.source or window.evidence.value.endswith("no source")
