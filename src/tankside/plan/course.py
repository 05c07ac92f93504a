"""How a deposit came to be what it is: the field and the copper at a few moments of a growth.

Only a growth whose field changes is watched, that of a part which conducts through a coat. On solid
metal the field of a plan stands from the first second to the last, so that its thickness at any
moment is the last one's share by time.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tankside.base.arrays import Floats
from tankside.cell.bodies import Cell
from tankside.field.deposit import Moment
from tankside.field.problem import FieldSolution
from tankside.plan.plan import BodyResult, CourseMoment

MOST_KEPT = 240
"""Moments held while the growth goes on: beyond, every second one is dropped."""

EARLY, LATE = 7, 6
"""Moments told of the start, and from its end to the goal."""

_Kept = tuple[float, npt.NDArray[np.float32], npt.NDArray[np.float32], npt.NDArray[np.float32]]


@dataclass
class CourseWatch:
    """Gathers moments of a growth; give it to `grow` as its watch."""

    cell: Cell

    def __post_init__(self) -> None:
        self._kept: list[_Kept] = []
        self._last: _Kept | None = None

    def __call__(self, moment: Moment) -> None:
        """Takes a step that was made."""
        if self._last is None:
            self._kept.append(_kept(moment.start, moment.thickness_before, moment.before))
        self._last = _kept(moment.end, moment.thickness, moment.after)
        self._kept.append(self._last)
        if len(self._kept) > MOST_KEPT:
            self._kept = self._kept[::2]

    def course(self, start_ends: float) -> tuple[CourseMoment, ...]:
        """Moments from switch-on to the end; the more of them up to `start_ends` [s]."""
        if self._last is None:
            return ()
        kept = self._kept if self._kept[-1] is self._last else [*self._kept, self._last]
        times = np.array([entry[0] for entry in kept])
        between = min(start_ends, times[-1])
        wanted = np.concatenate(
            [np.linspace(0.0, between, EARLY), np.linspace(between, times[-1], LATE)[1:]]
        )
        nearest = np.abs(times[:, None] - wanted).argmin(axis=0)
        chosen = sorted({*nearest.tolist(), 0, len(kept) - 1})
        return tuple(self._told(kept[number]) for number in chosen)

    def _told(self, kept: _Kept) -> CourseMoment:
        ends = np.cumsum([len(body.surface.triangles) for body in self.cell.bodies])[:-1]
        thickness, density, fraction = (np.split(field, ends) for field in kept[1:])
        return CourseMoment(
            time=kept[0],
            results=tuple(
                BodyResult(
                    body=body,
                    thickness=_wide(thickness[number]),
                    current_density=_wide(density[number]),
                    fraction_of_limit=_wide(fraction[number]),
                )
                for number, body in enumerate(self.cell.bodies)
            ),
        )


def _kept(time: float, thickness: Floats, field: FieldSolution) -> _Kept:
    return (
        time,
        thickness.astype(np.float32),
        field.current_density.astype(np.float32),
        field.fraction_of_limit.astype(np.float32),
    )


def _wide(values: npt.NDArray[np.float32]) -> Floats:
    return values.astype(np.float64)
