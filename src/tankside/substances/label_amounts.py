"""How much a package holds, what it costs, and the chloride that comes along, as a label says."""

import re
from collections.abc import Mapping

from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units import Kind, quantity, spread

_PRICE = re.compile(r"^([^\d\s.,+-]{0,4})\s*(\d+(?:[.,]\d{1,2})?)\s*([^\d\s]{0,4})$")


def read_chloride(
    label: Mapping[str, str], unstated: Interval, density: Interval | None, where: str
) -> Interval:
    """Chloride as impurity [kg per kg]; `unstated` where the label is silent."""
    place = f"{where} chloride"
    if "chloride" not in label:
        return unstated
    written = spread(label["chloride"], where=place)
    unit = f"1 {written.unit}"
    try:
        factor = quantity(unit, Kind.FRACTION, where=place)
    except BadInput as error:
        if density is None:
            raise BadInput(
                "{chloride!r}: write chloride as mg/kg or a percent by mass",
                chloride=label["chloride"],
                where=place,
            ) from error
        factor = quantity(unit, Kind.MASS_CONCENTRATION, where=place) / density.best
    share = written.value.scaled(factor)
    if share.best < 0.0 or share.high > 0.7:
        raise BadInput(
            "{chloride!r} of chloride is impossible", chloride=label["chloride"], where=place
        )
    return Interval(max(0.0, share.low), share.best, share.high)


def read_package(label: Mapping[str, str], density: Interval | None, where: str) -> float | None:
    """Mass of product in a package [kg]; a volume needs the product's `density` [kg m⁻³]."""
    place = f"{where} package"
    if "package" not in label:
        return None
    try:
        mass = quantity(label["package"], Kind.MASS, where=place)
    except BadInput as not_a_mass:
        volume = quantity(label["package"], Kind.VOLUME, where=place)
        if density is None:
            raise BadInput(
                "{package!r} is a volume, and the product's density is not known; write the "
                "package's mass",
                package=label["package"],
                where=place,
            ) from not_a_mass
        mass = volume * density.best
    if mass <= 0.0:
        raise BadInput(
            "a package of {package!r} holds nothing", package=label["package"], where=place
        )
    return mass


def read_price(label: Mapping[str, str], where: str) -> tuple[float | None, str]:
    """The price of a package and its currency as typed; (None, "") where not given."""
    if "price" not in label:
        return None, ""
    match = _PRICE.match(label["price"].strip())
    if match is None or not (match.group(1) or match.group(3)):
        raise BadInput(
            "{price!r} is not a price; write for example '12.50 EUR'",
            price=label["price"],
            where=f"{where} price",
        )
    return float(match.group(2).replace(",", ".")), match.group(1) or match.group(3)
