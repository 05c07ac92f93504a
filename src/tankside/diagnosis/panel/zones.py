"""Zones that a person sees on a panel, marked on a ruler from its high-current edge.

Text such as "burnt 0-1.2 cm, bright 1.2-7 cm, dull 7-10 cm": a look, two ends, a unit.
"""

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.base.units import Kind, in_unit, quantity, spread
from tankside.diagnosis.panel.cell import SlantedCell

MARKING = 1.5e-3
"""How far a mark of a zone's end may be off by eye [m], nine times in ten: our guess."""


class Look(StrEnum):
    """How a zone of the panel looks."""

    BURNT = "burnt"
    ROUGH = "rough"
    FROSTY = "frosty"
    BRIGHT = "bright"
    SATIN = "satin"
    HAZY = "hazy"
    DULL = "dull"
    PITTED = "pitted"
    STREAKED = "streaked"
    BANDED = "banded"
    CRACKED = "cracked"
    OFF_COLOUR = "off-colour"
    BARE = "bare"


LOOKS = {
    Look.BURNT: said("burnt"),
    Look.ROUGH: said("rough"),
    Look.FROSTY: said("frosty"),
    Look.BRIGHT: said("bright"),
    Look.SATIN: said("satin"),
    Look.HAZY: said("hazy"),
    Look.DULL: said("dull"),
    Look.PITTED: said("pitted"),
    Look.STREAKED: said("streaked"),
    Look.BANDED: said("banded"),
    Look.CRACKED: said("cracked"),
    Look.OFF_COLOUR: said("off-colour"),
    Look.BARE: said("bare"),
}
"""The looks as a person is told them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A stretch of one look: its start and end from the high-current edge, each where it may lie
    [m]."""

    look: Look
    start: Interval
    end: Interval


def zones_of(text: str, cell: SlantedCell, *, where: str = "panel") -> tuple[Zone, ...]:
    """The zones of a person's words, in order from the high-current edge; BadInput says which part
    is not understood."""
    parts = [part.strip() for part in text.replace(";", ",").split(",") if part.strip()]
    if not parts:
        raise BadInput(
            "no zone is named; write for example 'burnt 0-1.2 cm, bright 1.2-7 cm'", where=where
        )
    return checked_zones(tuple(_zone(part, where) for part in parts), cell, where=where)


def checked_zones(
    zones: tuple[Zone, ...], cell: SlantedCell, *, where: str = "panel"
) -> tuple[Zone, ...]:
    """The zones in order; BadInput where one leaves the panel or two overlap."""
    ordered = tuple(sorted(zones, key=lambda zone: zone.start.best))
    if not ordered:
        raise BadInput("a panel needs a zone at least", where=where)
    for zone in ordered:
        _on_panel(zone, cell, where)
    for first, second in pairwise(ordered):
        if second.start.best < first.end.best - MARKING:
            raise BadInput(
                "{look} and {second} overlap from {start} to {end}; give each place one look",
                look=first.look,
                second=second.look,
                start=_cm(second.start.best),
                end=_cm(first.end.best),
                where=where,
            )
    return ordered


def marked(position: float, error: float = MARKING) -> Interval:
    """A mark on the ruler [m] with its error [m]; never before the edge."""
    return Interval(max(position - error, 0.0), position, position + error)


def told_zones(zones: tuple[Zone, ...]) -> str:
    """The zones in the words that `zones_of` reads."""
    told = ""
    for zone in zones:
        one = said(
            "{look} {start}-{end}",
            look=LOOKS[zone.look],
            start=Quantity(zone.start.best, "cm", bare=True),
            end=Quantity(zone.end.best, "cm"),
        )
        told = said("{zones}, {zone}", zones=told, zone=one) if told else one
    return told


def _zone(part: str, where: str) -> Zone:
    word, _, ends = part.partition(" ")
    known = {look.value: look for look in Look}
    if word.lower() not in known:
        raise UnknownName("look of a panel", word, known, where=where)
    if not ends.strip():
        raise BadInput(
            "{part!r} has no ends; write for example '{word} 0-1.2 cm'",
            part=part,
            word=word,
            where=where,
        )
    written = spread(ends, where=where)
    if not written.stated or written.least or written.most:
        raise BadInput(
            "{ends!r} is no stretch; write for example '0-1.2 cm'", ends=ends, where=where
        )
    low, high = (
        quantity(f"{end!r} {written.unit}", Kind.LENGTH, where=where)
        for end in (written.value.low, written.value.high)
    )
    if not low < high:
        raise BadInput("{part!r} has no length", part=part, where=where)
    if low < 0.0:
        raise BadInput("{part!r} is not on the panel, which begins at 0", part=part, where=where)
    return Zone(look=known[word.lower()], start=marked(low), end=marked(high))


def _on_panel(zone: Zone, cell: SlantedCell, where: str) -> None:
    start, end = zone.start.best, zone.end.best
    if not (0.0 <= start < end <= cell.length + MARKING):
        raise BadInput(
            "{look} from {start} to {end} is not on the panel, which runs from 0 to {length} in "
            "the {cell} cell",
            look=zone.look,
            start=_cm(start),
            end=_cm(end),
            length=_cm(cell.length),
            cell=cell.name,
            where=where,
        )


def _cm(length: float) -> str:
    return f"{in_unit(length, 'cm'):.3g} cm"
