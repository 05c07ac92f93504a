"""What a rig gains and costs against the person's own, in plain numbers and sentences.

Two ways: the thickness of the thinnest place after the hours that the own rig takes; and hours,
copper and spread until the thinnest place has its thickness.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tankside.base.arrays import Floats
from tankside.base.units import in_unit, shown
from tankside.cell.description import CellDescription, ContactSpec, Rod, Shape, Vector
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
    return tuple(_differences(rig, own)) or ("No number differs by more than 2 %.",)


def changes(rig: Rig, own: Rig) -> tuple[str, ...]:
    """What to do at the tank to get from the own rig to this one."""
    return tuple(_changes(rig, own)) or ("Nothing to move.",)


def _differences(rig: RigNumbers, own: RigNumbers) -> Iterator[str]:
    if own.start_minutes is None and rig.start_minutes is not None:
        yield f"It starts, which your own rig does not: {own.start_failure}."
    elif rig.start_minutes is None:
        yield f"It does not start: {rig.start_failure}."
    elif _differs(rig.thinnest_um, own.thinnest_um):
        yield (
            f"Thinnest place after {own.hours:.3g} h: {rig.thinnest_um:.3g} µm instead of "
            f"{own.thinnest_um:.3g} µm ({_percent(rig.thinnest_um, own.thinnest_um)})."
        )
    for word, unit, mine, theirs in (
        ("Hours until the thinnest place has its thickness", "h", rig.hours, own.hours),
        ("Copper used until then", "g", rig.copper_g, own.copper_g),
        ("Thick places over thin ones", "times", rig.spread, own.spread),
    ):
        if own.start_minutes is not None and _differs(mine, theirs):
            yield f"{word}: {mine:.3g} {unit} instead of {theirs:.3g} ({_percent(mine, theirs)})."
    yield from _of_start(rig, own)
    if rig.copper_elsewhere_g > own.copper_elsewhere_g + 0.05 * rig.copper_g:
        yield f"Costs {rig.copper_elsewhere_g:.3g} g of copper on wires and thieves."
    if rig.burning_area_fraction > own.burning_area_fraction + 1e-3:
        yield f"Costs burning on {100 * rig.burning_area_fraction:.2g} % of the area."


def _of_start(rig: RigNumbers, own: RigNumbers) -> Iterator[str]:
    if rig.cover_minutes and own.cover_minutes and _differs(rig.cover_minutes, own.cover_minutes):
        yield (
            f"Copper covers the coat after {rig.cover_minutes:.3g} min instead of "
            f"{own.cover_minutes:.3g} ({_percent(rig.cover_minutes, own.cover_minutes)})."
        )
    if rig.wires > own.wires:
        yield f"Costs the mark of {_wires(rig.wires)} instead of {own.wires}."


def _changes(rig: Rig, own: Rig) -> Iterator[str]:
    new, old = rig.description, own.description
    yield from _poses(new, old)
    for number, anode in enumerate(new.anodes, 1):
        before = old.anodes[number - 1] if number <= len(old.anodes) else None
        yield from _body(f"anode {number}", anode, before)
    for word, mine, theirs in (
        ("shield", new.shields, old.shields),
        ("thief", new.thieves, old.thieves),
    ):
        for number, shape in enumerate(mine, 1):
            before = theirs[number - 1] if number <= len(theirs) else None
            yield from _body(f"{word} {number}", shape, before)
    yield from _contacts(new, old)
    if rig.turn is not None:
        yield (
            f"After {100 * rig.turn.after:.0f} % of the time, turn the part by "
            f"{rig.turn.angle:.0f} degrees about the upright line, anticlockwise from above."
        )
    if rig.current_share != own.current_share:
        yield f"Set {100 * rig.current_share:.0f} % of the highest current that is borne."


def _poses(new: CellDescription, old: CellDescription) -> Iterator[str]:
    for number, (part, before) in enumerate(zip(new.parts, old.parts, strict=True), 1):
        if part.rotation != before.rotation:
            turned = ", ".join(f"{angle:.0f}" for angle in part.rotation)
            yield f"Turn part {number} to [{turned}] degrees about x, y, z."
        if np.linalg.norm(middle_of(part) - middle_of(before)) > _MOVED:
            yield f"Hang the middle of part {number} at {_place(middle_of(part))}."


def _body(name: str, shape: Shape, before: Shape | None) -> Iterator[str]:
    if shape == before:
        return
    size = getattr(shape, "size", None)
    if isinstance(shape, Rod):
        size = (shape.diameter, shape.length)
    words = " by ".join(shown(side, "cm") for side in size) if size else ""
    at: Vector = getattr(shape, "at", (0.0, 0.0, 0.0))
    if before is None:
        kind = "a rod of " if isinstance(shape, Rod) else "a sheet of "
        yield f"Add {name}, {kind}{words}, with its middle at {_place(np.array(at))}."
        return
    old_at = np.array(getattr(before, "at", at))
    cut = getattr(before, "size", None) != getattr(shape, "size", None)
    if cut or np.linalg.norm(np.array(at) - old_at) > _MOVED:
        yield f"Hang {name}{f', cut to {words},' if cut else ''} at {_place(np.array(at))}."


def _contacts(new: CellDescription, old: CellDescription) -> Iterator[str]:
    """Wires whose place on their part is another; those that travel with it are not told."""
    if len(new.contacts) != len(old.contacts):
        yield f"Hold with {_wires(len(new.contacts))} instead of {len(old.contacts)}."
    before = [(contact.part or 1, _on(old, contact)) for contact in old.contacts]
    for number, contact in enumerate(new.contacts, 1):
        here = _on(new, contact)
        own = [place for part, place in before if part == (contact.part or 1)]
        if all(np.linalg.norm(here - place) > _SAME_SITE for place in own):
            near = _place(np.array(contact.near))
            yield f"Hold at {near} (contact {number}), on the part as it then hangs."


def _on(description: CellDescription, contact: ContactSpec) -> Floats:
    return on_part(description.parts[(contact.part or 1) - 1], contact.near)


def _wires(count: int) -> str:
    return "one wire" if count == 1 else f"{count} wires"


def _place(place: Floats) -> str:
    return "(" + ", ".join(f"{in_unit(float(x), 'cm'):.1f}" for x in place) + ") cm"


def _differs(one: float, other: float) -> bool:
    return abs(one - other) > _NOTICED * abs(other)


def _percent(one: float, other: float) -> str:
    return f"{100 * (one / other - 1):+.0f} %"
