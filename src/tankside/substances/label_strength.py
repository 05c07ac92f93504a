"""The strength on a label, in any of the ways that bottles state it, as a mass fraction.

Percent is read as percent by mass unless the label says w/v; "% acidity" of a vinegar is grams per
100 mL by custom. Per-litre strengths ("500 g/L", "5 mol/L", "2 N") are turned into mass fractions
by the table of densities; without one, a weak solution weighs at least what water does and at most
that and what is dissolved in it. "10 volume" peroxide gives ten litres of oxygen per litre. A
strength without a tolerance is believed to one percent of itself, a percentage at least to half of
its last digit: our guess at what bottles hold. Percent by volume is refused.
"""

import re
from dataclasses import dataclass

from tankside.base.errors import BadInput, MissingData
from tankside.base.intervals import Interval
from tankside.base.units import Kind, Spread, quantity, spread
from tankside.substances.hydrometer import water_density
from tankside.substances.records import Substance
from tankside.substances.strengths import (
    ROOM_TEMPERATURE_K,
    has_densities,
    strength_from_concentration,
)

WEAK_KG_PER_M3 = 100.0
"""Up to here a solution without a table is bounded by water's density [kg m⁻³]."""

UNSTATED_TOLERANCE = 0.01
"""Relative tolerance [-] of a strength that states none: our guess."""

OXYGEN_MOLAR_VOLUME_M3_PER_MOL = 22.414e-3
"""Molar volume of an ideal gas at 0 °C and 1 atm [m³ mol⁻¹], for "10 volume" peroxide."""

_AT_ROOM = "A strength per litre is turned into a mass at 20 °C."
_BY_MASS = {"%", "%w/w", "%m/m", "%wt", "wt%", "mass%", "%byweight", "%bymass", "%wt/wt", "w/w%"}
_PER_VOLUME = {"%w/v", "%m/v", "%wt/vol", "w/v%", "%acidity", "g/100ml"}
_BY_VOLUME = {"%v/v", "%byvolume", "vol%", "%vol", "v/v%", "%abv"}
_VOLUMES = {"vol", "vols", "volume", "volumes"}
_NORMAL = {"n", "normal", "eq/l"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Strength:
    """What a label says of strength.

    mass_fraction   kilograms of the substance per kilogram [-]
    per_volume      True where it was stated per volume of a solution
    note            what was assumed, "" where nothing was
    density         of a weak solution without a table [kg m⁻³], else None
    """

    mass_fraction: Interval
    per_volume: bool
    note: str = ""
    density: Interval | None = None


def read_strength(text: str, record: Substance, *, where: str) -> Strength:
    """A label's strength of a substance; BadInput for what is impossible or means two things."""
    written = _more_than_nothing(text, where)
    unit = _plain_unit(written.unit)
    if not unit:
        raise BadInput(
            "{text!r} has no unit; write for example '96 %' or '5 mol/L'", text=text, where=where
        )
    if unit in _BY_MASS:
        return _by_mass(written, text, unit, where)
    if "baum" in unit or re.fullmatch(r"[°º]?(?:deg)?b[eé](?:us|rational)?", unit):
        raise BadInput(
            '{text!r} is a reading of weight; give it as density = "{reading} US" or, for the '
            'European scale, density = "{reading} rational"',
            text=text,
            reading=text,
            where=where,
        )
    if unit in _BY_VOLUME:
        raise BadInput(
            "{text!r} is a percent by volume, which no table here turns into a mass; look for a "
            "percent by mass, g/L or a density on the label",
            text=text,
            where=where,
        )
    return _dissolved(written, unit, text, record, where)


def percent_by_mass(text: str, *, what: str, where: str) -> Interval:
    """A share of the product's mass, such as "25 %" of copper, as an interval [-]."""
    written = _more_than_nothing(text, where)
    if _plain_unit(written.unit) not in _BY_MASS:
        raise BadInput(
            "{text!r}: write {what} as a percent by mass, like '25 %'",
            text=text,
            what=what,
            where=where,
        )
    return _by_mass(written, text, "%", where).mass_fraction


def _more_than_nothing(text: str, where: str) -> Spread:
    written = spread(text, where=where)
    if written.value.best < 0.0 or (written.value.best == 0.0 and not written.least):
        raise BadInput(
            "a strength of {text!r} is impossible: a product holds more than nothing of its "
            "substance",
            text=text,
            where=where,
        )
    return written


def _by_mass(written: Spread, text: str, unit: str, where: str) -> Strength:
    share = written.value.scaled(0.01)
    if share.best > 1.0:
        raise BadInput(
            "a strength of {text!r} is impossible: a product holds at most 100 % of its mass",
            text=text,
            where=where,
        )
    note = "The label's percent is read as percent by mass." if unit == "%" else ""
    return Strength(mass_fraction=_believed(share, written, most=1.0), per_volume=False, note=note)


def _dissolved(written: Spread, unit: str, text: str, record: Substance, where: str) -> Strength:
    concentration = written.value.scaled(_factor(unit, text, record, where))
    if unit not in _PER_VOLUME | _VOLUMES and not written.stated:
        concentration = Interval.exact(concentration.best)
    believed = _believed(concentration, written, most=float("inf"))
    if not has_densities(record.name):
        return _weak(believed, text, record, where)
    try:
        fraction = strength_from_concentration(record.name, believed)
    except BadInput as error:
        raise BadInput(
            "{text!r} is impossible: {reason}", text=text, reason=error.message, where=where
        ) from error
    return Strength(mass_fraction=fraction, per_volume=True, note=_AT_ROOM)


def _weak(concentration: Interval, text: str, record: Substance, where: str) -> Strength:
    """A solution of which no density is held: between water's, and water's and the solute's."""
    if concentration.best > WEAK_KG_PER_M3:
        raise BadInput(
            "{text!r} is a strength per litre, and no density of {record} in water is held to "
            "turn it into a mass; look for a percent by mass",
            text=text,
            record=record.name,
            where=where,
        )
    water = water_density(ROOM_TEMPERATURE_K)
    heaviest = water + concentration.high
    density = Interval(water, 0.5 * (water + heaviest), heaviest)
    fraction = Interval(
        concentration.low / density.high,
        concentration.best / density.best,
        concentration.high / density.low,
    )
    return Strength(mass_fraction=fraction, per_volume=True, note=_AT_ROOM, density=density)


def _factor(unit: str, text: str, record: Substance, where: str) -> float:
    """Kilograms per cubic metre of one of the label's unit."""
    if unit in _PER_VOLUME:
        return 10.0
    if unit in _VOLUMES:
        return _oxygen_volume(text, record, where)
    if unit in _NORMAL:
        if record.equivalents is None:
            raise BadInput(
                "{text!r}: how many equivalents a mole of {record} has depends on its use; write "
                "mol/L or a percent by mass",
                text=text,
                record=record.name,
                where=where,
            )
        return 1e3 * record.molar_mass / record.equivalents
    typed = f"1 {spread(text, where=where).unit}"
    try:
        return quantity(typed, Kind.MASS_CONCENTRATION, where=where)
    except BadInput as error:
        if "ambiguous" in error.message:
            raise BadInput(error.message.replace(typed, text, 1), where=where) from error
    try:
        moles = quantity(typed, Kind.AMOUNT_CONCENTRATION, where=where)
    except BadInput as error:
        raise BadInput(
            "{text!r} is not a strength; write for example '96 %', '30-33 %', '5 % w/v', '500 "
            "g/L', '5 mol/L' or '2 N'",
            text=text,
            where=where,
        ) from error
    return moles * _molar_mass(record, text, where)


def _molar_mass(record: Substance, text: str, where: str) -> float:
    try:
        return record.molar_mass
    except MissingData as error:
        raise BadInput(
            "{text!r} counts moles, and {reason}; write g/L or a percent by mass",
            text=text,
            reason=error.message,
            where=where,
        ) from error


def _oxygen_volume(text: str, record: Substance, where: str) -> float:
    if record.name != "hydrogen peroxide":
        raise BadInput(
            "{text!r}: only hydrogen peroxide is sold by volumes of oxygen, not {record}",
            text=text,
            record=record.name,
            where=where,
        )
    return 2.0 * record.molar_mass / OXYGEN_MOLAR_VOLUME_M3_PER_MOL


def _believed(value: Interval, written: Spread, *, most: float) -> Interval:
    """The interval with the tolerance that a label without one is believed to."""
    if written.least:
        top = most if most < float("inf") else value.best * (1 + UNSTATED_TOLERANCE)
        return Interval(value.low, 0.5 * (value.low + top), top)
    if written.stated:
        return Interval(max(0.0, value.low), value.best, max(value.best, min(value.high, most)))
    half = UNSTATED_TOLERANCE * value.best
    return Interval(
        max(0.0, min(value.low, value.best - half)),
        value.best,
        max(value.best, min(max(value.high, value.best + half), most)),
    )


def _plain_unit(unit: str) -> str:
    """The unit without the differences that labels do not mean."""
    plain = re.sub(r"[\s().]+", "", unit.lower()).replace("percent", "%").replace("weight", "wt")
    return plain.replace("%bywt", "%byweight").replace("mass/", "m/")
