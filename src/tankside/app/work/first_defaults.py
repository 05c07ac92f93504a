"""What a first plan begins with: defaults that fit the part, and what this store knows of its tank,
bath and supply. Every one is an answer as people type it, to be changed."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING, Any

from tankside.app.bath.estimate_form import LedgerAsked, read_ledger
from tankside.app.bath.stored_ledger import StoredLedger
from tankside.app.work.example import example_answers
from tankside.app.work.plan_fields import defaults
from tankside.app.work.work import WorkKind, WorkState
from tankside.base.errors import TanksideError, UnknownName
from tankside.base.provenance import source
from tankside.base.units import Kind, in_unit, quantity
from tankside.bath.composition import Composition
from tankside.bath.families import families_of

if TYPE_CHECKING:
    from tankside.app.store_records import BathRecord, Kept
    from tankside.app.work.work import Work
    from tankside.app.work.workplace import Workplace

ROOM_BESIDE = 0.16
"""Least length of tank beyond the part, for anodes at a distance on both sides [m]: our guess."""
ROOM_ACROSS = 0.08
"""Least width of tank and depth of liquid beyond the part [m]: our guess."""
FREE_BOARD = 0.05
"""Least height of the tank over its liquid [m]: our guess."""
CAUGHT = 5e-8
"""Air caught in a part as its file lies from which it is hung upside down [m³]: our guess."""
KEPT = "kept:"
_OF_THE_SHOP = (
    "tank_length", "tank_width", "tank_height", "liquid_depth", "anodes", "anode_width",
    "anode_height", "anode_distance", "copper_sulfate", "sulfuric_acid", "chloride",
    "temperature", "agitation", "known", "wire", "current_limit", "voltage_limit",
)  # fmt: skip
"""Answers of the last plan that belong to the shop and not to its part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipe:
    """A bath that can be filled in: its name, words, why, source, and the form's answers."""

    name: str
    words: str
    why: str
    source: str
    answers: Mapping[str, str]


def defaults_of(place: "Workplace", found: Mapping[str, Any]) -> dict[str, str]:
    """Answers to begin with, for a part that was examined: those of the last plan that belong to
    the shop, or what the store knows of its tank and supply. A bath that was begun after the last
    plan is the one that is meant."""
    last = _last_plan(place)
    of_last = _of_the_shop(last) if last is not None else {}
    known = {**defaults(), "surface": "coat", **of_last}
    known |= {} if of_last else {**_kept_supply(place), **_kept_tank(place)}
    known |= _newest_bath(place, since=last.order.created if last is not None else 0.0)
    return {**known, **_room_for(known, found["box_m"]), **_turned(found)}


def begun_for(place: "Workplace", part: "Work") -> dict[str, str]:
    """Answers to begin a plan or a rig of an examined part with: the example bench's for the
    example part, and for one that is not examined yet, else `defaults_of`."""
    if part.order.options.get("example") or part.state is not WorkState.DONE:
        return {**defaults(), **example_answers(part)}
    return defaults_of(place, place.queue.folder.result(part.id))


def recipes(place: "Workplace") -> tuple[Recipe, ...]:
    """Baths to choose from: those of this store first, then the published families."""
    kept = [one for bath in place.store.baths.all() if (one := _kept_bath(place, bath)) is not None]
    return (*kept, *_published())


def middle_height(depth: str) -> str:
    """Half of the liquid's depth, as text; "" where that cannot be read."""
    try:
        return _centimetres(quantity(depth, Kind.LENGTH, where="") / 2)
    except TanksideError:
        return ""


def _last_plan(place: "Workplace") -> "Work | None":
    """The newest plan that a form was filled in for; the example part's speaks of no shop."""
    for work in place.queue.all():
        options = work.order.options
        if work.order.kind is not WorkKind.PLAN or "alternative" in options:
            continue
        if options.get("form") and not _of_the_example(place, work):
            return work
    return None


def _of_the_example(place: "Workplace", plan: "Work") -> bool:
    try:
        return bool(place.queue.get(plan.order.part).order.options.get("example"))
    except UnknownName:
        return False  # its part was put away


def _of_the_shop(plan: "Work") -> dict[str, str]:
    """What a plan's form says of the shop."""
    form = plan.order.options["form"]
    return {key: str(form[key]) for key in _OF_THE_SHOP if key in form}


def _newest_bath(place: "Workplace", *, since: float) -> dict[str, str]:
    """What the bath that was begun last holds, where that was after a moment [s since 1970]."""
    for bath in sorted(place.store.baths.all(), key=lambda one: -one.created):
        if bath.created > since and (held := _kept_bath(place, bath)) is not None:
            return dict(held.answers)
    return {}


def _kept_supply(place: "Workplace") -> dict[str, str]:
    for one in place.store.supplies.all()[-1:]:
        amps, volts = one.value.current_limit, one.value.voltage_limit
        return {"current_limit": f"{amps:g} A", "voltage_limit": f"{volts:g} V"}
    return {}


def _kept_tank(place: "Workplace") -> dict[str, str]:
    """The newest kept tank, where it is a box."""
    for one in place.store.tanks.all()[::-1]:
        table = tomllib.loads(one.value.table)
        table = table.get("tank", table)
        if table.get("shape") == "box":
            length, width, height = map(str, table["inside"])
            depth = str(table["liquid_depth"])
            return {
                "tank_length": length,
                "tank_width": width,
                "tank_height": height,
                "liquid_depth": depth,
            }
    return {}


def _room_for(known: Mapping[str, str], box: tuple[float, ...]) -> dict[str, str]:
    """A tank that the part has room in, where the known one is too small; anodes to suit it."""
    across = max(float(box[0]), float(box[1]))
    wanted = {
        "tank_length": across + ROOM_BESIDE,
        "tank_width": across + ROOM_ACROSS,
        "liquid_depth": float(box[2]) + ROOM_ACROSS,
    }
    have = {key: quantity(known[key], Kind.LENGTH, where="") for key in (*wanted, "tank_height")}
    if all(have[key] >= least for key, least in wanted.items()):
        return {"height": middle_height(known["liquid_depth"])}
    size = {key: max(have[key], least) for key, least in wanted.items()}
    size["tank_height"] = max(have["tank_height"], size["liquid_depth"] + FREE_BOARD)
    told = {key: _centimetres(value) for key, value in size.items()}
    told["anode_distance"] = _centimetres(size["tank_length"] / 2 - 0.02)
    told["anode_width"] = _centimetres(max(across, 0.6 * size["tank_width"]))
    told["anode_height"] = _centimetres(0.8 * size["liquid_depth"])
    return {**told, "height": _centimetres(size["liquid_depth"] / 2)}


def _turned(found: Mapping[str, Any]) -> dict[str, str]:
    """Upside down where air would be caught as the file lies, so that it leaves."""
    gas = (found.get("pockets") or {}).get("gas") or ()
    caught = sum(float(one["volume_m3"]) for one in gas)
    return {"turn_x": "180 deg" if caught > CAUGHT else "0 deg"}


def _kept_bath(place: "Workplace", bath: "Kept[BathRecord]") -> Recipe | None:
    """A bath of the store by its ledger; None where the ledger cannot be read as one."""
    try:
        read = read_ledger(LedgerAsked(ledger=StoredLedger(place.store, bath.id)))
    except TanksideError:
        return None  # begun without a make-up: nothing is known of what is in it
    return Recipe(
        name=f"{KEPT}{bath.id}",
        words=bath.name,
        why="What its ledger holds most likely now.",
        source="your own ledger",
        answers=_filled(read.estimate.composition),
    )


def _published() -> tuple[Recipe, ...]:
    found = []
    for one in reversed(families_of("acid sulfate")):
        windows = one.windows
        if one.name == "electroforming":
            continue
        middle = {key: (window.low + window.high) / 2 for key, window in windows.items()}
        salt = windows["copper_sulfate_pentahydrate"]
        book = source(salt.source).title if salt.source else str(salt.evidence.value)
        found.append(
            Recipe(
                name=one.name,
                words=one.words,
                why="; ".join(one.good_at),
                source=f"{book}, {salt.locator}" if salt.locator else book,
                answers=_filled(
                    Composition(
                        copper_sulfate_pentahydrate=middle["copper_sulfate_pentahydrate"],
                        sulfuric_acid=middle["sulfuric_acid"],
                        chloride=middle["chloride"],
                    )
                ),
            )
        )
    return tuple(found)


def _filled(held: Composition) -> dict[str, str]:
    return {
        "copper_sulfate": f"{held.copper_sulfate_pentahydrate:.3g} g/L",
        "sulfuric_acid": f"{held.sulfuric_acid:.3g} g/L",
        "chloride": f"{1e3 * held.chloride:.3g} mg/L",
    }


def _centimetres(value: float) -> str:
    """A length [m] in centimetres, rounded up to the half."""
    return f"{ceil(2 * in_unit(value, 'cm') - 1e-9) / 2:g} cm"
