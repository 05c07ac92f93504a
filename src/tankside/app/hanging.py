"""What goes wrong with a part because of how it hangs: air that stays, bath that is carried out, a
print that floats. Sentences for the plan, so that it is seen before the part is in the tank."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from scipy.spatial.transform import Rotation

from tankside.app.job.building import BuiltPart
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said, said_of
from tankside.base.progress import Progress
from tankside.part.measures import measured
from tankside.part.pockets import pockets

WORTH_SAYING_M3 = 5e-8
"""Pockets below this are bubbles that a shake frees [m³]: our guess."""


def hanging_warnings(
    parts: tuple[BuiltPart, ...], liquid_density: float, progress: Progress
) -> tuple[str, ...]:
    """A sentence for the pockets of each part, and for each that floats, with what to do."""
    return tuple(
        sentence
        for number, part in enumerate(parts, start=1)
        for sentence in _of_part(
            said("part {number}", number=number), part, liquid_density, progress
        )
    )


def _of_part(
    name: str, part: BuiltPart, liquid_density: float, progress: Progress
) -> Iterator[str]:
    turn = Rotation.from_euler("xyz", part.placed.rotation, degrees=True).as_matrix()
    up = (float(turn[2, 0]), float(turn[2, 1]), float(turn[2, 2]))
    found = pockets(part.surface.mesh, up, progress=progress)
    air, bath = (
        [one.volume for one in kept if one.volume.best >= WORTH_SAYING_M3]
        for kept in (found.gas, found.liquid)
    )
    if air:
        yield said_of(
            "{name} traps {much} of air as it hangs, and no copper grows under it: tilt it, turn "
            "it over, or drill a vent at the top of the pocket.",
            "{name} traps {much} of air as it hangs, in {count} pockets, and no copper grows under "
            "it: tilt it, turn it over, or drill a vent at the top of each.",
            count=len(air),
            name=name,
            much=_size(air),
        )
    if bath:
        yield said_of(
            "{name} carries {much} of bath out when it is lifted: tip it empty.",
            "{name} carries {much} of bath out when it is lifted, in {count} hollows: tip them "
            "empty.",
            count=len(bath),
            name=name,
            much=_size(bath),
        )
    yield from _floating(name, part, liquid_density)


def _size(volumes: Sequence[Interval]) -> Quantity | str:
    """What pockets hold together; their ends are taken as moving together."""
    low, high = (
        Quantity(sum(ends), "mL", 2)
        for ends in ([one.low for one in volumes], [one.high for one in volumes])
    )
    if str(low) == str(high):
        return high
    return said("{low} to {high}", low=replace(low, bare=True), high=high)


def _floating(name: str, part: BuiltPart, liquid_density: float) -> Iterator[str]:
    if part.placed.mass is None:
        return
    lift = liquid_density * measured(part.surface.mesh).outer_volume.best
    if lift > part.placed.mass:
        yield (
            said(
                "{name} weighs {mass} and floats: hold it down with at least {lift} of weight "
                "in the bath, or let it fill.",
                name=name,
                mass=Quantity(part.placed.mass, "g"),
                lift=Quantity(lift - part.placed.mass, "g"),
            )
        )
