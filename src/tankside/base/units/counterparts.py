"""What a reader in US units is told in place of each metric unit, and how numbers are marked.

A unit that is not here is the trade's on both sides of the ocean: A, V, Ah, W, h, mg/L, S/m, Ω.
"""

import re

COUNTERPARTS = {
    "um": "mil",
    "mm": "in",
    "cm": "in",
    "m": "ft",
    "mm^2": "in^2",
    "cm^2": "in^2",
    "dm^2": "ft^2",
    "m^2": "ft^2",
    "A/dm^2": "A/ft^2",
    "A/m^2": "A/ft^2",
    "A/mm^2": "A/in^2",
    "mg": "oz",
    "g": "oz",
    "kg": "lb",
    "mL": "us_fluid_ounce",
    "L": "us_gallon",
    "degC": "degF",
    "K": "delta_degF",
    "g/L": "oz/us_gallon",
    "kg/m^3": "lb/ft^3",
}
"""By the metric unit; kelvins are told of differences alone."""

_POINT = re.compile(r"(?<=\d)\.(?=\d)|(?<![\w.])\.(?=\d)")
_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:,\d{3})+(?![\d,])")
GROUPED = "\N{NARROW NO-BREAK SPACE}"
"""Between thousands where the comma marks decimals."""


def comma_marked(text: str) -> str:
    """Numbers of a text with a decimal comma; dates, versions and names of files stay."""
    parted = _THOUSANDS.sub(lambda found: found.group().replace(",", GROUPED), text)
    return _POINT.sub(",", parted)
