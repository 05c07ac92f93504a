"""SI numbers as text, in a named unit or in the units that a reader is used to.

`shown` writes a value in one unit; `told` chooses the unit by the size of the value and by what the
reader weighs and measures with: metric, or US customary.
"""

import re
from enum import StrEnum
from math import floor, isfinite, log10

from tankside.base.units.factors import in_unit
from tankside.base.units.kinds import Kind


class UnitSystem(StrEnum):
    """Whose units outputs are written in."""

    METRIC = "metric"
    US = "US"


UNIT_SYSTEMS = {"metric": UnitSystem.METRIC, "us": UnitSystem.US}
"""As they are asked for on the command line."""


def shown(value: float, unit: str, digits: int = 3) -> str:
    """A value [SI] as text in `unit`, such as shown(1.2e-4, "um") = "120 µm"."""
    return f"{rounded(in_unit(value, unit), digits)} {sign(unit)}"


def told(value: float, kind: Kind, system: UnitSystem = UnitSystem.METRIC, digits: int = 3) -> str:
    """A value [SI] of a kind as text in the reader's units: told(0.0015, Kind.MASS) = "1.5 g"."""
    return shown(value, unit_told(value, kind, system), digits)


def unit_told(value: float, kind: Kind, system: UnitSystem = UnitSystem.METRIC) -> str:
    """The unit that a value [SI] is told in: the largest of the reader's in which it is at least
    one; nothing at all is told in a middling one."""
    ladder = _LADDERS[system].get(kind) or _LADDERS[UnitSystem.METRIC][kind]
    size = abs(value)
    fitting = [unit for unit in ladder if abs(in_unit(size, unit)) >= 0.9995]
    if size == 0.0:
        return ladder[len(ladder) // 2]
    return ladder[0] if kind is Kind.TEMPERATURE or not fitting else fitting[-1]


def sign(unit: str) -> str:
    """A unit as it is written behind a number: "um" as µm."""
    return _PRETTY.get(unit, unit)


def signed(text: str) -> str:
    """A quantity as typed with its unit as it is written: "9 dm^2" as "9 dm²"."""
    return _SPELLED.sub(lambda found: sign(found[0]), text)


def rounded(number: float, digits: int = 3) -> str:
    """A number with so many significant digits, without an exponent where people write none."""
    if number == 0.0 or not isfinite(number):
        return f"{number:g}"
    exponent = floor(log10(abs(float(f"{number:.{digits - 1}e}"))))
    if not -4 <= exponent < 9:
        return f"{number:.{digits}g}"
    decimals = max(0, digits - 1 - exponent)
    text = f"{round(number, digits - 1 - exponent):.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


_PRETTY = {
    "um": "µm",
    "A/dm^2": "A/dm²",
    "A/ft^2": "A/ft²",
    "mA/cm^2": "mA/cm²",
    "A/m^2": "A/m²",
    "A/mm^2": "A/mm²",
    "A/in^2": "A/in²",
    "delta_degF": "°F",
    "kg/m^3": "kg/m³",
    "lb/ft^3": "lb/ft³",
    "degC": "°C",
    "degF": "°F",
    "m^2": "m²",
    "m2": "m²",
    "dm2": "dm²",
    "dm^2": "dm²",
    "cm^2": "cm²",
    "mm^2": "mm²",
    "in^2": "in²",
    "ft^2": "ft²",
    "m^3": "m³",
    "h": "h",
    "ohm": "Ω",
    "us_gallon": "US gal",
    "us_fluid_ounce": "US fl oz",
    "us_teaspoon": "US tsp",
    "oz/us_gallon": "oz/US gal",
    "percent": "%",
}

_SPELLED = re.compile(rf"(?<=[\d.] )(?:{'|'.join(re.escape(unit) for unit in _PRETTY)})(?![\w^/])")

_LADDERS: dict[UnitSystem, dict[Kind, tuple[str, ...]]] = {
    UnitSystem.METRIC: {
        Kind.LENGTH: ("um", "mm", "cm", "m"),
        Kind.AREA: ("cm^2", "dm^2", "m^2"),
        Kind.VOLUME: ("mL", "L"),
        Kind.MASS: ("mg", "g", "kg"),
        Kind.TIME: ("s", "min", "h"),
        Kind.TEMPERATURE: ("degC",),
        Kind.MASS_CONCENTRATION: ("mg/L", "g/L"),
        Kind.AMOUNT_CONCENTRATION: ("mol/L",),
        Kind.DENSITY: ("g/mL",),
        Kind.FRACTION: ("mg/kg", "percent"),
        Kind.CURRENT: ("mA", "A"),
        Kind.CURRENT_DENSITY: ("A/dm^2",),
        Kind.VOLTAGE: ("mV", "V"),
        Kind.CONDUCTIVITY: ("S/m",),
        Kind.RESISTANCE: ("ohm",),
        Kind.SHEET_RESISTANCE: ("ohm",),
        Kind.CHARGE: ("C", "Ah"),
        Kind.ANGLE: ("deg",),
        Kind.POWER: ("W", "kW"),
        Kind.ENERGY: ("J", "Wh", "kWh"),
        Kind.FLOW: ("L/min",),
    },
    UnitSystem.US: {
        Kind.LENGTH: ("mil", "in", "ft"),
        Kind.AREA: ("in^2", "ft^2"),
        Kind.VOLUME: ("us_teaspoon", "us_fluid_ounce", "us_gallon"),
        Kind.MASS: ("oz", "lb"),
        Kind.TEMPERATURE: ("degF",),
        Kind.MASS_CONCENTRATION: ("mg/L", "oz/us_gallon"),
        Kind.CURRENT_DENSITY: ("A/ft^2",),
    },
}
"""For each kind, the reader's units from small to large."""
