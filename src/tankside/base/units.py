"""The one place where units are read and written: text with a unit to SI, and back.

Inside Tankside every number is in coherent SI (kelvin, metre, ampere per square metre, kilogram per
cubic metre). A person writes "75 g/L" or "0,5 mm"; a bare number is refused, because guessing its
unit has cost people parts. Unit arithmetic is pint's; this module adds the kinds of quantity that
the job knows, the spellings of the trade, and a sentence for each way to get it wrong.
"""

import re
from enum import Enum
from functools import cache
from math import isfinite
from typing import Any

from tankside.base.errors import BadInput


class Kind(Enum):
    """A kind of quantity: its words, its SI unit, and an example of how it is written."""

    LENGTH = ("a length", "m", "40 cm")
    AREA = ("an area", "m^2", "4 dm^2")
    VOLUME = ("a volume", "m^3", "18 L")
    MASS = ("a mass", "kg", "12 g")
    TIME = ("a time", "s", "6 h")
    TEMPERATURE = ("a temperature", "K", "25 degC")
    MASS_CONCENTRATION = ("a mass concentration", "kg/m^3", "75 g/L")
    DENSITY = ("a density", "kg/m^3", "1.16 g/mL")
    CURRENT = ("a current", "A", "3 A")
    CURRENT_DENSITY = ("a current density", "A/m^2", "2 A/dm^2")
    VOLTAGE = ("a voltage", "V", "8 V")
    CONDUCTIVITY = ("a conductivity", "S/m", "50 S/m")
    RESISTANCE = ("a resistance", "ohm", "0.02 ohm")
    SHEET_RESISTANCE = ("a sheet resistance", "ohm", "3 ohm")
    CHARGE = ("a charge", "C", "18 Ah")
    ANGLE = ("an angle", "rad", "30 deg")

    def __init__(self, words: str, si_unit: str, example: str) -> None:
        self.words = words
        self.si_unit = si_unit
        self.example = example


_NUMBER_THEN_UNIT = re.compile(
    r"^\s*([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$"
)

_TRADE_SPELLINGS = (
    (re.compile(r"\basf\b", re.IGNORECASE), "A/ft^2"),
    (re.compile(r"ohms?(?:\s*(?:per|/)\s*(?:sq(?:uare)?|□))", re.IGNORECASE), "ohm"),
    (re.compile(r"Ω(?:\s*/\s*(?:sq(?:uare)?|□))?"), "ohm"),
    (re.compile(r"\bthou\b"), "mil_inch"),
    (re.compile(r"\bmils?\b"), "mil_inch"),
    (re.compile(r"°\s*C\b"), "degC"),
    (re.compile(r"°\s*F\b"), "degF"),
    (re.compile(r"\bAh\b"), "A*h"),
    (re.compile(r"²"), "^2"),
    (re.compile(r"³"), "^3"),
    (re.compile(r"\b([munkcd]?m|in|ft)([23])\b"), r"\1^\2"),
)

_AMBIGUOUS = {
    "gal": ("gallons", "us_gallon", "imperial_gallon"),
    "gallon": ("gallons", "us_gallon", "imperial_gallon"),
    "floz": ("fluid ounces", "us_fluid_ounce", "imperial_fluid_ounce"),
    "fl_oz": ("fluid ounces", "us_fluid_ounce", "imperial_fluid_ounce"),
    "fluid_ounce": ("fluid ounces", "us_fluid_ounce", "imperial_fluid_ounce"),
    "pint": ("pints", "us_pint", "imperial_pint"),
    "quart": ("quarts", "us_quart", "imperial_quart"),
}


def quantity(text: object, kind: Kind, *, where: str) -> float:
    """The SI value of text such as "75 g/L" (`where` names the key for the error's sentence).

    Point and comma both mark decimals. BadInput where the text is no quantity, has no unit, has one
    of another kind, is not finite, or has a unit that differs from country to country.
    """
    if isinstance(text, bool) or not isinstance(text, str):
        raise BadInput(
            f"expected {kind.words} with its unit, in quotes as '{kind.example}', not {text!r}",
            where=where,
        )
    match = _NUMBER_THEN_UNIT.match(text)
    if match is None:
        raise BadInput(
            f"{text!r} is not {kind.words}; write for example '{kind.example}'", where=where
        )
    number = float(match.group(1).replace(",", "."))
    unit = match.group(2)
    if not unit:
        raise BadInput(f"{text!r} has no unit; write for example '{kind.example}'", where=where)
    return _converted(number, unit, kind, text, where)


def _converted(number: float, unit: str, kind: Kind, text: str, where: str) -> float:
    for word in re.findall(r"[A-Za-z_]+", unit):
        if word in _AMBIGUOUS:
            measures, american, imperial = _AMBIGUOUS[word]
            raise BadInput(
                f"{text!r} is ambiguous, as US and imperial {measures} differ; "
                f"write {american!r} or {imperial!r}",
                where=where,
            )
    registry = _registry()
    spelled = unit
    for pattern, replacement in _TRADE_SPELLINGS:
        spelled = pattern.sub(replacement, spelled)
    try:
        value = float(
            registry.Quantity(number, registry.parse_units(spelled)).to(kind.si_unit).magnitude
        )
    except Exception as error:  # pint raises many kinds, from tokenizer errors to its own
        raise BadInput(
            f"{text!r} is not {kind.words}; write for example '{kind.example}'", where=where
        ) from error
    if not isfinite(value):
        raise BadInput(f"{text!r} is not a finite number", where=where)
    return value


def shown(value: float, unit: str, digits: int = 3) -> str:
    """A value [SI] as text in `unit`, such as shown(1.2e-4, "um") = "120 µm"."""
    return f"{in_unit(value, unit):.{digits}g} {_PRETTY.get(unit, unit)}"


_PRETTY = {
    "um": "µm",
    "A/dm^2": "A/dm²",
    "degC": "°C",
    "dm^2": "dm²",
    "cm^2": "cm²",
    "h": "h",
    "ohm": "Ω",
}

_FACTORS = {
    "m": 1.0, "cm": 1e2, "mm": 1e3, "um": 1e6,
    "m^2": 1.0, "dm^2": 1e2, "cm^2": 1e4,
    "m^3": 1.0, "L": 1e3, "mL": 1e6,
    "kg": 1.0, "g": 1e3,
    "s": 1.0, "min": 1 / 60, "h": 1 / 3600,
    "kg/m^3": 1.0, "g/L": 1.0, "mg/L": 1e3,
    "A": 1.0, "mA": 1e3,
    "A/m^2": 1.0, "A/dm^2": 1e-2, "mA/cm^2": 1e-1,
    "V": 1.0, "mV": 1e3,
    "S/m": 1.0, "ohm": 1.0, "C": 1.0, "Ah": 1 / 3600,
    "W": 1.0, "J": 1.0, "Wh": 1 / 3600,
}  # fmt: skip


def in_unit(value: float, unit: str) -> float:
    """A value [SI] as a number in `unit`, one of those that outputs use."""
    if unit == "degC":
        return value - 273.15
    return value * _FACTORS[unit]


@cache
def _registry() -> Any:
    import pint

    registry: Any = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    registry.define("mil_inch = 0.001 * inch")
    for measure in ("gallon", "quart", "pint", "fluid_ounce"):
        registry.define(f"us_{measure} = {measure}")
    return registry
