"""A label becomes a product, or one sentence that says what is wrong with it."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.substances import Form, grade, read_product, substances
from tankside.substances.strengths import solution_density

WHERE = "[shelf.bottle]"


def strength(**label: str) -> Interval:
    return read_product(label, where=WHERE).contents[0].mass_fraction


@pytest.mark.parametrize(
    ("text", "low", "best", "high"),
    [
        ("96 %", 0.9504, 0.96, 0.9696),
        ("96 % w/w", 0.9504, 0.96, 0.9696),
        ("96 wt%", 0.9504, 0.96, 0.9696),
        ("96 % by weight", 0.9504, 0.96, 0.9696),
        ("96,0 percent", 0.9504, 0.96, 0.9696),
        ("95-97 %", 0.95, 0.96, 0.97),
        ("95 % - 97 %", 0.95, 0.96, 0.97),
        ("95 to 97 %", 0.95, 0.96, 0.97),
        ("96 ± 0.5 %", 0.955, 0.96, 0.965),
        ("96 % +/- 0.5 %", 0.955, 0.96, 0.965),
        (">= 95 %", 0.95, 0.975, 1.0),
        ("min. 95 %", 0.95, 0.975, 1.0),
        ("95 % min", 0.95, 0.975, 1.0),
        ("95 % (min.)", 0.95, 0.975, 1.0),
        ("95+ %", 0.95, 0.975, 1.0),
        ("95 %+", 0.95, 0.975, 1.0),
    ],
)
def test_percent_by_mass_in_its_many_spellings(
    text: str, low: float, best: float, high: float
) -> None:
    read = strength(substance="sulfuric acid", strength=text)
    assert (read.low, read.best, read.high) == pytest.approx((low, best, high), abs=1e-9)


def test_few_digits_mean_little() -> None:
    """3 % peroxide is anything from 2.5 to 3.5 %."""
    read = strength(substance="hydrogen peroxide", strength="3 %")
    assert (read.low, read.high) == pytest.approx((0.025, 0.035))


@pytest.mark.parametrize(
    ("name", "text", "best"),
    [
        ("sodium hydroxide", "40 % w/v", 400 / 1327.1),
        ("acetic acid", "5 % acidity", 50 / 1004.9),
        ("sulfuric acid", "5 mol/L", 490.36 / 1287.5),
        ("sulfuric acid", "5 M", 490.36 / 1287.5),
        ("sulfuric acid", "10 N", 490.36 / 1287.5),
        ("sulfuric acid", "490.36 g/L", 490.36 / 1287.5),
        ("hydrochloric acid", "12 mol/L", 0.3696),
        ("hydrogen peroxide", "10 vol", 30.35 / 1009.3),
        ("hydrogen peroxide", "20 volumes", 60.70 / 1020.2),
        ("silver nitrate", "0.1 N", 16.987 / 1006.7),
    ],
)
def test_strengths_per_litre_become_masses(name: str, text: str, best: float) -> None:
    assert strength(substance=name, strength=text).best == pytest.approx(best, rel=1e-3)


def test_a_weak_titrant_without_a_table_lies_between_water_and_all_it_holds() -> None:
    bottle = read_product(
        {"substance": "silver nitrate", "strength": "0.1 mol/L", "package": "500 mL"}, where=WHERE
    )
    assert bottle.form is Form.LIQUID
    assert bottle.density is not None
    assert 1012.0 in bottle.density  # the handbook's density of 1.7 % silver nitrate
    assert bottle.package == pytest.approx(0.506, rel=0.01)


@pytest.mark.parametrize(
    ("density", "low", "truth", "high"),
    [
        ("SG 1.265 at 80 degF", 0.355, 0.360, 0.365),
        ("SG 1.265", 0.34, 0.355, 0.37),
        ("1.26 g/mL", 0.33, 0.35, 0.37),
        ("30.0 degBe US", 0.34, 0.346, 0.35),
    ],
)
def test_battery_acid_by_its_density_alone(
    density: str, low: float, truth: float, high: float
) -> None:
    """The truth by the CRC Handbook's table at 20 °C, with 0.67 kg/m3 for each kelvin."""
    read = strength(substance="sulfuric acid", density=density)
    assert low < read.low < truth < read.high < high


def test_muriatic_acid_by_degrees_baume_is_31_percent() -> None:
    """20 degrees on the American scale is sold as 31.45 %."""
    read = strength(substance="muriatic acid", density="20 degBe US")
    assert 0.3145 in read
    assert read.high - read.low < 0.01


def test_a_density_narrows_a_wide_percentage() -> None:
    wide = strength(substance="sulfuric acid", strength="30-38 %")
    narrow = strength(substance="sulfuric acid", strength="30-38 %", density="SG 1.265 at 80 degF")
    assert wide.low <= narrow.low
    assert narrow.high <= wide.high
    assert narrow.high - narrow.low < 0.2 * (wide.high - wide.low)


def test_a_density_that_does_not_tell_leaves_the_percentage() -> None:
    """1.84 g/mL is printed on all strong sulfuric acid."""
    alone = strength(substance="sulfuric acid", strength="96 %")
    assert strength(substance="sulfuric acid", strength="96 %", density="1.84 g/mL") == alone


@pytest.mark.parametrize(
    ("label", "words"),
    [
        (
            {"substance": "sulfuric acid", "strength": "96 %", "density": "SG 1.26"},
            "96 % sulfuric acid weighs 1.836 g/mL at 20 °C, and 'SG 1.26' would be 33.9 to 35.5 %",
        ),
        (
            {"grade": "battery acid", "density": "1.84 g/mL"},
            "35 % sulfuric acid weighs 1.261 g/mL at 20 °C, and '1.84 g/mL' would be 95.1 to 98.8",
        ),
        (
            {"substance": "hydrochloric acid", "strength": "10 %", "density": "20 degBe US"},
            "10 % hydrochloric acid weighs 1.048 g/mL at 15.6 °C, and '20 degBe US' would be 31.1",
        ),
        (
            {"substance": "sulfuric acid", "strength": "35 %", "density": "2.5 g/mL"},
            "is the weight of no strength of it",
        ),
        (
            {"substance": "copper sulfate", "strength": "98 %", "copper": "25 %"},
            "copper sulfate of 98 % holds 39 % copper, not 25 %; 25 % would be copper sulfate "
            "pentahydrate of 98.2 %",
        ),
        (
            {"substance": "copper sulfate pentahydrate", "copper": "39 %"},
            "holds 25.5 % copper, not 39 %; 39 % would be copper sulfate of 98 %",
        ),
    ],
)
def test_a_label_that_contradicts_itself_is_refused_with_both_numbers(
    label: dict[str, str], words: str
) -> None:
    with pytest.raises(BadInput, match="the label contradicts itself") as caught:
        read_product(label, where=WHERE)
    assert words in str(caught.value)


SULFURIC = "sulfuric acid"


@pytest.mark.parametrize(
    ("label", "words"),
    [
        ({"substance": SULFURIC, "strength": "120 %"}, "at most 100 % of its mass"),
        ({"substance": SULFURIC, "strength": "-3 %"}, "more than nothing"),
        ({"substance": SULFURIC, "strength": "0 %"}, "more than nothing"),
        ({"substance": SULFURIC, "strength": "96"}, "has no unit"),
        ({"substance": SULFURIC, "strength": "strong"}, "does not begin with a number"),
        ({"substance": SULFURIC, "strength": "38-30 %"}, "runs backwards"),
        ({"substance": SULFURIC, "strength": "50 % v/v"}, "percent by volume"),
        ({"substance": SULFURIC, "strength": "200 % w/v"}, "impossible: 2000 g/L"),
        ({"substance": SULFURIC, "strength": "25 M"}, "impossible: 2452 g/L"),
        ({"substance": SULFURIC, "strength": "4 oz/gal"}, "'4 oz/gal' is ambiguous"),
        ({"substance": SULFURIC, "strength": "4 parsnips"}, "is not a strength"),
        ({"substance": SULFURIC, "strength": "10 vol"}, "only hydrogen peroxide"),
        ({"substance": SULFURIC, "density": "66 degBe"}, "Baumé scales differ"),
        ({"substance": SULFURIC, "strength": "66 °Bé"}, "give it as density"),
        ({"substance": SULFURIC, "strength": "66 degrees Baume"}, "give it as density"),
        ({"substance": SULFURIC, "density": "1.836 g/mL"}, "96.3 % and 98.1 %"),
        ({"substance": SULFURIC, "density": "0.5 g/mL"}, "no strength of sulfuric acid"),
        ({"substance": SULFURIC}, "does not say how strong"),
        ({"strength": "96 %"}, "does not say what is in it"),
        ({"substance": SULFURIC, "strength": "35 %", "form": "gas"}, "'solid' or 'liquid'"),
        ({"substance": SULFURIC, "strength": "35 %", "package": "0 kg"}, "holds nothing"),
        ({"substance": SULFURIC, "strength": "35 %", "package": "1 gal"}, "imperial gallons"),
        ({"substance": SULFURIC, "strength": "35 %", "package": "big"}, "is not a volume"),
        ({"substance": SULFURIC, "strength": "35 %", "price": "cheap"}, "is not a price"),
        ({"substance": SULFURIC, "strength": "35 %", "price": "12"}, "is not a price"),
        ({"substance": SULFURIC, "strength": "35 %", "chloride": "90 %"}, "is impossible"),
        ({"substance": SULFURIC, "strength": "35 %", "chloride": "5 V"}, "mass concentration"),
        ({"substance": SULFURIC, "strength": "35 %", "copper": "25 %"}, "holds no copper"),
        ({"substance": "copper oxide", "copper": "-3 %"}, "more than nothing"),
        ({"substance": "copper oxide", "copper": "80 g/L"}, "write copper as a percent by mass"),
        ({"substance": "citric acid", "strength": "99 %", "package": "2 L"}, "is a volume"),
        ({"substance": "citric acid", "strength": "99 %", "chloride": "5 mg/L"}, "as mg/kg"),
        ({"substance": "sodium hydroxide", "strength": "50 %"}, "solution or an impure solid"),
        ({"substance": "copper oxide", "strength": "300 g/L"}, "no density of copper oxide"),
        ({"substance": "copper oxide", "strength": "1 N"}, "equivalents"),
        ({"substance": "starch", "strength": "1 mol/L"}, "counts moles, and starch is no single"),
        ({"substance": "copper oxide", "form": "liquid", "density": "1.2 g/mL"}, "no density of"),
        (
            {"substance": "sodium chloride", "strength": "99 %", "density": "2.1 g/mL"},
            "says nothing of how strong a solid",
        ),
        (
            {"substance": "sodium chloride", "strength": "99 %", "form": "liquid"},
            "our table ends at 26 %; is it solid?",
        ),
        (
            {"substance": "citric acid", "strength": "5 mol/L", "form": "solid"},
            "impossible|strength of a solution",
        ),
        ({"grade": "muriatic acid", "substance": SULFURIC}, "keep one of the two entries"),
    ],
)
def test_a_wrong_label_is_one_sentence(label: dict[str, str], words: str) -> None:
    with pytest.raises(BadInput, match=words) as caught:
        read_product(label, where=WHERE)
    assert caught.value.where.startswith(WHERE)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("label", "candidate"),
    [
        ({"substance": "sulfric acid", "strength": "96 %"}, SULFURIC),
        ({"grade": "muriatic acd"}, "muriatic acid"),
        ({"substance": SULFURIC, "stren": "96 %"}, "strength"),
    ],
)
def test_names_not_known_get_close_ones(label: dict[str, str], candidate: str) -> None:
    with pytest.raises(UnknownName) as caught:
        read_product(label, where=WHERE)
    assert candidate in caught.value.candidates


def test_a_whole_label_is_a_whole_product() -> None:
    bottle = read_product(
        {
            "name": "the blue can",
            "substance": "sulphuric acid",
            "strength": "35 %",
            "density": "SG 1.26",
            "package": "5 L",
            "price": "12,50 EUR",
            "chloride": "<= 5 mg/L",
            "note": "bought in spring",
        },
        where=WHERE,
    )
    assert bottle.name == "the blue can"
    assert bottle.form is Form.LIQUID
    assert bottle.density is not None
    assert bottle.package == pytest.approx(5e-3 * bottle.density.best)
    assert (bottle.price, bottle.currency) == (12.5, "EUR")
    assert bottle.cost_per_kg == pytest.approx(12.5 / bottle.package)
    assert bottle.chloride.high == pytest.approx(5e-3 / bottle.density.best)
    assert bottle.notes[0] == "bought in spring"
    assert any("percent by mass" in note for note in bottle.notes)


def test_a_grade_is_the_ground_that_a_label_builds_on() -> None:
    plain, own = (
        grade("tap water"),
        read_product({"grade": "tap water", "chloride": "45 mg/L"}, where=WHERE),
    )
    assert own.contents == plain.contents
    assert own.chloride.best == pytest.approx(45e-3 / 998.2)
    assert plain.chloride.best != own.chloride.best


def test_copper_content_alone_tells_the_strength_of_the_crystals() -> None:
    read = strength(substance="bluestone", copper="25.2 %")
    assert read.best == pytest.approx(0.252 / 0.25451, rel=1e-3)


def test_water_needs_no_strength() -> None:
    assert strength(substance="water") == Interval.exact(1.0)


SOLIDS = [one.name for one in substances() if one.form == "solid" and "sodium hyd" not in one.name]


@settings(deadline=None, max_examples=100)
@given(name=st.sampled_from(SOLIDS), percent=st.integers(81, 100))
def test_a_solid_is_as_strong_as_its_label(name: str, percent: int) -> None:
    bottle = read_product({"substance": name, "strength": f"{percent} %"}, where=WHERE)
    assert bottle.form is Form.SOLID
    assert bottle.contents[0].mass_fraction.best == pytest.approx(percent / 100)
    assert bottle.density is None


@settings(deadline=None, max_examples=100)
@given(percent=st.floats(1.0, 90.0))
def test_percent_and_its_own_density_never_contradict(percent: float) -> None:
    weight = solution_density("sulfuric acid", percent / 100).best
    label = {
        "substance": "sulfuric acid",
        "strength": f"{percent:.2f} %",
        "density": f"{weight / 1000:.3f} g/mL at 20 degC",
    }
    read = read_product(label, where=WHERE).contents[0].mass_fraction
    assert percent / 100 == pytest.approx(read.best, abs=0.003)
