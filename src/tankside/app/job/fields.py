"""The kinds of field that a job file holds: text with a unit outside, SI numbers inside."""

from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, WithJsonSchema

from tankside.base.units import Kind, quantity


def _read(kind: Kind, least: float, inclusive: bool) -> Any:
    def parsed(text: object) -> float:
        value = quantity(text, kind, where="")
        if value < least or (value == least and not inclusive):
            need = "must not be negative" if inclusive else "must be above zero"
            raise ValueError(f"{text!r} {need}")
        return value

    schema = {
        "type": "string",
        "description": f"{kind.words} with its unit",
        "examples": [kind.example],
    }
    return [BeforeValidator(parsed), WithJsonSchema(schema)]


_ANY = float("-inf")
Position = Annotated[float, *_read(Kind.LENGTH, _ANY, True)]
"""A coordinate [m], of either sign."""
Length = Annotated[float, *_read(Kind.LENGTH, 0.0, False)]
"""A length [m] above zero."""
Concentration = Annotated[float, *_read(Kind.MASS_CONCENTRATION, 0.0, True)]
"""A mass concentration [kg m⁻³], not negative."""
Density = Annotated[float, *_read(Kind.DENSITY, 0.0, False)]
"""A density [kg m⁻³] above zero."""
Temperature = Annotated[float, *_read(Kind.TEMPERATURE, 0.0, False)]
"""A temperature [K]."""
Current = Annotated[float, *_read(Kind.CURRENT, 0.0, False)]
"""A current [A] above zero."""
CurrentDensity = Annotated[float, *_read(Kind.CURRENT_DENSITY, 0.0, False)]
"""A current density [A m⁻²] above zero."""
Voltage = Annotated[float, *_read(Kind.VOLTAGE, 0.0, False)]
"""A voltage [V] above zero."""
Conductivity = Annotated[float, *_read(Kind.CONDUCTIVITY, 0.0, False)]
"""A conductivity [S m⁻¹] above zero."""
Resistance = Annotated[float, *_read(Kind.RESISTANCE, 0.0, True)]
"""A resistance [ohm], not negative."""
SheetResistance = Annotated[float, *_read(Kind.SHEET_RESISTANCE, 0.0, False)]
"""A sheet resistance [ohm per square] above zero."""

Mass = Annotated[float, *_read(Kind.MASS, 0.0, False)]
"""A mass [kg] above zero."""

Point = tuple[Position, Position, Position]
"""x, y, z [m]; the origin is the centre of the tank's floor, z up."""


def _direction(values: tuple[float, float, float]) -> tuple[float, float, float]:
    if not any(values):
        raise ValueError("a direction must not be [0, 0, 0]")
    return values


Direction = Annotated[tuple[float, float, float], AfterValidator(_direction)]
"""A direction as three plain numbers; its length does not matter."""
