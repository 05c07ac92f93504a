"""Names and units in which a person reads and writes the numbers that bear on a diagnosis."""

from collections.abc import Mapping
from dataclasses import dataclass

from tankside.base.errors import UnknownName
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, Sign, said
from tankside.base.units import Kind
from tankside.diagnosis.evidence import Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """How a quantity is told: words, unit ("" for a bare ratio), the kind that text is read as
    (None for a ratio), and the relative spread taken where a person gives one number [-]."""

    words: str
    unit: str = ""
    kind: Kind | None = None
    spread: float = 0.1


BATH: Mapping[str, Shown] = {
    "copper_sulfate_pentahydrate": Shown(
        words=said("copper sulfate pentahydrate"),
        unit="g/L",
        kind=Kind.MASS_CONCENTRATION,
        spread=0.05,
    ),
    "sulfuric_acid": Shown(
        words=said("sulfuric acid"), unit="g/L", kind=Kind.MASS_CONCENTRATION, spread=0.05
    ),
    "chloride": Shown(
        words=said("chloride"), unit="mg/L", kind=Kind.MASS_CONCENTRATION, spread=0.2
    ),
    "temperature": Shown(
        words=said("bath temperature"), unit="degC", kind=Kind.TEMPERATURE, spread=0.003
    ),
    "charge_since_carbon": Shown(words=said("charge by volume since carbon"), unit="Ah/L"),
    "charge_since_filter": Shown(words=said("charge by volume since filtering"), unit="Ah/L"),
    "charge_since_additive": Shown(words=said("charge by volume since additive"), unit="Ah/L"),
}
"""Numbers of the bath. Spreads taken for a single number: our guess."""

RUN: Mapping[str, Shown] = {
    "current_ratio": Shown(words=said("amps set over amps planned"), spread=0.03),
    "area_ratio": Shown(words=said("true area over area worked with")),
    "unpowered_before_start": Shown(
        words=said("time in the bath before power"), unit="min", kind=Kind.TIME
    ),
    "unpowered_in_run": Shown(
        words=said("time without power in the bath"), unit="min", kind=Kind.TIME
    ),
    "voltage_limited_share": Shown(words=said("share of the run at the voltage limit")),
    "voltage_fall_ratio": Shown(words=said("first volts over volts after an hour")),
    "voltage_rise_ratio": Shown(words=said("last volts over volts after an hour")),
    "start_current_share": Shown(words=said("first amps over working amps")),
    "run_thickness": Shown(words=said("mean thickness by charge"), unit="um", kind=Kind.LENGTH),
    "mass_ratio": Shown(words=said("mass gained over that of the charge"), spread=0.02),
    "current_jump_rate": Shown(words=said("jumps of the current a second")),
    "level_drop": Shown(words=said("fall of the level"), unit="mm", kind=Kind.LENGTH),
    "idle_anode_time": Shown(words=said("time that anodes hung idle"), unit="h", kind=Kind.TIME),
}
"""Numbers of a run's log. Spreads taken for a single number: our guess."""

PLAN: Mapping[str, Shown] = {
    "burning_area_fraction": Shown(words=said("share of the part over copper's limit, as planned")),
    "rough_area_fraction": Shown(
        words=said("share of the part where deposits roughen, as planned")
    ),
    "bare_area_fraction": Shown(words=said("share of the part left bare, as planned")),
    "thin_ratio": Shown(words=said("thinnest 5 percent over the mean, as planned")),
    "anode_share_ratio": Shown(words=said("most loaded anode over their mean, as planned")),
    "anode_load_ratio": Shown(
        words=said("anode current density over its passive limit, as planned")
    ),
    "metal_current_density": Shown(words=said("current density in the wire's metal"), unit="A/m^2"),
    "place_fraction_of_limit": Shown(words=said("fraction of copper's limit at that place")),
    "place_current_density_ratio": Shown(words=said("current density at that place over the mean")),
    "place_anode_distance_ratio": Shown(
        words=said("distance to an anode there over the part's mean")
    ),
    "place_facing_up": Shown(words=said("how far that place looks up (1) or down (-1)")),
    "place_contact_distance_ratio": Shown(words=said("distance to a wire there over the farthest")),
}
"""Numbers of the plan and of a place on the part."""

PANEL: Mapping[str, Shown] = {
    "panel_burnt_above": Shown(words=said("test panel spoilt above"), unit="A/dm^2"),
    "panel_bright_above": Shown(words=said("test panel bright down to"), unit="A/dm^2"),
    "panel_burnt_ratio": Shown(words=said("spoilt current density over that of earlier panels")),
    "panel_bright_ratio": Shown(
        words=said("width of the bright range over that of earlier panels")
    ),
}
"""Numbers of a test panel."""

NUMBERS: Mapping[str, Shown] = {**BATH, **RUN, **PLAN, **PANEL}
"""All of them."""

_PER_VOLUME = 3.6e6
"""Coulomb per cubic metre in an ampere-hour per litre."""


def told_number(item: Measured) -> str:
    """A number with its range and unit, such as "chloride 55 (44 to 66) mg/L"."""
    shown = shown_as(item.quantity)
    ends = (item.value.low, item.value.best, item.value.high)
    low, best, high = (_number(end, shown.unit) for end in ends)
    told = said("{name} {best}", name=shown.words, best=best)
    if str(low) != str(high):
        told = said("{number} ({low} to {high})", number=told, low=low, high=high)
    if not shown.unit:
        return told
    return said("{number} {unit}", number=told, unit=Sign(shown.unit))


def shown_as(quantity: str) -> Shown:
    """How a quantity is told; UnknownName offers close ones."""
    if quantity not in NUMBERS:
        raise UnknownName("number", quantity, NUMBERS)
    return NUMBERS[quantity]


def with_spread(quantity: str, value: float) -> Interval:
    """One number [SI] as a person gives it, with the spread taken for its kind."""
    return Interval.about(value, shown_as(quantity).spread)


def _number(value: float, unit: str) -> Quantity:
    """A number [SI] whose unit follows later."""
    if unit == "Ah/L":
        return Quantity(value / _PER_VOLUME)
    return Quantity(value, unit, bare=True)
