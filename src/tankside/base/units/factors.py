"""The units that sheets and job files use every day, by kind: how many of each make one SI unit.

Outputs are written with these, and texts in these are read without waking the unit library, which
takes longer to load than most answers take to compute. Tests hold each against that library.
"""

from tankside.base.units.kinds import Kind

POUND_KG = 0.45359237
"""Avoirdupois pound [kg], exact."""

FOOT_M = 0.3048
"""International foot [m], exact."""

US_GALLON_M3 = 3.785411784e-3
"""Of 231 cubic inches [m³], exact."""

_CONCENTRATIONS = {
    "kg/m^3": 1.0, "g/L": 1.0, "mg/L": 1e3, "g/mL": 1e-3, "kg/L": 1e-3, "g/cm^3": 1e-3,
    "oz/us_gallon": 16 * US_GALLON_M3 / POUND_KG, "lb/us_gallon": US_GALLON_M3 / POUND_KG,
    "lb/ft^3": FOOT_M**3 / POUND_KG,
}  # fmt: skip

BY_KIND: dict[Kind, dict[str, float]] = {
    Kind.LENGTH: {
        "m": 1.0, "dm": 10.0, "cm": 1e2, "mm": 1e3, "um": 1e6, "µm": 1e6, "μm": 1e6,
        "mil": 1e3 / 0.0254, "mil_inch": 1e3 / 0.0254, "in": 1 / 0.0254, "ft": 1 / FOOT_M,
    },
    Kind.AREA: {
        "m^2": 1.0, "dm^2": 1e2, "cm^2": 1e4, "mm^2": 1e6,
        "in^2": 1 / 0.0254**2, "ft^2": 1 / FOOT_M**2,
    },
    Kind.VOLUME: {
        "m^3": 1.0, "L": 1e3, "l": 1e3, "mL": 1e6, "ml": 1e6, "uL": 1e9,
        "us_gallon": 1 / US_GALLON_M3, "us_fluid_ounce": 128 / US_GALLON_M3,
        "us_teaspoon": 768 / US_GALLON_M3,
    },
    Kind.MASS: {
        "kg": 1.0, "g": 1e3, "mg": 1e6, "lb": 1 / POUND_KG, "oz": 16 / POUND_KG,
    },
    Kind.TIME: {"s": 1.0, "min": 1 / 60, "h": 1 / 3600},
    Kind.MASS_CONCENTRATION: _CONCENTRATIONS,
    Kind.DENSITY: _CONCENTRATIONS,
    Kind.AMOUNT_CONCENTRATION: {"mol/m^3": 1.0, "mol/L": 1e-3, "mmol/L": 1.0},
    Kind.FRACTION: {"1": 1.0, "percent": 1e2, "mg/kg": 1e6},
    Kind.CURRENT: {"A": 1.0, "mA": 1e3},
    Kind.CURRENT_DENSITY: {
        "A/m^2": 1.0, "A/dm^2": 1e-2, "mA/cm^2": 1e-1, "A/ft^2": FOOT_M**2,
        "A/mm^2": 1e-6, "A/in^2": 0.0254**2,
    },
    Kind.VOLTAGE: {"V": 1.0, "mV": 1e3},
    Kind.CONDUCTIVITY: {"S/m": 1.0, "mS/cm": 10.0},
    Kind.RESISTANCE: {"ohm": 1.0},
    Kind.SHEET_RESISTANCE: {"ohm": 1.0},
    Kind.CHARGE: {"C": 1.0, "Ah": 1 / 3600, "A*h": 1 / 3600},
    Kind.ANGLE: {"rad": 1.0, "deg": 57.29577951308232},
    Kind.POWER: {"W": 1.0, "kW": 1e-3},
    Kind.ENERGY: {"J": 1.0, "kJ": 1e-3, "Wh": 1 / 3600, "kWh": 1 / 3.6e6},
    Kind.FLOW: {"m^3/s": 1.0, "L/min": 6e4},
}  # fmt: skip
"""Units of each kind with how many make one SI unit; temperatures have offsets and stand below."""


FACTORS: dict[str, float] = {
    unit: factor for units in BY_KIND.values() for unit, factor in units.items()
}
"""All of them by unit."""

TEMPERATURES: dict[str, tuple[float, float]] = {
    "K": (1.0, 0.0),
    "degC": (1.0, -273.15),
    "degF": (1.8, -459.67),
}
"""A temperature in the unit is the first number times kelvin plus the second."""

DIFFERENCES: dict[str, float] = {"delta_degF": 1.8}
"""Of temperatures, which people write and never type: how many of each make a kelvin."""


def in_unit(value: float, unit: str) -> float:
    """A value [SI] as a number in `unit`, one of those that outputs use."""
    if unit in TEMPERATURES:
        slope, offset = TEMPERATURES[unit]
        return value * slope + offset
    return value * (DIFFERENCES[unit] if unit in DIFFERENCES else FACTORS[unit])


def from_everyday(number: float, unit: str, kind: Kind) -> float | None:
    """The SI value of a number in one of the everyday units of a kind; None in any other."""
    if kind is Kind.TEMPERATURE and unit in TEMPERATURES:
        slope, offset = TEMPERATURES[unit]
        return (number - offset) / slope
    factor = BY_KIND.get(kind, {}).get(unit)
    return None if factor is None else number / factor


def is_everyday(unit: str) -> bool:
    """True for an everyday unit of whichever kind."""
    return unit in FACTORS or unit in TEMPERATURES
