"""What is refused outright, with the reason and the safe way out."""

from tankside.base.errors import SafetyRefusal
from tankside.base.messages import Quantity

SHOCK_LIMIT_V = 60.0
"""Ripple-free direct voltage up to which basic protection is not required in the dry (IEC 61140,
extra-low voltage, from memory)."""

BOILING_MARGIN_K = 333.15
"""60 °C: above it an open acid bath is industrial work (common practice, no source)."""

ACID_LIMIT_KG_PER_M3 = 350.0
"""Above this no published copper bath lies (Metal Finishing Guidebook, acid copper tables, end at
225 g/L)."""


def refuse_unsafe(*, sulfuric_acid: float, temperature: float, voltage_limit: float) -> None:
    """Raises SafetyRefusal for work that must not be done at a bench. SI."""
    if voltage_limit > SHOCK_LIMIT_V:
        raise SafetyRefusal(
            "a supply set to {voltage_limit:.0f} V over an open acid tank can kill; plating needs "
            "a few volts, so set its limit to {shock_limit_v:.0f} V or less",
            voltage_limit=voltage_limit,
            shock_limit_v=SHOCK_LIMIT_V,
            where="[supply] voltage_limit",
        )
    if temperature > BOILING_MARGIN_K:
        raise SafetyRefusal(
            "an open acid bath at {temperature} steams acid and softens the part; plate at 60 °C "
            "or below",
            temperature=Quantity(temperature, "degC", decimals=0),
            where="[bath] temperature",
        )
    if sulfuric_acid > ACID_LIMIT_KG_PER_M3:
        raise SafetyRefusal(
            "{sulfuric_acid} of sulfuric acid is far above any copper bath and dangerous to mix; "
            "the richest published baths hold 225 g/L",
            sulfuric_acid=Quantity(sulfuric_acid, "g/L", decimals=0),
            where="[bath] sulfuric_acid",
        )
