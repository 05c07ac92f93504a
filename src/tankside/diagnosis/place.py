"""Where on the part a fault was seen, against what the field says of that place.

A place is a point (the panels around it) or a name ("edges", "underside"). Read there are: the
fraction of copper's limit, the current density against the part's mean, the distance to the nearest
anode against the part's mean, whether it looks up or down, and the distance to the nearest contact
against the largest on the part. Each becomes a `Measured`, which readings.py weighs: burnt where
the model says 0.3 of the limit speaks for the bath, burnt where it says 1.2 for current and shape.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tankside.base.arrays import Bools, Floats, frozen_floats
from tankside.base.errors import BadInput, UnknownName
from tankside.base.intervals import Interval
from tankside.base.messages import Quantity, said
from tankside.diagnosis.evidence import Measured
from tankside.diagnosis.known_numbers import MODEL_SPREAD

if TYPE_CHECKING:
    from tankside.plan.plan import Plan

_NEAR_SHARE = 0.05
"""A point's place: the panels within this share of the part's extent [-]: our guess."""

_AS_MANY = 0.1
"""Share of the part's area that a name such as "edges" or "near a wire" takes [-]: our guess."""

_UP = 0.7
"""Vertical part of the normal from which a panel looks up or down [-]: 45°."""


@dataclass(frozen=True, kw_only=True)
class FieldOnPart:
    """The field on one part's panels, as plain arrays.

    centres             (n, 3) [m], z up
    normals             (n, 3) into the solution [-]
    areas               (n,) [m²]
    current_density     (n,) [A m⁻²]
    fraction_of_limit   (n,) [-]
    anodes              points of the anodes' surfaces (m, 3) [m]
    contacts            where wires hold the part (c, 3) [m]
    """

    centres: Floats
    normals: Floats
    areas: Floats
    current_density: Floats
    fraction_of_limit: Floats
    anodes: Floats
    contacts: Floats

    def __post_init__(self) -> None:
        for name in self.__dataclass_fields__:
            object.__setattr__(self, name, frozen_floats(getattr(self, name)))
        count = len(self.areas)
        wanted = {
            "centres": (count, 3),
            "normals": (count, 3),
            "current_density": (count,),
            "fraction_of_limit": (count,),
        }
        for name, shape in wanted.items():
            if getattr(self, name).shape != shape:
                raise BadInput(
                    "{name} has shape {shape}, not {wanted}",
                    name=name,
                    shape=getattr(self, name).shape,
                    wanted=shape,
                )
        if not count or not np.isfinite(self.fraction_of_limit).all():
            raise BadInput("the field on the part has no panels, or numbers that are not finite")


def field_of(plan: "Plan", part: int = 1) -> FieldOnPart:
    """The field on one part of a plan; BadInput where it has no such part."""
    label = f"part {part}"
    chosen = [result for result in plan.results if result.label == label]
    if not chosen:
        raise BadInput("the plan has no {label}", label=label)
    result, surface = chosen[0], chosen[0].body.surface
    anodes = [one.body.surface.corners.mean(axis=1) for one in plan.results if _is_anode(one.label)]
    contacts = [one.position for one in plan.cell.contacts if one.part == part]
    return FieldOnPart(
        centres=surface.corners.mean(axis=1),
        normals=surface.normals,
        areas=surface.areas,
        current_density=result.current_density,
        fraction_of_limit=result.fraction_of_limit,
        anodes=np.concatenate(anodes) if anodes else np.empty((0, 3)),
        contacts=np.array(contacts).reshape(-1, 3),
    )


def around_point(field: FieldOnPart, point: Floats) -> Bools:
    """The panels around a point [m], at least the nearest; BadInput where the point is farther from
    the part than its own extent."""
    away = np.linalg.norm(field.centres - np.asarray(point, dtype=np.float64), axis=1)
    extent = _extent(field)
    if away.min() > extent:
        raise BadInput(
            "the place lies {away} from the part, which is only {extent} large; give a point on "
            "the part, in the tank's coordinates",
            away=Quantity(away.min(), "cm"),
            extent=Quantity(extent, "cm"),
        )
    near: Bools = away <= away.min() + _NEAR_SHARE * extent
    return near


def named_place(field: FieldOnPart, name: str) -> Bools:
    """The panels that a name stands for; UnknownName offers close ones."""
    if name not in PLACES:
        raise UnknownName("place", name, PLACES)
    return PLACES[name](field)


def readings_at(field: FieldOnPart, place: Bools, groups: Iterable[str]) -> tuple[Measured, ...]:
    """What the field says of a place, for each group of the faults that were seen there."""
    if not place.any():
        return ()
    origin = said("the plan's field at that place")
    values = _values(field, place)
    return tuple(
        Measured(quantity=quantity, value=value, origin=origin, group=group)
        for group in dict.fromkeys(groups)
        for quantity, value in values.items()
        if group != "none"
    )


def _values(field: FieldOnPart, place: Bools) -> dict[str, Interval]:
    areas = field.areas[place]
    mean = float(np.average(field.current_density, weights=field.areas))
    found = {
        "place_fraction_of_limit": _there(field.fraction_of_limit[place], areas, MODEL_SPREAD),
        "place_facing_up": _there(field.normals[place, 2], areas, 0.0),
    }
    if mean > 0.0:
        ratio = field.current_density / mean
        found["place_current_density_ratio"] = _there(ratio[place], areas, MODEL_SPREAD)
    if len(field.anodes):
        away = _distances(field.centres, field.anodes)
        usual = float(np.average(away, weights=field.areas))
        found["place_anode_distance_ratio"] = _there(away[place] / usual, areas, 0.0)
    if len(field.contacts):
        away = _distances(field.centres, field.contacts)
        found["place_contact_distance_ratio"] = _there(away[place] / away.max(), areas, 0.0)
    return found


def _there(values: Floats, areas: Floats, spread: float) -> Interval:
    """Mean by area, with the range over the place widened by the model's own spread."""
    best = float(np.average(values, weights=areas))
    low, high = (float(end) for end in np.percentile(values, (5.0, 95.0)))
    room = spread * abs(best)
    return Interval(min(low, best) - room, best, max(high, best) + room)


def _distances(points: Floats, targets: Floats) -> Floats:
    """From each point to the nearest target [m], a few hundred points at a time."""
    nearest = [
        np.linalg.norm(points[k : k + 256, None] - targets[None], axis=2).min(axis=1)
        for k in range(0, len(points), 256)
    ]
    return np.concatenate(nearest)


def _extent(field: FieldOnPart) -> float:
    return float(np.linalg.norm(np.ptp(field.centres, axis=0)))


def _is_anode(label: str) -> bool:
    return label.startswith("anode ")


def _largest(values: Floats, areas: Floats) -> Bools:
    """The panels with the largest values, until a tenth of the area is taken."""
    order = np.argsort(values)[::-1]
    taken = np.cumsum(areas[order]) - areas[order] < _AS_MANY * areas.sum()
    chosen = np.zeros(len(values), dtype=np.bool_)
    chosen[order[taken]] = True
    return chosen


def _none(field: FieldOnPart) -> Bools:
    return np.zeros(len(field.areas), dtype=np.bool_)


def _by_contacts(field: FieldOnPart, sign: float) -> Bools:
    if not len(field.contacts):
        return _none(field)
    return _largest(sign * _distances(field.centres, field.contacts), field.areas)


def _by_anodes(field: FieldOnPart, sign: float) -> Bools:
    if not len(field.anodes):
        return _none(field)
    return _largest(sign * _distances(field.centres, field.anodes), field.areas)


PLACES: Mapping[str, Callable[[FieldOnPart], Bools]] = {
    said("edges"): lambda field: _largest(field.current_density, field.areas),
    said("recesses"): lambda field: _largest(-field.current_density, field.areas),
    said("top"): lambda field: field.normals[:, 2] > _UP,
    said("underside"): lambda field: field.normals[:, 2] < -_UP,
    said("near a wire"): lambda field: _by_contacts(field, -1.0),
    said("far from the wires"): lambda field: _by_contacts(field, 1.0),
    said("towards an anode"): lambda field: _by_anodes(field, -1.0),
    said("away from the anodes"): lambda field: _by_anodes(field, 1.0),
    said("everywhere"): lambda field: ~_none(field),
}
"""Names of places; "edges" are the tenth of the area with the highest current, "recesses" with the
lowest."""
