"""What hydrometers and labels say of weight becomes a density, or a question."""

import CoolProp.CoolProp as coolprop
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tankside.base.errors import BadInput
from tankside.substances.hydrometer import (
    BAUME_MODULUS_RATIONAL,
    baume_of_gravity,
    gravity_of_baume,
    read_density,
    water_density,
)


@pytest.mark.parametrize(
    ("text", "density", "half_width", "temperature"),
    [
        ("1.84 g/mL", 1840.0, 5.0, None),
        ("1,84 g/mL", 1840.0, 5.0, None),
        ("1.840 g/mL at 20 degC", 1840.0, 0.5, 293.15),
        ("1840 kg/m^3", 1840.0, 0.5, None),
        ("15.30 lb/us_gallon", 1833.34, 0.6, None),
        ("SG 1.265", 1263.735, 0.5, None),
        ("SG 1.255-1.275", 1263.735, 10.0, None),
        ("SG 1.255 to 1.275 at 20 degC", 1263.735, 10.0, 293.15),
        ("1.82-1.84 g/mL", 1830.0, 10.0, None),
        ("1.83 ± 0.01 g/mL at 20 degC", 1830.0, 10.0, 293.15),
        ("sp. gr. 1.265", 1263.735, 0.5, None),
        ("specific gravity: 1.265", 1263.735, 0.5, None),
        ("1.265 sp gr", 1263.735, 0.5, None),
        ("SG 1.265 at 80 degF", 1263.735, 0.5, 299.81667),
        ("SG 1.265 @ 26.7 °C", 1263.735, 0.5, 299.85),
        ("SG 1.18 20/20 degC", 1177.876, 5.0, 293.15),
        ("SG 1.18 20/4 degC", 1179.96, 5.0, 293.15),
        ("SG 1.18 (60/60 °F)", 1178.82, 5.0, 288.70556),
        ("66 degBe US", 1833.61, 0.0, 288.70556),
        ("66 °Bé (US)", 1833.61, 0.0, 288.70556),
        ("66 Baumé american", 1833.61, 0.0, 288.70556),
        ("66.0 Be 145", 1833.61, 1.2, 288.70556),
        ("66 degBe rational", 1841.25, 0.0, 288.15),
    ],
)
def test_what_is_written_of_weight_is_read(
    text: str, density: float, half_width: float, temperature: float | None
) -> None:
    read = read_density(text, where="density")
    assert read.density.best == pytest.approx(density, abs=0.2)
    assert 0.5 * (read.density.high - read.density.low) == pytest.approx(half_width, abs=0.1)
    assert (read.temperature is None) is (temperature is None)
    if temperature is not None:
        assert read.temperature == pytest.approx(temperature, abs=1e-3)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("66 degBe", "1.8354 on the US scale and 1.8429 on the rational one"),
        ("1.84", "has no unit"),
        ("SG 18.4", "specific gravity lies between"),
        ("SG 1.2 in summer", "write a specific gravity as"),
        ("SG 1.2 20/90 degC", "water of 0 to 60 °C"),
        ("0 g/mL", "more than nothing"),
        ("-3 Be US", "no reading of the Baumé scale"),
        ("140 Be US", "no reading of the Baumé scale"),
        ("15 lb/gal", "US and imperial gallons differ"),
        ("heavy", "is not a density"),
        ("", "is not a density"),
        ("1.84 g/L of", "is not a density"),
    ],
)
def test_what_is_no_weight_is_a_sentence(text: str, words: str) -> None:
    with pytest.raises(BadInput, match=words) as caught:
        read_density(text, where="[shelf.acid] density")
    assert caught.value.where == "[shelf.acid] density"


@pytest.mark.parametrize("degrees", [-1.0, 140.0])
def test_degrees_off_the_scale_are_refused(degrees: float) -> None:
    with pytest.raises(BadInput, match="no reading of the scale"):
        gravity_of_baume(degrees)


def test_the_scale_for_heavy_liquids_ends_at_water() -> None:
    assert baume_of_gravity(1.0) == 0.0
    with pytest.raises(BadInput, match="lighter than water"):
        baume_of_gravity(0.99)


@settings(deadline=None)
@given(degrees=st.floats(0.0, 70.0), modulus=st.sampled_from([145.0, BAUME_MODULUS_RATIONAL]))
def test_degrees_and_gravity_undo_each_other(degrees: float, modulus: float) -> None:
    back = baume_of_gravity(gravity_of_baume(degrees, modulus), modulus)
    assert back == pytest.approx(degrees, abs=1e-9)


@pytest.mark.parametrize("t", [0.5, 4.0, 15.56, 20.0, 25.0, 37.0, 60.0])
def test_water_agrees_with_the_international_formulation(t: float) -> None:
    """IAPWS-95 as CoolProp evaluates it, at one atmosphere."""
    theirs = coolprop.PropsSI("D", "T", t + 273.15, "P", 101325, "Water")
    assert water_density(t + 273.15) == pytest.approx(theirs, rel=1.5e-4)
