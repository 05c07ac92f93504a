"""Use case: what a part carries out of the bath, and how rinses thin it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tankside.app.bath.borders import within_laws
from tankside.app.bath.entries import concentration_range, sized
from tankside.app.forms import ends
from tankside.base.errors import BadInput, UnknownName
from tankside.base.units import Kind, quantity
from tankside.bath.rinsing import (
    DragOut,
    dragged_out,
    film,
    parts_until,
    returned_share,
    rinse_goals,
    still_rinses,
    water_for,
)
from tankside.substances import molar_mass

MOST_PARTS = 100_000
"""Parts up to which still rinses are followed [-]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RinseRequest:
    """A part and its rinses as typed.

    film         how it drains, by name
    stages       running rinses against the flow of parts
    still        volumes of still rinses in a row
    parts        so many parts go through them
    goal         how thin the last rinse should be, by name
    evaporated   from the bath while `parts` parts go through, "" where not known
    """

    area: str
    copper: str
    acid: str
    film: str = "vertical well drained"
    stages: int = 2
    still: Sequence[str] = ()
    parts: int = 1
    goal: str = "plated work"
    evaporated: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RinseReply:
    """What goes out with one part, and what the rinses do.

    ratio            by how much the last rinse is to be thinner than the bath [-]
    running          water [m³] a part for 1, 2, ... stages
    still            of each still rinse after the parts: its share of the bath [-]
    parts_until      parts that the still rinses take before the goal is missed, None without any
    returned         share of the drag-out that comes back with the first rinse's water [-]
    """

    film_words: str
    carried: DragOut
    ratio: float
    running: tuple[float, ...]
    still: tuple[float, ...]
    parts: int
    parts_until: int | None
    returned: float | None

    def as_json(self) -> dict[str, Any]:
        """All of it with SI numbers."""
        return {
            "film": self.film_words,
            "drag_out_m3": ends(self.carried.volume),
            "copper_kg": ends(self.carried.copper_carried),
            "sulfuric_acid_kg": ends(self.carried.acid_carried),
            "ratio": self.ratio,
            "running_water_m3_per_part": list(self.running),
            "still_rinses_share_of_bath": list(self.still),
            "parts": self.parts,
            "parts_until_goal_is_missed": self.parts_until,
            "returned_share": self.returned,
        }


@within_laws
def rinse_a_part(request: RinseRequest) -> RinseReply:
    """What the part carries and the rinses do; BadInput for what cannot be."""
    goals = rinse_goals()
    if request.goal not in goals:
        raise UnknownName("goal of rinsing", request.goal, goals, where="--goal")
    if not 1 <= request.parts <= MOST_PARTS:
        raise BadInput(
            "follow 1 to {most_parts} parts, not {parts}",
            most_parts=MOST_PARTS,
            parts=request.parts,
            where="--parts",
        )
    chosen = film(request.film)
    area = sized(quantity(request.area, Kind.AREA, where="--area"), request.area, Kind.AREA,
                 zero=False, where="--area")  # fmt: skip
    carried = dragged_out(
        area,
        chosen,
        copper=concentration_range(request.copper, where="--copper", molar_mass=molar_mass("Cu")),
        sulfuric_acid=concentration_range(
            request.acid, where="--acid", molar_mass=molar_mass("H2SO4")
        ),
    )
    ratio, drag_out = goals[request.goal], carried.volume.best
    volumes = [
        sized(quantity(text, Kind.VOLUME, where="--still"), text, Kind.VOLUME, zero=False,
              where="--still")
        for text in request.still
    ]  # fmt: skip
    return RinseReply(
        film_words=chosen.words,
        carried=carried,
        ratio=ratio,
        running=tuple(drag_out * water_for(stage, ratio) for stage in range(1, request.stages + 1)),
        still=tuple(float(one) for one in still_rinses(volumes, drag_out, request.parts))
        if volumes
        else (),
        parts=request.parts,
        parts_until=parts_until(volumes, drag_out, ratio) if volumes else None,
        returned=_returned(request, drag_out),
    )


def _returned(request: RinseRequest, drag_out: float) -> float | None:
    if not request.evaporated:
        return None
    evaporated = sized(
        quantity(request.evaporated, Kind.VOLUME, where="--evaporated"), request.evaporated,
        Kind.VOLUME, zero=True, where="--evaporated",
    )  # fmt: skip
    return returned_share(evaporated, drag_out * request.parts)
