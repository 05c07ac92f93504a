"""A number that a person measured, as typed, for a diagnosis: its value and how sure it is."""

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.units import Kind, quantity, spread
from tankside.diagnosis.numbers_in_words import BATH, RUN, shown_as, with_spread


def measured_value(name: str, text: str) -> Interval:
    """The value [SI] of text such as "55 mg/L", "40-70 mg/L" or "55 ± 10 mg/L"; a number alone has
    the spread that is usual for its kind."""
    if name not in BATH and name not in RUN:
        raise UnknownName("number", name, [*BATH, *RUN], where="value")
    written = spread(text, where=name)
    best = _number(written.value.best, written.unit, name)
    if not written.stated:
        return with_spread(name, best)
    low, high = (
        _number(end, written.unit, name) for end in (written.value.low, written.value.high)
    )
    return Interval(low, best, high)


def _number(value: float, unit: str, name: str) -> float:
    """A number with its unit in SI; BadInput where it is below zero or of another kind."""
    shown = shown_as(name)
    if shown.kind is not Kind.TEMPERATURE and value < 0.0:
        raise BadInput("{value:g} must be zero or more", value=value, where=name)
    if shown.kind is not None:
        return quantity(f"{value!r} {unit}", shown.kind, where=name)
    if shown.unit != "Ah/L":
        if unit:
            raise BadInput(
                "{unit!r} does not belong here; this is a plain ratio", unit=unit, where=name
            )
        return value
    charge, slash, volume = unit.partition("/")
    if not slash:
        raise BadInput(
            "{unit!r} is no charge by volume; write for example '8 Ah/L'", unit=unit, where=name
        )
    coulombs = quantity(f"{value!r} {charge}", Kind.CHARGE, where=name)
    return coulombs / quantity(f"1 {volume}", Kind.VOLUME, where=name)
