"""The window report: sides, uncertainty across an end, and properties that agree with the laws."""

import pytest

from tankside.base.intervals import Interval
from tankside.bath.acid_sulfate import acid_sulfate
from tankside.bath.composition import Composition
from tankside.bath.families import family
from tankside.bath.own_families import own_family
from tankside.bath.solubility import still_dissolved
from tankside.bath.speciation.recipe import WeakAcidRecipe
from tankside.bath.wagner import wagner_length
from tankside.bath.windows import (
    acid_sulfate_report,
    family_of_kind,
    standing,
    weak_acid_report,
)

BATH = Composition(copper_sulfate_pentahydrate=220.0, sulfuric_acid=60.0, chloride=0.07)


def test_an_ordinary_bath_is_inside_and_its_properties_are_the_laws() -> None:
    report = acid_sulfate_report(BATH, 298.15, "gentle air", coldest=278.15, current_density=300.0)
    assert report.family.name == "conventional"
    assert not report.outside
    bath = acid_sulfate(BATH, 298.15, "gentle air")
    assert report.value("wagner_length") == wagner_length(bath, 300.0)
    assert report.value("conductivity") == bath.conductivity
    limit = bath.limiting_current_density
    assert report.value("fraction_of_limit").best == pytest.approx(300.0 / limit.best)
    assert report.value("dissolved_share") == still_dissolved(BATH, 278.15).value
    assert {"crc2010", "foote1915", "kohlrausch1898"} < set(report.sources)


def test_sides_and_certainty() -> None:
    kind = family("conventional")
    salt = "copper_sulfate_pentahydrate"
    below = standing(kind, salt, Interval.about(100.0, 0.05))
    edge = standing(kind, salt, Interval.about(200.0, 0.05))
    above = standing(kind, "chloride", Interval.about(0.2, 0.05))
    assert (below.side, below.certain) == ("below", True)
    assert (edge.side, edge.certain) == ("inside", False)
    assert (above.side, above.certain) == ("above", True)
    assert "is below the window, 195 to 248 g/L (Metal Finishing" in below.sentence
    assert "reaches across the end" in edge.sentence
    assert above.sentence.startswith("Chloride at 200 mg/L is above the window, 50 to 120 mg/L")


def test_own_windows_are_judged_too() -> None:
    own = own_family("mine", {"windows": {"sulfuric_acid": ["80 g/L", "90 g/L"]}})
    report = acid_sulfate_report(BATH, 298.15, "still", coldest=283.15, family=own)
    assert [one.side for one in report.standings] == ["below"]
    assert "(your own window)" in report.outside[0].sentence


def test_vinegar_bath() -> None:
    recipe = WeakAcidRecipe(dissolved_copper=8.0, acetic_acid=50.0, chloride=0.03)
    report = weak_acid_report(
        family_of_kind("acetate"), recipe, 295.15, "gentle air", current_density=30.0
    )
    assert not report.outside
    assert report.value("pH").best == pytest.approx(3.8, abs=0.2)
    assert report.value("wagner_length").best < 0.002
    assert report.value("dissolved_share").best < 1.0


def test_citrate_bath_has_no_solubility_and_shouts_where_it_is_outside() -> None:
    recipe = WeakAcidRecipe(copper_sulfate_pentahydrate=50.0, citric_acid=10.0)
    report = weak_acid_report(family_of_kind("citrate"), recipe, 295.15, "still")
    assert [one.quantity for one in report.outside] == ["citric_acid"]
    assert "dissolved_share" not in {one.name for one in report.properties}
