"""The parameters of Laliberté's mixture laws, and the ranges they were fitted in.

Each law (density, viscosity, heat capacity) takes the mass fractions of the dissolved substances
and a temperature. Every substance present must be inside its own fitted range, and the solution
as a whole no stronger than the strongest that was fitted; else OutsideValidity says which limit
was met.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cache
from math import isfinite

from tankside.base.constants import ZERO_CELSIUS_K
from tankside.base.errors import BadInput, MissingData, OutsideValidity
from tankside.base.messages import Quantity
from tankside.base.tables import table
from tankside.base.wording import term

MassFractions = Mapping[str, float]
"""Kilograms of each dissolved substance (its name in the substances room) per kilogram of bath."""


class Law(Enum):
    """A mixture law: its words, the prefix of its columns, and the names of its parameters."""

    DENSITY = (term("the density law"), "density", ("c0", "c1", "c2", "c3", "c4"))
    VISCOSITY = (term("the viscosity law"), "viscosity", ("v1", "v2", "v3", "v4", "v5", "v6"))
    HEAT_CAPACITY = (term("the heat capacity law"), "heat", ("a1", "a2", "a3", "a4", "a5", "a6"))

    def __init__(self, words: str, prefix: str, names: tuple[str, ...]) -> None:
        self.words = words
        self.prefix = prefix
        self.names = names


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """Parameters of one law for one substance, with the range they were fitted in."""

    parameters: tuple[float, ...]
    lowest_degC: float
    highest_degC: float
    highest_fraction: float


def fits(law: Law, fractions: MassFractions, temperature: float) -> dict[str, Fit]:
    """The fit of each substance present; range checked, except the heat capacity's temperature.

    Heat capacity was fitted for copper sulfate at 18 °C alone; its temperature dependence is that
    of water and the acid, so the range of temperature is not held against it (see
    heat_capacity.py).
    """
    present = {name: fraction for name, fraction in fractions.items() if fraction != 0.0}
    for name, fraction in present.items():
        if not (isfinite(fraction) and 0.0 <= fraction < 1.0):
            raise BadInput(
                "the mass fraction of {name} lies between 0 and 1, not {fraction}",
                name=name,
                fraction=fraction,
            )
    held = {name: _fit(law, name) for name in present}
    t = temperature - ZERO_CELSIUS_K
    for name, fit in held.items():
        _check_range(law, name, fit, present[name], t)
    total = sum(present.values())
    if held and total > max(fit.highest_fraction for fit in held.values()):
        raise OutsideValidity(
            "{law} was fitted up to {held} of dissolved matter per kg of bath, not {total:.3g}; "
            "dilute, or measure it",
            law=law.words,
            held=Quantity(max(f.highest_fraction for f in held.values()), "kg"),
            total=total,
        )
    return held


def _check_range(law: Law, name: str, fit: Fit, fraction: float, t: float) -> None:
    if fraction > fit.highest_fraction:
        raise OutsideValidity(
            "{law} was fitted up to {highest_fraction} of {name} per kg of bath, not "
            "{fraction:.3g}",
            law=law.words,
            highest_fraction=Quantity(fit.highest_fraction, "kg"),
            name=term(name),
            fraction=fraction,
        )
    if law is not Law.HEAT_CAPACITY and not fit.lowest_degC <= t <= fit.highest_degC:
        raise OutsideValidity(
            "{law} was fitted for {name} from {lowest_degc:g} to {highest_degc:g} °C, not at "
            "{t:.4g} °C",
            law=law.words,
            name=term(name),
            lowest_degc=fit.lowest_degC,
            highest_degc=fit.highest_degC,
            t=t,
        )


@cache
def _fit(law: Law, name: str) -> Fit:
    for row in table("tankside.bath", "laliberte.csv"):
        if row["substance"] == name:
            return Fit(
                parameters=tuple(float(row[column]) for column in law.names),
                lowest_degC=float(row[f"{law.prefix}_min_degC"]),
                highest_degC=float(row[f"{law.prefix}_max_degC"]),
                highest_fraction=float(row[f"{law.prefix}_max_fraction"]),
            )
    raise MissingData("{law} holds no parameters for {name!r}", law=law.words, name=term(name))
