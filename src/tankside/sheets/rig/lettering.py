"""How wide lettering runs, and how lengths are written on a drawing.

Widths are taken from the widest of the faces that a reader may see (a browser without the sheet's
own takes another), so that what is set apart by them stays apart.
"""

from math import log

from tankside.base.units import UnitSystem, in_unit
from tankside.sheets.wording import marked, reader_units, worded

SIZE, SMALL = 8.0, 7.0
"""Letters of tables and names, and of lengths [pt]."""

_NARROW, _WIDE = set(" .,;:'()|ijlItf\u2009"), set("mwMW%@Ø")
_GAUGE_ZERO, _GAUGE_STEP, _GAUGE_36 = 36, 92.0 ** (1 / 39), 0.127e-3
_SAME_GAUGE = 0.03


def width_of(words: str, size: float = SIZE) -> float:
    """An upper bound of the width of `words` [pt], also in bold."""
    shares = (
        0.36 if c in _NARROW else 0.92 if c in _WIDE else 0.76 if c.isupper() else 0.62
        for c in words
    )
    return size * sum(shares)


def ruled_length(length: float) -> str:
    """A length [m] as a drawing gives it, without its unit: to half a millimetre or better, idle
    zeros left out; or inches to a hundredth."""
    if reader_units() is UnitSystem.US:
        return marked(f"{in_unit(length, 'in'):.2f}")
    return marked(f"{in_unit(length, 'mm'):.1f}".removesuffix(".0"))


def unit_sign() -> str:
    """The unit of `ruled_length`."""
    return "in" if reader_units() is UnitSystem.US else "mm"


def unit_words() -> str:
    """The same in words."""
    return worded("inches") if reader_units() is UnitSystem.US else worded("millimetres")


def gauge(diameter: float) -> str:
    """A wire's diameter [m]: "Ø 0.5"; in US units with the wire gauge where one is as thick, by the
    gauge's own law: 36 is 5 mil, 0000 is 460 mil, equal ratios between (ASTM B258; from memory)."""
    if reader_units() is UnitSystem.METRIC:
        return marked(f"Ø {in_unit(diameter, 'mm'):.3g}")
    number = round(_GAUGE_ZERO - log(diameter / _GAUGE_36) / log(_GAUGE_STEP))
    thick = _GAUGE_36 * _GAUGE_STEP ** (_GAUGE_ZERO - number)
    inches = marked(f"Ø {in_unit(diameter, 'in'):.3f}")
    fits = 0 <= number <= 50 and abs(thick / diameter - 1) < _SAME_GAUGE
    return f"{inches} ({number} AWG)" if fits else inches
