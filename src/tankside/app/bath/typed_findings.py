"""Findings as typed, each with its spread: an analysis without one is not worth much."""

from collections.abc import Mapping

from tankside.app.bath.entries import Entries
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units import Kind
from tankside.bath.analysis.finding import Finding
from tankside.substances import molar_mass

MOLAR: Mapping[str, float] = {
    "copper": molar_mass("Cu"),
    "sulfuric_acid": molar_mass("H2SO4"),
    "chloride": molar_mass("Cl"),
}
"""Molar masses of what may be typed by amount [kg mol⁻¹]."""


def typed_finding(entries: Entries, name: str) -> Finding:
    """A finding typed with its spread; without one a number is not worth much, and is refused."""
    value = _read_found(entries, name)
    if not value.high > value.low:
        raise BadInput(
            "say how sure {text!r} is, such as '51.2 ± 1.2 g/L'; 'tankside bath titrate' works it "
            "out and notes it itself",
            text=entries.text(name),
            where=entries.place(name),
        )
    temperature = entries.maybe("temperature", Kind.TEMPERATURE)
    if name in ("density", "conductivity") and temperature is None:
        raise BadInput(
            "a {name} needs the temperature that it was read at", name=name, where=entries.where
        )
    return Finding(
        quantity=name,
        value=value,
        std=value.deviation,
        method=entries.text("method", "as typed"),
        temperature=temperature if name in ("density", "conductivity", "pH") else None,
    )


def _read_found(entries: Entries, name: str) -> Interval:
    if name == "density":
        return entries.range(name, Kind.DENSITY)
    if name == "conductivity":
        return entries.range(name, Kind.CONDUCTIVITY)
    if name == "pH":
        return plain_range(entries.text(name), where=entries.place(name))
    return entries.concentration(name, MOLAR[name])


def plain_range(text: str, *, where: str) -> Interval:
    """A number without a unit, with or without its spread, such as a pH."""
    from tankside.base.units import spread

    written = spread(text, where=where)
    if written.unit or written.least or written.most:
        raise BadInput(
            "{text!r} is no plain number; write for example '3.1 ± 0.1'", text=text, where=where
        )
    return written.value if written.stated else Interval.exact(written.value.best)
