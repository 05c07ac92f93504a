"""Kitchen and trade units: what differs from country to country is asked, the rest is exact."""

import subprocess
import sys

import pytest
import scipy.constants as constants
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units import (
    Kind,
    UnitSystem,
    bath_concentration,
    in_unit,
    quantity,
    reading,
    rounded,
    shown,
    spread,
    told,
)
from tankside.base.units.factors import BY_KIND, TEMPERATURES
from tankside.base.units.spellings import spelled

US_GALLON = constants.gallon
IMPERIAL_GALLON = constants.gallon_imp


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("1 us_gallon", Kind.VOLUME, US_GALLON),
        ("1 US gal", Kind.VOLUME, US_GALLON),
        ("1 U.S. gallon", Kind.VOLUME, US_GALLON),
        ("2 american gallons", Kind.VOLUME, 2 * US_GALLON),
        ("1 us_gal", Kind.VOLUME, US_GALLON),
        ("1 imp gal", Kind.VOLUME, IMPERIAL_GALLON),
        ("1 UK gallon", Kind.VOLUME, IMPERIAL_GALLON),
        ("1 imperial_quart", Kind.VOLUME, IMPERIAL_GALLON / 4),
        ("3 imperial pints", Kind.VOLUME, 3 * IMPERIAL_GALLON / 8),
        ("1 US qt", Kind.VOLUME, US_GALLON / 4),
        ("1 us pint", Kind.VOLUME, US_GALLON / 8),
        ("1 US cup", Kind.VOLUME, US_GALLON / 16),
        ("1 metric cup", Kind.VOLUME, 2.5e-4),
        ("8 US fl oz", Kind.VOLUME, US_GALLON / 16),
        ("8 us_fluid_ounces", Kind.VOLUME, US_GALLON / 16),
        ("1 US fl. oz.", Kind.VOLUME, constants.fluid_ounce_US),
        ("1 imperial fluid ounce", Kind.VOLUME, constants.fluid_ounce_imp),
        ("1 US tbsp", Kind.VOLUME, US_GALLON / 256),
        ("1 us_teaspoon", Kind.VOLUME, US_GALLON / 768),
        ("1 metric tablespoon", Kind.VOLUME, 15e-6),
        ("1 metric tsp", Kind.VOLUME, 5e-6),
        ("5 cc", Kind.VOLUME, 5e-6),
        ("5 ml", Kind.VOLUME, 5e-6),
        ("1 oz", Kind.MASS, constants.oz),
        ("2 lbs", Kind.MASS, 2 * constants.lb),
        ("2 pounds", Kind.MASS, 2 * constants.lb),
        ("30 oz/US gal", Kind.MASS_CONCENTRATION, 30 * constants.oz / US_GALLON),
        ("30 oz per imperial gallon", Kind.MASS_CONCENTRATION, 30 * constants.oz / IMPERIAL_GALLON),
        ("20 asf", Kind.CURRENT_DENSITY, 20 / constants.foot**2),
        ("20 A/ft2", Kind.CURRENT_DENSITY, 20 / constants.foot**2),
        ("2 ASD", Kind.CURRENT_DENSITY, 200.0),
        ("1 thou", Kind.LENGTH, constants.mil),
        ("0.5 mil", Kind.LENGTH, 0.5 * constants.mil),
        ("75 deg F", Kind.TEMPERATURE, 297.0388888888889),
        ("75 °F", Kind.TEMPERATURE, 297.0388888888889),
        ("75 degrees F", Kind.TEMPERATURE, 297.0388888888889),
        ("96 %", Kind.FRACTION, 0.96),
        ("50 mg/kg", Kind.FRACTION, 5e-5),
        ("50 ppm", Kind.FRACTION, 5e-5),
        ("0.1 mol/L", Kind.AMOUNT_CONCENTRATION, 100.0),
        ("0,1 M", Kind.AMOUNT_CONCENTRATION, 100.0),
        ("300 W", Kind.POWER, 300.0),
        ("20 L/min", Kind.FLOW, 20e-3 / 60),
        ("2 hrs", Kind.TIME, 7200.0),
        ("2 sq dm", Kind.AREA, 0.02),
        ("2 sq. ft", Kind.AREA, 2 * constants.foot**2),
        ("3 A/sq ft", Kind.CURRENT_DENSITY, 3 / constants.foot**2),
        ('12"', Kind.LENGTH, 12 * constants.inch),
        ("5 gm", Kind.MASS, 5e-3),
        ("5 mls", Kind.VOLUME, 5e-6),
        ("5 ltr", Kind.VOLUME, 5e-3),
        ("0,125 g", Kind.MASS, 1.25e-4),
        ("1,25 g", Kind.MASS, 1.25e-3),
        ("1.250 g", Kind.MASS, 1.25e-3),
    ],
)
def test_what_a_kitchen_writes_is_read(text: str, kind: Kind, si: float) -> None:
    assert quantity(text, kind, where="key") == pytest.approx(si, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("1 gal", Kind.VOLUME, "US and imperial gallons differ; write 'us_gallon' or 'imperial_ga"),
        ("1 gallon", Kind.VOLUME, "US and imperial gallons differ"),
        ("2 gallons", Kind.VOLUME, "US and imperial gallons differ"),
        ("1 qt", Kind.VOLUME, "US and imperial quarts differ"),
        ("1 pt", Kind.VOLUME, "US and imperial pints differ"),
        ("2 pints", Kind.VOLUME, "US and imperial pints differ"),
        ("8 fl oz", Kind.VOLUME, "US and imperial fluid ounces differ"),
        ("8 fl.oz.", Kind.VOLUME, "US and imperial fluid ounces differ"),
        ("8 fluid ounces", Kind.VOLUME, "US and imperial fluid ounces differ"),
        ("1 cup", Kind.VOLUME, "US, imperial and metric cups differ; write 'us_cup', 'imperial_"),
        ("2 tbsp", Kind.VOLUME, "US and metric tablespoons differ"),
        ("1 tsp", Kind.VOLUME, "US and metric teaspoons differ"),
        ("1 imperial tsp", Kind.VOLUME, "US and metric teaspoons differ"),
        ("3 metric gallons", Kind.VOLUME, "US and imperial gallons differ"),
        ("30 oz/gal", Kind.MASS_CONCENTRATION, "US and imperial gallons differ"),
        ("3 oz", Kind.VOLUME, "an ounce is a mass; for volume write"),
        ("5 gr", Kind.MASS, "for grams and for grains"),
        ("5 percent", Kind.ANGLE, "is not an angle"),
        ("5 deg", Kind.FRACTION, "is not a fraction"),
        ("5 L", Kind.MASS, "is not a mass"),
        ("5 gr.", Kind.MASS, "for grams and for grains"),
        ("25 C", Kind.TEMPERATURE, "write 'degC'"),
        ("77 F", Kind.TEMPERATURE, "write 'degF'"),
        ("5 ppm", Kind.MASS_CONCENTRATION, "by mass or by volume"),
        ("5 %", Kind.MASS_CONCENTRATION, "by mass or by volume"),
        ("1,250 g", Kind.MASS, "write '1.250 g' or '1250 g'"),
        ("12,500 g", Kind.MASS, "decimals or thousands"),
    ],
)
def test_what_means_two_things_is_asked(text: str, kind: Kind, words: str) -> None:
    with pytest.raises(BadInput, match=words.replace(".", r"\.")) as caught:
        quantity(text, kind, where="[bath] key")
    assert caught.value.where == "[bath] key"


@pytest.mark.parametrize(
    ("kind", "unit"), [(kind, unit) for kind, units in BY_KIND.items() for unit in units]
)
def test_everyday_units_agree_with_the_unit_library(kind: Kind, unit: str) -> None:
    registry = reading._registry()
    known = spelled(unit, unit, where="key") if unit != "1" else ""
    theirs = registry.Quantity(1.0, registry.parse_units(known)).to(kind.si_unit).magnitude
    assert 1.0 / BY_KIND[kind][unit] == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize("unit", list(TEMPERATURES))
@pytest.mark.parametrize("t", [-40.0, 0.0, 25.0, 451.0])
def test_temperatures_agree_with_an_independent_library(unit: str, t: float) -> None:
    theirs = constants.convert_temperature(t, {"K": "K", "degC": "C", "degF": "F"}[unit], "K")
    assert quantity(f"{t} {unit}", Kind.TEMPERATURE, where="key") == pytest.approx(theirs)


def test_everyday_units_do_not_wake_the_unit_library() -> None:
    program = (
        "import sys\n"
        "from tankside.base.units import Kind, quantity\n"
        "quantity('75 g/L', Kind.MASS_CONCENTRATION, where='')\n"
        "quantity('25 degC', Kind.TEMPERATURE, where='')\n"
        "quantity('2 A/dm²', Kind.CURRENT_DENSITY, where='')\n"
        "print('pint' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "False"


def test_the_unit_library_is_taught_without_complaint(caplog: pytest.LogCaptureFixture) -> None:
    reading._registry.cache_clear()
    quantity("1 us_cup", Kind.VOLUME, where="key")
    assert caplog.records == []


COPPER_SULFATE = 0.249677


@pytest.mark.parametrize(
    ("text", "si"),
    [
        ("75 g/L", 75.0),
        ("60 ppm", 0.060),
        ("60 mg/L", 0.060),
        ("0.8 mol/L", 0.8 * 249.677),
        ("0.8 M", 0.8 * 249.677),
        ("800 mmol/L", 0.8 * 249.677),
        ("30 oz/us_gallon", 224.674551),
    ],
)
def test_what_is_dissolved_in_a_bath(text: str, si: float) -> None:
    read = bath_concentration(text, where="key", molar_mass=COPPER_SULFATE)
    assert read == pytest.approx(si, rel=1e-7)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("7 %", "grams per 100 g or grams per 100 mL"),
        ("0.8 mol/L", "not said of which substance"),
        ("0.8 M", "not said of which substance"),
        ("30 oz/gal", "US and imperial gallons differ"),
        ("75", "has no unit"),
        (75, "with its unit, in quotes"),
        ("60 ppb of salt", "is not a mass concentration"),
    ],
)
def test_a_concentration_that_is_not_one_is_a_sentence(text: object, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        bath_concentration(text, where="key")


@pytest.mark.parametrize(
    ("text", "value", "unit", "stated"),
    [
        ("96 %", (95.5, 96.0, 96.5), "%", False),
        ("31.45 %", (31.445, 31.45, 31.455), "%", False),
        ("31,45 %", (31.445, 31.45, 31.455), "%", False),
        ("about 35 %", (34.5, 35.0, 35.5), "%", False),
        ("1e-3 mol/L", (5e-4, 1e-3, 1.5e-3), "mol/L", False),
        ("30-33 %", (30.0, 31.5, 33.0), "%", True),
        ("30 – 33 % w/w", (30.0, 31.5, 33.0), "% w/w", True),
        ("30 % to 33 % w/w", (30.0, 31.5, 33.0), "% w/w", True),
        ("96 ± 0,5 %", (95.5, 96.0, 96.5), "%", True),
        ("96 % +/- 1 %", (95.0, 96.0, 97.0), "%", True),
        (">= 99 %", (99.0, 99.0, 99.0), "%", True),
        ("max. 5 mg/kg", (0.0, 2.5, 5.0), "mg/kg", True),
    ],
)
def test_a_number_with_its_spread(
    text: str, value: tuple[float, float, float], unit: str, stated: bool
) -> None:
    read = spread(text, where="key")
    got = (read.value.low, read.value.best, read.value.high)
    assert got == pytest.approx(value)
    assert (read.unit, read.stated) == (unit, stated)


def test_one_sided_limits_say_so() -> None:
    for text in ("at least 99 %", "99 % min", "99% minimum", "99+ %", "99 %+", ">99 %"):
        assert spread(text, where="key").least, text
        assert spread(text, where="key").unit == "%", text
    for text in ("5 mg/kg max.", "max 5 mg/kg", "5 mg/kg maximum"):
        assert spread(text, where="key").most, text
        assert spread(text, where="key").unit == "mg/kg", text
    assert spread("< 5 %", where="key").most
    assert spread("<= 5 %", where="key").value == Interval(0.0, 2.5, 5.0)


@pytest.mark.parametrize(
    ("text", "words"),
    [("33-30 %", "runs backwards"), ("strong", "begin with a number"), ("", "begin with a num")],
)
def test_a_spread_that_is_none(text: str, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        spread(text, where="key")


@pytest.mark.parametrize(
    ("value", "kind", "metric", "american"),
    [
        (0.0015, Kind.MASS, "1.5 g", "0.0529 oz"),
        (0.0, Kind.MASS, "0 g", "0 lb"),
        (1.2, Kind.MASS, "1.2 kg", "2.65 lb"),
        (1234.5, Kind.MASS, "1230 kg", "2720 lb"),
        (0.9999, Kind.MASS, "1 kg", "2.2 lb"),
        (0.01, Kind.VOLUME, "10 L", "2.64 US gal"),
        (3e-5, Kind.VOLUME, "30 mL", "1.01 US fl oz"),
        (5e-7, Kind.VOLUME, "0.5 mL", "0.101 US tsp"),
        (1.2e-4, Kind.LENGTH, "120 µm", "4.72 mil"),
        (0.4, Kind.LENGTH, "40 cm", "1.31 ft"),
        (298.15, Kind.TEMPERATURE, "25 °C", "77 °F"),
        (200.0, Kind.CURRENT_DENSITY, "2 A/dm²", "18.6 A/ft²"),
        (0.07, Kind.MASS_CONCENTRATION, "70 mg/L", "70 mg/L"),
        (75.0, Kind.MASS_CONCENTRATION, "75 g/L", "10 oz/US gal"),
        (12600.0, Kind.TIME, "3.5 h", "3.5 h"),
        (0.96, Kind.FRACTION, "96 %", "96 %"),
        (5e-5, Kind.FRACTION, "50 mg/kg", "50 mg/kg"),
    ],
)
def test_what_is_told_is_in_the_readers_units(
    value: float, kind: Kind, metric: str, american: str
) -> None:
    assert told(value, kind) == metric
    assert told(value, kind, UnitSystem.US) == american


@pytest.mark.parametrize(
    ("number", "digits", "text"),
    [
        (1000.0, 3, "1000"),
        (123456.0, 3, "123000"),
        (0.00012345, 3, "0.000123"),
        (99.96, 3, "100"),
        (1.0, 3, "1"),
        (-2.345, 2, "-2.3"),
        (0.0, 3, "0"),
        (1.2e-9, 3, "1.2e-09"),
        (float("nan"), 3, "nan"),
    ],
)
def test_numbers_are_written_as_people_write_them(number: float, digits: int, text: str) -> None:
    assert rounded(number, digits) == text


def test_a_thousand_grams_is_not_written_with_an_exponent() -> None:
    assert shown(1.0, "g") == "1000 g"


@settings(deadline=None)
@given(number=st.floats(-1e8, 1e8), digits=st.integers(1, 8))
def test_rounding_keeps_the_digits_that_it_promises(number: float, digits: int) -> None:
    assert float(rounded(number, digits)) == pytest.approx(number, rel=0.51 * 10 ** (1 - digits))


ROUND_TRIPS = [
    ("mil", Kind.LENGTH),
    ("in", Kind.LENGTH),
    ("ft", Kind.LENGTH),
    ("m", Kind.LENGTH),
    ("in^2", Kind.AREA),
    ("ft^2", Kind.AREA),
    ("us_gallon", Kind.VOLUME),
    ("us_fluid_ounce", Kind.VOLUME),
    ("us_teaspoon", Kind.VOLUME),
    ("uL", Kind.VOLUME),
    ("kg", Kind.MASS),
    ("mg", Kind.MASS),
    ("lb", Kind.MASS),
    ("oz", Kind.MASS),
    ("s", Kind.TIME),
    ("degF", Kind.TEMPERATURE),
    ("oz/us_gallon", Kind.MASS_CONCENTRATION),
    ("lb/us_gallon", Kind.DENSITY),
    ("g/mL", Kind.DENSITY),
    ("mol/L", Kind.AMOUNT_CONCENTRATION),
    ("percent", Kind.FRACTION),
    ("mg/kg", Kind.FRACTION),
    ("A/ft^2", Kind.CURRENT_DENSITY),
    ("A/m^2", Kind.CURRENT_DENSITY),
    ("mS/cm", Kind.CONDUCTIVITY),
    ("C", Kind.CHARGE),
    ("deg", Kind.ANGLE),
    ("kW", Kind.POWER),
    ("L/min", Kind.FLOW),
]


@pytest.mark.parametrize(("unit", "kind"), ROUND_TRIPS)
@settings(deadline=None, max_examples=25)
@given(value=st.floats(1e-3, 1e5))
def test_out_and_in_again_is_the_same_number(unit: str, kind: Kind, value: float) -> None:
    written = f"{in_unit(value, unit)!r} {unit}"
    assert quantity(written, kind, where="key") == pytest.approx(value, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("kind", [kind for kind in Kind if kind is not Kind.SHEET_RESISTANCE])
@pytest.mark.parametrize("system", list(UnitSystem))
@settings(deadline=None, max_examples=25)
@given(value=st.floats(1e-3, 1e4))
def test_what_is_told_can_be_read_again(kind: Kind, system: UnitSystem, value: float) -> None:
    """Sheets are written in units that the tool itself takes back."""
    back = quantity(told(value, kind, system, digits=9), kind, where="key")
    assert back == pytest.approx(value, rel=1e-6, abs=1e-6)


def test_minutes_are_not_at_least() -> None:
    five = spread("5 min", where="x")
    assert (five.unit, five.least) == ("min", False)
    assert spread("98 % min", where="x").least
    assert spread("98 min %", where="x").unit != "min"
