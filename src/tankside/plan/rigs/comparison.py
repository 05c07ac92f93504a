"""What a rig gains and costs against the person's own, in plain numbers and sentences.

Two ways: the thickness of the thinnest place after the hours that the own rig takes; and hours,
copper and spread until the thinnest place has its thickness.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.messages import Quantity, said
from tankside.cell.bodies import Role
from tankside.cell.description import CellDescription, ContactSpec, Rod, Shape, Vector
from tankside.cell.standing import named
from tankside.plan.rigs.figures import RigFigures
from tankside.plan.rigs.goals import RigWish, spread_of
from tankside.plan.rigs.rig import Rig, middle_of, on_part

_NOTICED = 0.02
"""Relative difference below which nothing is said [-]."""

_SAME_SITE = 2e-3
"""A wire this near to where it was holds the same place [m]."""

_MOVED = 5e-3
"""Move below which nothing is said [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RigNumbers:
    """One rig in a person's numbers.

    thinnest_um             at the thinnest place after the hours that the own rig takes [µm]
    part_thinnest_um        the same part by part [µm]
    hours                   until the thinnest place has its thickness [h]
    copper_g                used until then [g]
    copper_elsewhere_g      of it on wires and thieves [g]
    spread                  thick places over thin ones [-]
    current_A, voltage_V    as set
    burning_area_fraction   [-]
    start_minutes           what the start on a coat costs, which `hours` counts [min]; None where
                            the start fails: then nothing is thick enough
    cover_minutes           until copper covers 99 % of the coat [min]; None where it does not in
                            time; 0 on metal
    collar_fraction         of copper's limit that thin copper round a wire bears at most [-]
    start_failure           why the start fails, or ""
    wires                   that hold the parts
    """

    thinnest_um: float
    part_thinnest_um: tuple[float, ...]
    hours: float
    copper_g: float
    copper_elsewhere_g: float
    spread: float
    current_A: float
    voltage_V: float
    burning_area_fraction: float
    start_minutes: float | None = 0.0
    cover_minutes: float | None = 0.0
    collar_fraction: float = 0.0
    start_failure: str = ""
    wires: int = 1


def rig_numbers(figures: RigFigures, own: RigFigures, wish: RigWish, wires: int = 1) -> RigNumbers:
    """A rig's numbers beside the own rig's; so many wires hold its parts."""
    start = figures.start
    time = 3600.0 * wish.hours_to_thinnest(own)
    delay = time if start.delay is None else min(time, start.delay)
    seconds = 3600.0 * wish.hours_to_thinnest(figures)
    return RigNumbers(
        thinnest_um=1e6 * (time - delay) * figures.thinnest_rate,
        part_thinnest_um=tuple(1e6 * (time - delay) * rate for rate in figures.part_thinnest_rates),
        hours=wish.hours_to_thinnest(figures),
        copper_g=1e3 * wish.copper_to_thinnest(figures),
        copper_elsewhere_g=1e3 * seconds * (figures.copper_rate - figures.part_copper_rate),
        spread=spread_of(figures),
        current_A=figures.current,
        voltage_V=figures.voltage,
        burning_area_fraction=figures.burning_fraction,
        start_minutes=None if start.delay is None else start.delay / 60.0,
        cover_minutes=None if start.covered_after is None else start.covered_after / 60.0,
        collar_fraction=start.collar_fraction,
        start_failure=start.failure,
        wires=wires,
    )


def gains_and_costs(rig: RigNumbers, own: RigNumbers) -> tuple[str, ...]:
    """Sentences, the largest differences as they stand in the table."""
    return tuple(_differences(rig, own)) or (said("No number differs by more than 2 %."),)


def changes(rig: Rig, own: Rig) -> tuple[str, ...]:
    """What to do at the tank to get from the own rig to this one."""
    return tuple(_changes(rig, own)) or (said("Nothing to move."),)


def _differences(rig: RigNumbers, own: RigNumbers) -> Iterator[str]:
    if own.start_minutes is None and rig.start_minutes is not None:
        yield said("It starts, which your own rig does not: {why}.", why=own.start_failure)
    elif rig.start_minutes is None:
        yield said("It does not start: {why}.", why=rig.start_failure)
    elif _differs(rig.thinnest_um, own.thinnest_um):
        yield (
            said(
                "Thinnest place after {time}: {mine} instead of {own} ({more}).",
                time=Quantity(3600.0 * own.hours, "h"),
                mine=Quantity(1e-6 * rig.thinnest_um, "um"),
                own=Quantity(1e-6 * own.thinnest_um, "um"),
                more=_percent(rig.thinnest_um, own.thinnest_um),
            )
        )
    for word, mine, theirs in (
        (
            said("Hours until the thinnest place has its thickness"),
            Quantity(3600.0 * rig.hours, "h"),
            Quantity(3600.0 * own.hours, "h"),
        ),
        (
            said("Copper used until then"),
            Quantity(1e-3 * rig.copper_g, "g"),
            Quantity(1e-3 * own.copper_g, "g"),
        ),
        (said("Thick places over thin ones"), Quantity(rig.spread), Quantity(own.spread)),
    ):
        new, old = mine.number, theirs.number
        if own.start_minutes is not None and _differs(new, old):
            yield said(
                "{word}: {mine} instead of {theirs} ({more}).",
                word=word,
                mine=mine,
                theirs=theirs,
                more=_percent(new, old),
            )
    yield from _of_start(rig, own)
    if rig.copper_elsewhere_g > own.copper_elsewhere_g + 0.05 * rig.copper_g:
        yield said(
            "Costs {mass} of copper on wires and thieves.",
            mass=Quantity(1e-3 * rig.copper_elsewhere_g, "g"),
        )
    if rig.burning_area_fraction > own.burning_area_fraction + 1e-3:
        yield said(
            "Costs burning on {share} % of the area.",
            share=Quantity(100 * rig.burning_area_fraction, digits=2),
        )


def _of_start(rig: RigNumbers, own: RigNumbers) -> Iterator[str]:
    if rig.cover_minutes and own.cover_minutes and _differs(rig.cover_minutes, own.cover_minutes):
        yield said(
            "Copper covers the coat after {mine} instead of {own} ({more}).",
            mine=Quantity(60.0 * rig.cover_minutes, "min"),
            own=Quantity(60.0 * own.cover_minutes, "min"),
            more=_percent(rig.cover_minutes, own.cover_minutes),
        )
    if rig.wires > own.wires:
        yield said(
            "Costs the mark of {wires} instead of {own}.", wires=_wires(rig.wires), own=own.wires
        )


def _changes(rig: Rig, own: Rig) -> Iterator[str]:
    new, old = rig.description, own.description
    yield from _poses(new, old)
    for number, anode in enumerate(new.anodes, 1):
        before = old.anodes[number - 1] if number <= len(old.anodes) else None
        yield from _body(named(Role.ANODE, number), anode, before)
    for role, mine, theirs in (
        (Role.SHIELD, new.shields, old.shields),
        (Role.THIEF, new.thieves, old.thieves),
    ):
        for number, shape in enumerate(mine, 1):
            before = theirs[number - 1] if number <= len(theirs) else None
            yield from _body(named(role, number), shape, before)
    yield from _contacts(new, old)
    if rig.turn is not None:
        yield (
            said(
                "After {after} % of the time, turn the part by {angle} degrees about the "
                "upright line, anticlockwise from above.",
                after=f"{100 * rig.turn.after:.0f}",
                angle=f"{rig.turn.angle:.0f}",
            )
        )
    if rig.current_share != own.current_share:
        yield said(
            "Set {current_share} % of the highest current that is borne.",
            current_share=f"{100 * rig.current_share:.0f}",
        )


def _poses(new: CellDescription, old: CellDescription) -> Iterator[str]:
    for number, (part, before) in enumerate(zip(new.parts, old.parts, strict=True), 1):
        if part.rotation != before.rotation:
            turned = ", ".join(f"{angle:.0f}" for angle in part.rotation)
            yield said(
                "Turn part {number} to [{turned}] degrees about x, y, z.",
                number=number,
                turned=turned,
            )
        if np.linalg.norm(middle_of(part) - middle_of(before)) > _MOVED:
            yield said(
                "Hang the middle of part {number} at {place}.",
                number=number,
                place=_place(middle_of(part)),
            )


def _body(name: str, shape: Shape, before: Shape | None) -> Iterator[str]:
    if shape == before:
        return
    size = getattr(shape, "size", None)
    if isinstance(shape, Rod):
        size = (shape.diameter, shape.length)
    words = Quantity(tuple(size or ()), "cm", between=" × ")
    at: Vector = getattr(shape, "at", (0.0, 0.0, 0.0))
    place = _place(np.array(at))
    if before is None:
        if isinstance(shape, Rod):
            added = said("Add {name}, a rod of {size}", name=name, size=words)
        else:
            added = said("Add {name}, a sheet of {size}", name=name, size=words)
        yield said("{added}, with its middle at {place}.", added=added, place=place)
        return
    old_at = np.array(getattr(before, "at", at))
    cut = getattr(before, "size", None) != getattr(shape, "size", None)
    if cut:
        yield said("Hang {name}, cut to {size}, at {place}.", name=name, size=words, place=place)
    elif np.linalg.norm(np.array(at) - old_at) > _MOVED:
        yield said("Hang {name} at {place}.", name=name, place=place)


def _contacts(new: CellDescription, old: CellDescription) -> Iterator[str]:
    """Wires whose place on their part is another; those that travel with it are not told."""
    if len(new.contacts) != len(old.contacts):
        yield said(
            "Hold with {wires} instead of {contacts}.",
            wires=_wires(len(new.contacts)),
            contacts=len(old.contacts),
        )
    before = [(contact.part or 1, _on(old, contact)) for contact in old.contacts]
    for number, contact in enumerate(new.contacts, 1):
        here = _on(new, contact)
        own = [place for part, place in before if part == (contact.part or 1)]
        if all(np.linalg.norm(here - place) > _SAME_SITE for place in own):
            near = _place(np.array(contact.near))
            yield said(
                "Hold at {near} (contact {number}), on the part as it then hangs.",
                near=near,
                number=number,
            )


def _on(description: CellDescription, contact: ContactSpec) -> Floats:
    return on_part(description.parts[(contact.part or 1) - 1], contact.near)


def _wires(count: int) -> str:
    return said("one wire") if count == 1 else said("{count} wires", count=count)


def _place(place: Floats) -> Quantity:
    return Quantity(tuple(map(float, place)), "cm", decimals=1)


def _differs(one: float, other: float) -> bool:
    return abs(one - other) > _NOTICED * abs(other)


def _percent(one: float, other: float) -> str:
    return f"{100 * (one / other - 1):+.0f} %"
