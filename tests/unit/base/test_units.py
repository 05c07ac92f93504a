"""What a person writes becomes SI, or becomes a sentence that says why not."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.errors import BadInput
from tankside.base.units import Kind, in_unit, quantity, shown, signed


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("40 cm", Kind.LENGTH, 0.40),
        ("0,5 mm", Kind.LENGTH, 5e-4),
        (".5 mm", Kind.LENGTH, 5e-4),
        ("40cm", Kind.LENGTH, 0.40),
        ("1e-3 m", Kind.LENGTH, 1e-3),
        ("2 thou", Kind.LENGTH, 50.8e-6),
        ("1 mil", Kind.LENGTH, 25.4e-6),
        ("90 um", Kind.LENGTH, 9e-5),
        ("90 µm", Kind.LENGTH, 9e-5),
        ("90 μm", Kind.LENGTH, 9e-5),
        ("1 in", Kind.LENGTH, 0.0254),
        ("4 dm^2", Kind.AREA, 0.04),
        ("4 dm2", Kind.AREA, 0.04),
        ("4 dm²", Kind.AREA, 0.04),
        ("18 L", Kind.VOLUME, 0.018),
        ("1 us_gallon", Kind.VOLUME, 3.785411784e-3),
        ("1 imperial_gallon", Kind.VOLUME, 4.54609e-3),
        ("12 g", Kind.MASS, 0.012),
        ("6 h", Kind.TIME, 21600.0),
        ("25 degC", Kind.TEMPERATURE, 298.15),
        ("25 °C", Kind.TEMPERATURE, 298.15),
        ("25°C", Kind.TEMPERATURE, 298.15),
        ("77 degF", Kind.TEMPERATURE, 298.15),
        ("298.15 K", Kind.TEMPERATURE, 298.15),
        ("-5 degC", Kind.TEMPERATURE, 268.15),
        ("\u22125 degC", Kind.TEMPERATURE, 268.15),
        ("75 g/L", Kind.MASS_CONCENTRATION, 75.0),
        ("70 mg/L", Kind.MASS_CONCENTRATION, 0.070),
        ("1.16 g/mL", Kind.DENSITY, 1160.0),
        ("3 A", Kind.CURRENT, 3.0),
        ("2 A/dm^2", Kind.CURRENT_DENSITY, 200.0),
        ("2 A/dm²", Kind.CURRENT_DENSITY, 200.0),
        ("2 A/dm2", Kind.CURRENT_DENSITY, 200.0),
        ("20 mA/cm^2", Kind.CURRENT_DENSITY, 200.0),
        ("20 ASF", Kind.CURRENT_DENSITY, 20 / 0.3048**2),
        ("20 A/ft2", Kind.CURRENT_DENSITY, 20 / 0.3048**2),
        ("8 V", Kind.VOLTAGE, 8.0),
        ("50 S/m", Kind.CONDUCTIVITY, 50.0),
        ("500 mS/cm", Kind.CONDUCTIVITY, 50.0),
        ("0.02 ohm", Kind.RESISTANCE, 0.02),
        ("0.02 Ω", Kind.RESISTANCE, 0.02),
        ("3 ohm/sq", Kind.SHEET_RESISTANCE, 3.0),
        ("3 ohms per square", Kind.SHEET_RESISTANCE, 3.0),
        ("3 Ω/□", Kind.SHEET_RESISTANCE, 3.0),
        ("18 Ah", Kind.CHARGE, 64800.0),
        ("18 A*h", Kind.CHARGE, 64800.0),
        ("30 deg", Kind.ANGLE, math.pi / 6),
        ("  75   g/L  ", Kind.MASS_CONCENTRATION, 75.0),
    ],
)
def test_what_a_bench_writes_is_read(text: str, kind: Kind, si: float) -> None:
    assert quantity(text, kind, where="key") == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize("kind", list(Kind))
def test_every_kind_reads_its_own_example(kind: Kind) -> None:
    assert math.isfinite(quantity(kind.example, kind, where="key"))


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("40", Kind.LENGTH, "has no unit"),
        (40, Kind.LENGTH, "with its unit, in quotes"),
        (True, Kind.LENGTH, "with its unit, in quotes"),
        (None, Kind.LENGTH, "with its unit, in quotes"),
        ("forty cm", Kind.LENGTH, "is not a length"),
        ("", Kind.LENGTH, "is not a length"),
        ("40 L", Kind.LENGTH, "is not a length"),
        ("40 parsnips", Kind.LENGTH, "is not a length"),
        ("4 m m", Kind.LENGTH, "is not a length"),
        ("nan m", Kind.LENGTH, "is not a length"),
        ("inf m", Kind.LENGTH, "is not a length"),
        ("1e400 m", Kind.LENGTH, "is not a finite number"),
        ("1 gal", Kind.VOLUME, "US and imperial gallons differ"),
        ("10 oz/gal", Kind.MASS_CONCENTRATION, "US and imperial gallons differ"),
        ("2 A", Kind.CURRENT_DENSITY, "is not a current density"),
        ("5 %", Kind.MASS_CONCENTRATION, "is not a mass concentration"),
        ("5 ppm", Kind.MASS_CONCENTRATION, "is not a mass concentration"),
        ("3 m; import os", Kind.LENGTH, "is not a length"),
        ("2 A/dm^2 + 1 A/dm^2", Kind.CURRENT_DENSITY, "is not a current density"),
    ],
)
def test_what_cannot_be_read_is_a_sentence_with_an_example(
    text: object, kind: Kind, words: str
) -> None:
    with pytest.raises(BadInput, match=words) as caught:
        quantity(text, kind, where="[bath] key")
    assert caught.value.where == "[bath] key"


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (1.2e-4, "um", "120 µm"),
        (200.0, "A/dm^2", "2 A/dm²"),
        (298.15, "degC", "25 °C"),
        (3600.0, "Ah", "1 Ah"),
        (0.07, "mg/L", "70 mg/L"),
    ],
)
def test_what_is_shown_reads_well(value: float, unit: str, text: str) -> None:
    assert shown(value, unit) == text


@pytest.mark.parametrize(
    ("unit", "kind"),
    [
        ("mm", Kind.LENGTH),
        ("um", Kind.LENGTH),
        ("cm", Kind.LENGTH),
        ("dm^2", Kind.AREA),
        ("cm^2", Kind.AREA),
        ("L", Kind.VOLUME),
        ("mL", Kind.VOLUME),
        ("g", Kind.MASS),
        ("min", Kind.TIME),
        ("h", Kind.TIME),
        ("degC", Kind.TEMPERATURE),
        ("g/L", Kind.MASS_CONCENTRATION),
        ("mg/L", Kind.MASS_CONCENTRATION),
        ("mA", Kind.CURRENT),
        ("A/dm^2", Kind.CURRENT_DENSITY),
        ("mA/cm^2", Kind.CURRENT_DENSITY),
        ("mV", Kind.VOLTAGE),
        ("Ah", Kind.CHARGE),
    ],
)
@settings(deadline=None)  # the first example builds the unit registry
@given(value=st.floats(1e-3, 1e5))
def test_out_and_in_again_is_the_same_number(unit: str, kind: Kind, value: float) -> None:
    """The table of factors for output agrees with the unit library that reads."""
    written = f"{in_unit(value, unit)!r} {unit}"
    assert quantity(written, kind, where="key") == pytest.approx(value, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("typed", "written"),
    [("120 um", "120 µm"), ("9 dm^2", "9 dm²"), ("2.5 A/dm^2", "2.5 A/dm²"), ("25 degC", "25 °C"),
     ("18 ± 0.3 L", "18 ± 0.3 L"), ("23 umbrellas", "23 umbrellas"), ("two um", "two um")],
)  # fmt: skip
def test_a_unit_as_typed_is_shown_as_it_is_written(typed: str, written: str) -> None:
    assert signed(typed) == written
