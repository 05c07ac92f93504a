"""Use case: from a search's form, as typed, to what it is to do; or what is wrong, by field.

Regions are rows of the form: "region.0.kind", "region.0.near.0" and so on, in the tank's
coordinates, because that is where a person points at them.
"""

import re
from collections.abc import Mapping

from tankside.app.rig.editing import length_text
from tankside.app.rig.searching import Ball, SearchWish
from tankside.app.rig_options import FREEDOMS
from tankside.app.work.plan_form import FormFault
from tankside.base.errors import BadInput
from tankside.base.units import Kind, quantity
from tankside.base.wording import quoting, term
from tankside.cell.description import Vector

USUAL_RADIUS = "10 mm"
_MIDDLE = (0.0, 0.0, 0.0)
_NUMBER = re.compile(r"^region\.(\d{1,3})\.kind$")


def regions_in(typed: Mapping[str, str]) -> list[int]:
    """Numbers of the form's regions, in order."""
    return sorted(int(found[1]) for key in typed if (found := _NUMBER.match(key)))


def typed_regions(
    typed: Mapping[str, str], add: tuple[Vector | None, int] | None = None, drop: int | None = None
) -> dict[str, str]:
    """The answers with a region more, where the surface was clicked on a part, or one less."""
    found = {key: value for key, value in typed.items() if not key.startswith("spot_")}
    if drop is not None:
        found = {key: value for key, value in found.items() if not _of(key, drop)}
    if add is not None:
        spot, part = add
        number = max(regions_in(found), default=-1) + 1
        head = f"region.{number}"
        found[f"{head}.kind"] = "forbidden"
        for k, value in enumerate(spot or _MIDDLE):
            found[f"{head}.near.{k}"] = length_text(value)
        found |= {f"{head}.radius": USUAL_RADIUS, f"{head}.part": str(part)}
    return found


def wish_of(typed: Mapping[str, str]) -> SearchWish:
    """What the search is to do; FormFault with a sentence for each answer that is wrong."""
    faults: dict[str, str] = {}
    minutes = _plain(typed, "minutes", faults)
    rigs = _plain(typed, "rigs", faults)
    times = {key: typed.get(key, "").strip() for key in ("within", "start_within")}
    for key, time in times.items():
        if time:
            _read(time, Kind.TIME, key, faults)
    balls = [_ball(typed, number, faults) for number in regions_in(typed)]
    if faults:
        raise FormFault(faults)
    return SearchWish(
        goal=typed.get("goal", "thinnest"),
        allow=tuple(word for word in FREEDOMS if typed.get(f"allow_{word}")),
        within=times["within"],
        start_within=times["start_within"],
        minutes=minutes,
        rigs=round(rigs),
        regions=tuple(balls),
    )


def _ball(typed: Mapping[str, str], number: int, faults: dict[str, str]) -> Ball:
    head = f"region.{number}"
    x, y, z = (
        _read(typed.get(f"{head}.near.{k}", ""), Kind.LENGTH, f"{head}.near.{k}", faults)
        for k in range(3)
    )
    radius = _read(typed.get(f"{head}.radius", ""), Kind.LENGTH, f"{head}.radius", faults)
    if radius <= 0:
        faults.setdefault(f"{head}.radius", term("the radius must be above zero"))
    part = typed.get(f"{head}.part", "1")
    return Ball(
        kind=typed[f"{head}.kind"],
        centre=(x, y, z),
        radius=radius,
        part=int(part) if part.isascii() and part.isdigit() and len(part) < 4 else 0,
    )


def _read(text: str, kind: Kind, key: str, faults: dict[str, str]) -> float:
    try:
        return quantity(text.strip(), kind, where="")
    except BadInput as error:
        faults[key] = error.message
        return 0.0


def _plain(typed: Mapping[str, str], key: str, faults: dict[str, str]) -> float:
    """A number without a unit, with point or comma."""
    text = typed.get(key, "").strip().replace(",", ".")
    if not re.fullmatch(r"\d{1,4}(\.\d{0,3})?", text):
        faults[key] = quoting("{text!r} is not a number", text=typed.get(key, ""))
        return 0.0
    return float(text)


def _of(key: str, number: int) -> bool:
    return key.startswith(f"region.{number}.")
