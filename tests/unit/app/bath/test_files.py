"""The shelf, the tools, the vessel and the target of a file, in SI."""

import pytest

from tankside.app.bath.entries import Entries
from tankside.app.bath.ledger_windows import ledger_windows
from tankside.app.bath.shelf_file import additive_of, bench_of, vessel_of
from tankside.app.bath.tables import tables_of
from tankside.app.bath.target_file import aim_of, composition_of_aim
from tankside.app.bath.typed_products import amount
from tankside.base.errors import BadInput, OutsideValidity, UnknownName
from tankside.bath.composition import Composition
from tankside.bath.families import families_of, family
from tankside.bath.inventory.windows import windows_of
from tankside.bath.makeup.request import Measures
from tankside.substances.products import Form

SHELF = """
[[shelf]]
name = "battery acid"
substance = "sulfuric acid"
strength = "36-38 %"
density = "1.28 g/mL"
stock = "2 L"
measured_with = "jug"

[[shelf]]
grade = "tap water"

[[tool]]
name = "jug"
division = "2 us_fluid_ounce"
capacity = "1 us_gallon"

[[tool]]
name = "scale"
division = "0.1 oz"
capacity = "11 lb"
accuracy = "0.2 oz"

[vessel]
material = "HDPE"
inside = ["40 cm", "24 cm", "30 cm"]
warmest = "45 degC"
open = "25 %"
"""

COMPOSITION = Composition(copper_sulfate_pentahydrate=200.0, sulfuric_acid=60.0, chloride=0.07)


def table(**entries: object) -> Entries:
    return Entries(table=entries, where="file")


def test_a_bench_in_si() -> None:
    bench = bench_of(tables_of(SHELF, where="shelf.toml"), where="shelf.toml")
    acid, tap = bench.stocks
    assert acid.product.density is not None
    assert acid.available == pytest.approx(2e-3 * acid.product.density.best)
    assert acid.measured_with == "jug"
    assert (tap.product.name, tap.available) == ("tap water", None)
    jug, scale = bench.tools
    assert (jug.measures, scale.measures) == (Measures.VOLUME, Measures.MASS)
    assert jug.resolution == pytest.approx(2 * 29.5735295625e-6)
    assert jug.capacity == pytest.approx(3.785411784e-3)
    assert scale.resolution == pytest.approx(2.8349523125e-3)
    assert scale.error == pytest.approx(2 * scale.resolution)
    assert bench.units == {"jug": "us_fluid_ounce", "scale": "oz"}
    vessel = bench.vessel
    assert vessel is not None
    assert vessel.capacity == pytest.approx(0.4 * 0.24 * 0.3)
    assert vessel.perimeter == pytest.approx(1.28)
    assert vessel.warmest == pytest.approx(318.15)
    assert vessel.open_fraction == pytest.approx(0.25)


def test_a_round_vessel() -> None:
    vessel = vessel_of(table(material="polypropylene", diameter="28 cm", height="30 cm"))
    assert vessel.floor_area == pytest.approx(3.141592653589793 * 0.14**2)


@pytest.mark.parametrize(
    "inside", [["40 cm", "24 cm"], ["40 cm", "24 cm", "0 cm"], "40 cm", ["-4 cm", "-3 cm", "2 cm"]]
)
def test_vessels_of_no_volume(inside: object) -> None:
    with pytest.raises(BadInput):
        vessel_of(table(material="hdpe", inside=inside))


def test_an_additive_by_volume_and_by_mass() -> None:
    liquid = additive_of(table(name="brightener", dose="4 mL/L", density="1.05 g/mL"))
    assert liquid.dose == pytest.approx(4e-3)
    assert liquid.product.contents == ()
    assert liquid.product.density is not None
    assert liquid.product.density.best == pytest.approx(1050.0)
    assert additive_of(table(name="b", dose="1 us_fluid_ounce per us_gallon")).dose == (
        pytest.approx(1 / 128)
    )
    solid = additive_of(table(name="powder", dose="2 g/L", form="solid"))
    assert (solid.dose, solid.product.form) == (pytest.approx(2.0), Form.SOLID)


@pytest.mark.parametrize("dose", ["4 mL", "4", "4 mL/", "much"])
def test_doses_that_are_none(dose: str) -> None:
    with pytest.raises(BadInput):
        additive_of(table(name="brightener", dose=dose))


def test_a_liquid_is_weighed_by_its_volume_and_crystals_are_not() -> None:
    bench = bench_of(tables_of(SHELF, where="shelf.toml"), where="shelf.toml")
    acid = bench.product("battery acid", where="x")
    assert acid.density is not None
    assert amount("100 mL", acid, where="x") == pytest.approx(1e-4 * acid.density.best)
    assert amount("100 g", acid, where="x") == pytest.approx(0.1)
    with pytest.raises(UnknownName):
        bench.product("batery acid", where="x")


def test_a_family_is_aimed_at_in_the_middle_of_its_windows() -> None:
    aim = aim_of(table(family="conventional"))
    window = family("conventional").windows["sulfuric_acid"]
    value = aim.target.value("sulfuric acid")
    assert value is not None
    assert (value.low, value.high) == (window.low, window.high)
    assert value.best == pytest.approx(0.5 * (window.low + window.high))


def test_an_aim_stands_in_the_family_s_window_and_a_typed_range_is_a_window_of_its_own() -> None:
    aim = aim_of(
        table(family="conventional", sulfuric_acid="62 g/L", chloride="60-80 mg/L", volume="10 L")
    )
    acid, chloride = aim.target.value("sulfuric acid"), aim.target.value("chloride")
    assert acid is not None
    assert chloride is not None
    window = family("conventional").windows["sulfuric_acid"]
    assert (acid.low, acid.best, acid.high) == (window.low, 62.0, window.high)
    assert (chloride.low, chloride.best, chloride.high) == pytest.approx((0.06, 0.07, 0.08))


def test_copper_typed_as_metal_takes_the_salt_s_place() -> None:
    aim = aim_of(table(family="conventional", copper="51 g/L"))
    assert aim.target.value("copper sulfate pentahydrate") is None
    made = composition_of_aim(aim.target)
    assert made.copper_sulfate_pentahydrate == pytest.approx(51.0 * 249.685 / 63.546, rel=1e-4)


def test_a_target_of_nothing_is_asked_about() -> None:
    with pytest.raises(BadInput, match="name a family"):
        aim_of(table(volume="10 L"))


def test_a_weak_acid_target_is_no_acid_sulfate_composition() -> None:
    with pytest.raises(OutsideValidity, match="citric acid"):
        composition_of_aim(aim_of(table(family="citrate")).target)


def test_windows_of_the_ledger_come_from_the_target_the_family_or_the_nearest() -> None:
    own, whose = ledger_windows(
        table(copper_sulfate_pentahydrate="180-220 g/L"), "", COMPOSITION, 298.15
    )
    assert own == {"copper": pytest.approx((180 * 63.546 / 249.685, 220 * 63.546 / 249.685),
                                           rel=1e-4)}  # fmt: skip
    assert "own" in whose
    named, _ = ledger_windows(None, "high-throw", COMPOSITION, 298.15)
    assert named == windows_of(family("high-throw"))
    nearest, whose = ledger_windows(None, "", COMPOSITION, 298.15)
    assert nearest == windows_of(family("conventional"))
    assert "nearest" in whose


def test_a_weak_acid_family_is_no_ledger_s() -> None:
    for one in families_of("citrate"):
        with pytest.raises(BadInput, match="weak-acid"):
            ledger_windows(None, one.name, COMPOSITION, 298.15)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"\xff\xfe", "UTF-8"),
        ("[target", "TOML"),
        ("[tagret]", "'target'"),
        ("a = 1", "table 'a'"),
    ],
)
def test_files_that_are_none(text: bytes | str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        tables_of(text, where="bath.toml")
