"""Prose that states quantities, told again in US units and with a decimal comma."""

import pytest

from tankside.base.units import Kind, UnitSystem, quantity, retold
from tankside.base.units.counterparts import COUNTERPARTS
from tankside.base.units.factors import DIFFERENCES, in_unit


@pytest.mark.parametrize(
    ("metric", "us"),
    [
        ("keep it under 40 °C", "keep it under 104 °F"),
        ("PLA softens at 55 to 60 °C", "PLA softens at 131 to 140 °F"),
        ("warms by 5 K", "warms by 9 °F"),
        ("a place at (25.4, 0, 50.8) mm", "a place at (1, 0, 2) in"),
        ("10.0 x 20.0 cm", "3.94 x 7.87 in"),
        ("120 µm of copper", "4.72 mil of copper"),
        ("1,000 g", "35.27 oz"),
        ("2.0 A/dm² at 3 V", "19 A/ft² at 3 V"),
        ("75 g/L", "10 oz/US gal"),
        ("70 mg/L of chloride", "70 mg/L of chloride"),
        ("18 ± 0.3 L", "4.8 ± 0.079 US gal"),
        ("22 ± 1 °C", "72 ± 2 °F"),
        ("in 5 minutes", "in 5 minutes"),
        ("'75 g/L' is no length", "'75 g/L' is no length"),
        ("the anode's 50 mm and the part's", "the anode's 2 in and the part's"),
        ("part 5 mm.stl", "part 5 mm.stl"),
    ],
)
def test_us_units(metric: str, us: str) -> None:
    assert retold(metric, UnitSystem.US) == us
    assert retold(metric, UnitSystem.METRIC) == metric


@pytest.mark.parametrize(
    ("point", "comma"),
    [
        ("0.5 mm", "0,5 mm"),
        ("1,200 triangles", "1\N{NARROW NO-BREAK SPACE}200 triangles"),
        ("0,125 was typed", "0,125 was typed"),
        ("'1.5 mm'", "'1.5 mm'"),
    ],
)
def test_decimal_comma(point: str, comma: str) -> None:
    assert retold(point, UnitSystem.METRIC, comma=True) == comma


def test_counterparts_measure_the_same() -> None:
    # held against the unit library, which stands on the international definitions
    for metric, us in COUNTERPARTS.items():
        if us in DIFFERENCES:
            continue
        kind = next(one for one in Kind if _takes(metric, one))
        value = quantity(f"3 {metric}", kind, where="")
        assert quantity(f"{in_unit(value, us)!r} {us}", kind, where="") == pytest.approx(value)


def _takes(unit: str, kind: Kind) -> bool:
    try:
        quantity(f"3 {unit}", kind, where="")
    except ValueError:
        return False
    return True
