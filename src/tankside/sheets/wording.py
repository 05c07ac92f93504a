"""Numbers as a person reads them on a sheet: plain digits, units of the trade, no exponents."""

from math import floor, isfinite, log10

from tankside.base.intervals import Interval
from tankside.base.units import in_unit

THIN = "\u2009"
MINUS = "\u2212"


def plain(value: float, digits: int = 3) -> str:
    """`value` with about `digits` significant digits, never in exponent form, no idle zeros
    before the point: 0.0042, 1.39, 72.7, 1240."""
    if not isfinite(value):
        return "none" if value != value else ("unlimited" if value > 0 else MINUS + "unlimited")
    if value == 0:
        return "0"
    decimals = digits - 1 - floor(log10(abs(value)))
    rounded = round(value, decimals)
    if rounded and floor(log10(abs(rounded))) > floor(log10(abs(value))):
        decimals -= 1
    return f"{rounded:.{max(decimals, 0)}f}".replace("-", MINUS)


def rounded(value: float) -> str:
    """A round number such as a tick's, without idle zeros: 50, 2.5."""
    return f"{value:.6g}".replace("-", MINUS)


def measured(value: float, unit: str, digits: int = 3) -> str:
    """A value [SI] in a unit of the outputs, with its sign: 120 µm, 1.86 A/dm²."""
    return f"{plain(in_unit(value, unit), digits)} {_SIGNS.get(unit, unit)}"


def between(interval: Interval, unit: str, digits: int = 2) -> str:
    """The ends of an interval [SI]: "112 to 125 µm"; one number where both read the same."""
    low, high = (plain(in_unit(end, unit), digits) for end in (interval.low, interval.high))
    sign = _SIGNS.get(unit, unit)
    return f"{low} {sign}" if low == high else f"{low} to {high} {sign}"


def millimetres(length: float) -> str:
    """A length [m] as a drawing gives it: whole millimetres from 10 mm on."""
    value = in_unit(length, "mm")
    return f"{value:.0f} mm" if value >= 10 else f"{value:.1f} mm"


def percent(share: float) -> str:
    """A share [-] as percent; what is there but small says so."""
    if share <= 0:
        return "none"
    if share < 0.001:
        return "under 0.1 %"
    return f"{plain(100 * share, 2)} %"


def clock(seconds: float) -> str:
    """A duration [s] as a person sets a timer: 5 h 24 min."""
    minutes = round(seconds / 60)
    hours, minutes = divmod(minutes, 60)
    if not hours:
        return f"{minutes} min"
    return f"{hours} h {minutes:02d} min"


_SIGNS = {
    "um": "µm",
    "A/dm^2": "A/dm²",
    "A/m^2": "A/m²",
    "degC": "°C",
    "dm^2": "dm²",
    "cm^2": "cm²",
    "ohm": "Ω",
}
