"""Colours of the pictures of faults: what metal, coat, plastic and liquid look like."""

COPPER, COPPER_LIGHT, COPPER_DARK = "#c4815c", "#eec4a6", "#97573a"
DULL, BURNT, SMOKE = "#c79a86", "#35211a", "#7b5f55"
COAT, PLASTIC, STEEL = "#85858c", "#ece6d8", "#b9c0c7"
LIQUID, LIQUID_PALE, LIQUID_DEEP, LIQUID_GREEN = "#9cc4e4", "#dcebf5", "#4d8fc7", "#a3c99b"
CRYSTAL, GREEN, FILM, AIR = "#2c66ab", "#5d9a72", "#e4e2da", "#ffffff"
"""Hex colours."""
