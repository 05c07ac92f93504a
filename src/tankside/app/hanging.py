"""What goes wrong with a part because of how it hangs: air that stays, bath that is carried out, a
print that floats. Sentences for the plan, so that it is seen before the part is in the tank."""

from collections.abc import Iterator

from scipy.spatial.transform import Rotation

from tankside.app.job.building import BuiltPart
from tankside.base.progress import Progress
from tankside.base.units import in_unit, shown
from tankside.part.measures import measured
from tankside.part.pockets import Pocket, pockets

WORTH_SAYING_M3 = 5e-8
"""Pockets below this are bubbles that a shake frees [m³]: our guess."""


def hanging_warnings(
    parts: tuple[BuiltPart, ...], liquid_density: float, progress: Progress
) -> tuple[str, ...]:
    """One sentence for each pocket and each floating part, with what to do."""
    return tuple(
        sentence
        for number, part in enumerate(parts, start=1)
        for sentence in _of_part(f"part {number}", part, liquid_density, progress)
    )


def _of_part(
    name: str, part: BuiltPart, liquid_density: float, progress: Progress
) -> Iterator[str]:
    turn = Rotation.from_euler("xyz", part.placed.rotation, degrees=True).as_matrix()
    up = (float(turn[2, 0]), float(turn[2, 1]), float(turn[2, 2]))
    found = pockets(part.surface.mesh, up, progress=progress)
    for pocket in found.gas:
        if pocket.volume.best >= WORTH_SAYING_M3:
            yield (
                f"{name} traps {_size(pocket)} of air as it hangs, and no copper grows under it: "
                "tilt it, turn it over, or drill a vent at the top of the pocket."
            )
    for pocket in found.liquid:
        if pocket.volume.best >= WORTH_SAYING_M3:
            yield f"{name} carries {_size(pocket)} of bath out when it is lifted: tip it empty."
    yield from _floating(name, part, liquid_density)


def _size(pocket: Pocket) -> str:
    ends = (f"{in_unit(end, 'mL'):.2g}" for end in (pocket.volume.low, pocket.volume.high))
    return " to ".join(dict.fromkeys(ends)) + " mL"


def _floating(name: str, part: BuiltPart, liquid_density: float) -> Iterator[str]:
    if part.placed.mass is None:
        return
    lift = liquid_density * measured(part.surface.mesh).outer_volume.best
    if lift > part.placed.mass:
        yield (
            f"{name} weighs {shown(part.placed.mass, 'g')} and floats: hold it down with at least "
            f"{shown(lift - part.placed.mass, 'g')} of weight in the bath, or let it fill."
        )
