"""What is refused outright, with the reason and the safe way out."""

from tankside.base.errors import SafetyRefusal

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
            f"a supply set to {voltage_limit:.0f} V over an open acid tank can kill; "
            f"plating needs a few volts, so set its limit to {SHOCK_LIMIT_V:.0f} V or less",
            where="[supply] voltage_limit",
        )
    if temperature > BOILING_MARGIN_K:
        raise SafetyRefusal(
            f"an open acid bath at {temperature - 273.15:.0f} °C steams acid and softens the part; "
            "plate at 60 °C or below",
            where="[bath] temperature",
        )
    if sulfuric_acid > ACID_LIMIT_KG_PER_M3:
        raise SafetyRefusal(
            f"{sulfuric_acid:.0f} g/L of sulfuric acid is far above any copper bath and dangerous "
            "to mix; the richest published baths hold 225 g/L",
            where="[bath] sulfuric_acid",
        )
