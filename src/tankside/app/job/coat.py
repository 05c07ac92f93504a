"""A part's coat as a job gives it: its sheet resistance, or readings to infer it from."""

import numpy as np
from scipy.spatial.transform import Rotation

from tankside.app.job import schema
from tankside.base.arrays import Floats
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.units import shown
from tankside.field.panels import Panels
from tankside.field.seed.readings import LEADS, CoatEstimate, Reading, estimated, shape_factor
from tankside.part.mesh import TriangleMesh

FARTHEST = 0.01
"""A reading's place lies this close to the part, or it was meant for something else [m]: our
guess."""


def coat_of(part: schema.Part, mesh: TriangleMesh, where: str) -> CoatEstimate | None:
    """What the readings of a part's coat tell, on its analysis surface; None where there are none.

    BadInput, placed in the job, where a reading's place is not on the part.
    """
    seed = part.seed
    if seed is None or not seed.readings:
        return None
    panels = Panels(corners=mesh.corners, group=np.ones(len(mesh.triangles), dtype=np.int64))
    everywhere = np.ones(len(panels), dtype=np.bool_)
    readings, factors = [], []
    for number, given in enumerate(seed.readings, 1):
        first, second = (_on_part(place, part, panels, where, number) for place in given.between)
        try:
            reading = Reading(first=first, second=second, resistance=given.reads)
            factors.append(shape_factor(panels, everywhere, reading))
        except BadInput as error:
            raise BadInput(error.message, where=f"{where} seed, reading {number}") from error
        readings.append(reading)
    leads = LEADS if seed.leads is None else Interval.about(seed.leads, 0.2)
    return estimated(readings, np.array(factors), leads=leads)


def coat_sentence(name: str, coat: CoatEstimate) -> str:
    """What was inferred, for the plan's assumptions."""
    found = coat.sheet_resistance
    worst = int(np.abs(np.log(coat.misfits)).argmax())
    return (
        f"{name}: {len(coat.misfits)} readings put the coat at {_ohms(found.best)} per square, "
        f"nine times in ten between {_ohms(found.low)} and {_ohms(found.high)}, if it is alike "
        f"everywhere; reading {worst + 1} lies farthest off, {coat.misfits[worst]:.2f} times what "
        "that gives."
    )


def _ohms(value: float) -> str:
    return shown(value, "ohm")


def _on_part(
    place: tuple[float, float, float],
    part: schema.Part,
    panels: Panels,
    where: str,
    number: int,
) -> Floats:
    """The place in the coordinates of the part's file (3,) [m]."""
    turn = Rotation.from_euler("xyz", part.rotate, degrees=True).as_matrix()
    found: Floats = (np.array(place) - np.array(part.at)) @ turn
    distance = float(np.linalg.norm(panels.centroids - found, axis=1).min())
    if distance > FARTHEST + float(panels.sizes.max()):
        raise BadInput(
            f"a place of reading {number} lies {shown(distance, 'mm')} from the part; give places "
            "on its surface, as it hangs in the tank",
            where=f"{where} seed",
        )
    return found
