"""The one place where units are read and written: text with a unit to SI, and back.

Inside Tankside every number is in coherent SI (kelvin, metre, ampere per square metre, kilogram per
cubic metre). A person writes "75 g/L" or "0,5 mm"; a bare number is refused, because guessing its
unit has cost people parts. Reading is in reading.py (and bath concentrations in concentrations.py,
"30-33 %" in ranges.py), writing in showing.py and, for prose that
states quantities, retelling.py.
"""

from tankside.base.units.concentrations import PPM_CONVENTION, bath_concentration
from tankside.base.units.counterparts import COUNTERPARTS, comma_marked
from tankside.base.units.factors import in_unit
from tankside.base.units.kinds import Kind
from tankside.base.units.ranges import Spread, spread
from tankside.base.units.reading import quantity
from tankside.base.units.retelling import retold
from tankside.base.units.showing import (
    UNIT_SYSTEMS,
    UnitSystem,
    rounded,
    shown,
    sign,
    signed,
    told,
    unit_told,
)

__all__ = [
    "COUNTERPARTS",
    "PPM_CONVENTION",
    "UNIT_SYSTEMS",
    "Kind",
    "Spread",
    "UnitSystem",
    "bath_concentration",
    "comma_marked",
    "in_unit",
    "quantity",
    "retold",
    "rounded",
    "shown",
    "sign",
    "signed",
    "spread",
    "told",
    "unit_told",
]
