"""A part's coat as a job gives it: paints by region, known or inferred from readings.

Each paint with readings has its sheet resistance from them alone, with the other paints at their
best guess: paints are gone through in turn until none moves by more than a thousandth.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.spatial.transform import Rotation

from tankside.app.job import schema
from tankside.base.arrays import Bools, Floats
from tankside.base.errors import BadInput
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.cell.coating import Ball, Box, PaintedRegion, SeedCoat
from tankside.field.panels import Panels
from tankside.field.seed.coat import Coat
from tankside.field.seed.readings import (
    LEADS,
    CoatEstimate,
    Reading,
    estimated,
    resistance_between,
    shape_factor,
)
from tankside.part.mesh import TriangleMesh

FARTHEST = 0.01
"""A reading's place lies this close to the part, or it was meant for something else [m]: our
guess."""

_ROUNDS = 12
_SETTLED = 1e-3
"""Change of a sheet resistance from one round to the next that is none [-]."""


@dataclass(frozen=True, kw_only=True)
class JobCoat:
    """The coat; and what readings told of its paints, by the paint's name in sentences."""

    coat: SeedCoat
    inferred: dict[str, CoatEstimate]


def coat_of(part: schema.Part, mesh: TriangleMesh, where: str) -> JobCoat | None:
    """The coat of a part with this analysis surface; None where it is metal.

    BadInput, placed in the job, where a reading's place is not on the part or not in its region, or
    where a region lies beside the part.
    """
    seed = part.seed
    if seed is None:
        return None
    where = f"{where} seed"
    panels = Panels(corners=mesh.corners, group=np.ones(len(mesh.triangles), dtype=np.int64))
    coat = SeedCoat(
        sheet_resistance=seed.sheet_resistance or Interval.exact(1.0),
        regions=tuple(
            _region(region, mesh, f"{where}, region {number}")
            for number, region in enumerate(seed.region, 1)
        ),
        strokes=seed.brush,
        across_over_along=seed.across,
    )
    given = (seed.readings, *(region.readings for region in seed.region))
    paints = [
        _Read.of(place, readings, part, panels, coat, where)
        for place, readings in enumerate(given)
        if readings
    ]
    leads = LEADS if seed.leads is None else Interval.about(seed.leads, 0.2)
    return _inferred(coat, paints, panels, leads)


def coat_sentences(name: str, told: JobCoat) -> tuple[str, ...]:
    """What was inferred, for the plan's assumptions."""
    return tuple(
        _sentence(f"{name}, {paint}" if paint else name, found)
        for paint, found in told.inferred.items()
    )


def _sentence(name: str, found: CoatEstimate) -> str:
    sheet = found.sheet_resistance
    worst = int(np.abs(np.log(found.misfits)).argmax())
    return said(
        "{name}: {count} readings put the coat at {ohms} per square, nine times in "
        "ten between {low} and {high}, if it is alike everywhere there; reading "
        "{number} lies farthest off, {misfit} times what that gives.",
        name=name,
        count=len(found.misfits),
        ohms=_ohms(sheet.best),
        low=_ohms(sheet.low),
        high=_ohms(sheet.high),
        number=worst + 1,
        misfit=f"{found.misfits[worst]:.2f}",
    )


def _ohms(value: float) -> Quantity:
    return Quantity(value, "ohm")


def _region(given: schema.SeedRegion, mesh: TriangleMesh, where: str) -> PaintedRegion:
    shape: Ball | Box
    if given.box is not None:
        one, other = np.array(given.box)
        low, high = np.minimum(one, other), np.maximum(one, other)
        shape = Box(low=_vector(low), high=_vector(high))
    elif given.centre is not None and given.radius is not None:
        shape = Ball(centre=given.centre, radius=given.radius)
    else:
        raise BadInput("give either centre and radius, or box", where=where)
    if not shape.holds(mesh.centroids).any():
        raise BadInput(
            "holds no place of the part; give it in the coordinates of the part's file, or larger",
            where=where,
        )
    paint = given.sheet_resistance or Interval.exact(1.0)
    return PaintedRegion(
        where=shape, sheet_resistance=None if given.bare else paint, strokes=given.brush
    )


@dataclass(frozen=True, kw_only=True)
class _Read:
    """Readings of one paint: its place among them (0 for the coat at large), and its name."""

    place: int
    name: str
    readings: tuple[Reading, ...]

    @classmethod
    def of(
        cls,
        place: int,
        given: tuple[schema.CoatReading, ...],
        part: schema.Part,
        panels: Panels,
        coat: SeedCoat,
        where: str,
    ) -> "_Read":
        """Both tips are on this paint."""
        own = _paint_at(coat, panels.centroids) == place
        where = where if place == 0 else f"{where}, region {place}"
        found = []
        for number, entry in enumerate(given, 1):
            here = f"{where}, reading {number}"
            first, second = (_on_part(spot, part, panels, own, here) for spot in entry.between)
            try:
                reading = Reading(first=first, second=second, resistance=entry.reads)
                shape_factor(panels, _conducting(coat, panels.centroids), reading)
            except BadInput as error:
                raise BadInput(error.message, where=here) from error
            found.append(reading)
        name = f"region {place}" if place else ""
        return cls(place=place, name=name, readings=tuple(found))


def _inferred(coat: SeedCoat, paints: list[_Read], panels: Panels, leads: Interval) -> JobCoat:
    """Paint by paint, until they agree."""
    found: dict[str, CoatEstimate] = {}
    for _ in range(_ROUNDS if paints else 0):
        before = coat
        for paint in paints:
            guess = _sheet(coat, paint.place).best
            laid = coat.laid_on(panels.centroids)
            told = Coat(
                sheet_resistance=laid.best,
                strokes=laid.strokes,
                across_over_along=laid.across_over_along,
            )
            between = [resistance_between(panels, told, reading) for reading in paint.readings]
            estimate = estimated(paint.readings, np.array(between) / guess, leads=leads)
            found[paint.name] = estimate
            coat = _painted(coat, paint.place, estimate.sheet_resistance)
        moved = [
            abs(np.log(_sheet(coat, p.place).best / _sheet(before, p.place).best)) for p in paints
        ]
        if max(moved) < _SETTLED:
            return JobCoat(coat=coat, inferred=found)
    if paints:
        raise BadInput(
            "the readings of the regions do not agree on any sheet resistances; measure each paint "
            "with both tips well inside it"
        )
    return JobCoat(coat=coat, inferred=found)


def _sheet(coat: SeedCoat, place: int) -> Interval:
    paint = coat.sheet_resistance if place == 0 else coat.regions[place - 1].sheet_resistance
    if paint is None:
        raise TypeError("a bare region has no readings")
    return paint


def _painted(coat: SeedCoat, place: int, paint: Interval) -> SeedCoat:
    if place == 0:
        return replace(coat, sheet_resistance=paint)
    regions = list(coat.regions)
    regions[place - 1] = replace(regions[place - 1], sheet_resistance=paint)
    return replace(coat, regions=tuple(regions))


def _paint_at(coat: SeedCoat, places: Floats) -> Floats:
    """Number of the region that lies on top at each place (n,), 0 for the coat at large."""
    number = np.zeros(len(places))
    for place, region in enumerate(coat.regions, 1):
        number[region.where.holds(places)] = place
    return number


def _conducting(coat: SeedCoat, places: Floats) -> Bools:
    return np.isfinite(coat.laid_on(places).best)


def _on_part(
    place: tuple[float, float, float],
    part: schema.Part,
    panels: Panels,
    own: Bools,
    where: str,
) -> Floats:
    """The place in the coordinates of the part's file (3,) [m]."""
    turn = Rotation.from_euler("xyz", part.rotate, degrees=True).as_matrix()
    found: Floats = (np.array(place) - np.array(part.at)) @ turn
    away = np.linalg.norm(panels.centroids - found, axis=1)
    if away.min() > FARTHEST + float(panels.sizes.max()):
        raise BadInput(
            "a place lies {away} from the part; give places on its surface, as it hangs in the "
            "tank",
            away=Quantity(float(away.min()), "mm"),
            where=where,
        )
    if not own[away.argmin()]:
        raise BadInput(
            "a place lies on another paint; put both tips on the paint that is read", where=where
        )
    return found


def _vector(values: Floats) -> tuple[float, float, float]:
    x, y, z = values.tolist()
    return x, y, z
