"""The kinds of field that a job file holds, text with a unit outside and SI numbers inside;
and what every table of it is."""

from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, WithJsonSchema

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units import Kind, quantity
from tankside.base.units.ranges import spread


def _read(kind: Kind, least: float, inclusive: bool) -> Any:
    def parsed(text: object) -> float:
        value = quantity(text, kind, where="")
        if value < least or (value == least and not inclusive):
            if inclusive:
                raise BadInput("{text!r} must not be negative", text=text)
            raise BadInput("{text!r} must be above zero", text=text)
        return value

    schema = {
        "type": "string",
        "description": f"{kind.words} with its unit",
        "examples": [kind.example],
    }
    return [BeforeValidator(parsed), WithJsonSchema(schema)]


def _sheet_resistance(text: object) -> Interval:
    """A number with its unit, or a range such as "80-120 ohm" or "100 ± 20 ohm"."""
    if isinstance(text, Interval):
        return text
    kind = Kind.SHEET_RESISTANCE
    told = spread(text, where="") if isinstance(text, str) else None
    if told is None or not told.stated:
        found = Interval.exact(quantity(text, kind, where=""))
    elif told.least or told.most:
        raise BadInput("{text!r} has one end only; give both, such as '80-120 ohm'", text=text)
    else:
        found = told.value.scaled(quantity(f"1 {told.unit}", kind, where=""))
    if not found.low > 0:
        raise BadInput("{text!r} must be above zero", text=text)
    return found


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
Paint = Annotated[
    Interval,
    BeforeValidator(_sheet_resistance),
    WithJsonSchema(
        {
            "type": "string",
            "description": "a sheet resistance with its unit, or a range of it",
            "examples": ["3 ohm", "80-120 ohm", "100 ± 20 ohm"],
        }
    ),
]
"""A sheet resistance [ohm per square] above zero: one number, or a range nine times in ten."""

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


class Table(BaseModel):
    """A table of the job file: frozen, and no unknown keys."""

    model_config = ConfigDict(extra="forbid", frozen=True)
