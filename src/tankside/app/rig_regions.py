"""The regions file of a rig search: where wires may hold a part, in the coordinates of its file.

[[forbidden]]                       # a face that is seen
centre = ["0 mm", "20 mm", "5 mm"]
radius = "15 mm"

[[hidden]]                          # the underside
centre = ["0 mm", "0 mm", "-30 mm"]
radius = "12 mm"
part = 1
"""

import tomllib
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from tankside.app.job.complaints import fault_of
from tankside.app.job.fields import Length, Position
from tankside.base.errors import BadInput, UnknownName
from tankside.plan.rigs.contact_sites import ContactRegion, RegionKind


class _Ball(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)
    centre: tuple[Position, Position, Position]
    radius: Length
    part: int = Field(default=1, ge=1)


def read_regions(text: str, *, name: str, parts: int) -> tuple[ContactRegion, ...]:
    """The regions in `text` for a job with so many parts; BadInput names the place."""
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadInput("not a TOML file: {error}", error=error, where=name) from error
    kinds = [kind.value for kind in RegionKind]
    found = []
    for kind, entries in tables.items():
        if kind not in kinds:
            raise UnknownName("the table", kind, kinds, where=name)
        for number, entry in enumerate(entries if isinstance(entries, list) else [entries], 1):
            where = f"{name}: [{kind} {number}]"
            ball = _ball(entry, where)
            if ball.part > parts:
                known = [str(part) for part in range(1, parts + 1)]
                raise UnknownName("part", str(ball.part), known, where=f"{where} part")
            found.append(
                ContactRegion(
                    kind=RegionKind(kind), centre=ball.centre, radius=ball.radius, part=ball.part
                )
            )
    return tuple(found)


def _ball(entry: Any, where: str) -> _Ball:
    try:
        return _Ball.model_validate(entry)
    except ValidationError as error:
        first = error.errors()[0]
        key = ".".join(map(str, first["loc"]))
        raise BadInput(fault_of(first), where=f"{where} {key}") from error
