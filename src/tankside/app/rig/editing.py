"""Use case: a job's tables as fields with their answers, and the job with other answers.

Answers that were not touched leave the file's own text as it is. A part that is moved or turned
takes its contacts along, except those that were placed anew in the same breath.
"""

import copy
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from tankside.app.job.reading import read_job
from tankside.app.job.writing import toml_text
from tankside.app.rig import fields as f
from tankside.app.rig.fields import Spec
from tankside.app.rig.poses import Box, Pose, angles_of, direction_of
from tankside.app.work.plan_form import JOB_NAME, FormFault, check_job
from tankside.base.errors import BadInput
from tankside.base.units import Kind, in_unit, quantity
from tankside.base.wording import quoting
from tankside.cell.description import Vector

Tables = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class RigField:
    """A field with its answer as text."""

    key: str
    spec: Spec
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RigGroup:
    """One thing of the rig: its key such as "anode.0", its words and number (0 where there is only
    one), what it is made of, and its fields."""

    key: str
    words: str
    number: int
    shape: str
    fields: tuple[RigField, ...]


def tables_of(text: str) -> Tables:
    """A job's tables, the part always as a list; BadInput where it is no job."""
    read_job(text, name=JOB_NAME)
    tables = tomllib.loads(text)
    if isinstance(tables["part"], dict):
        tables["part"] = [tables["part"]]
    return tables


def text_of(tables: Tables) -> str:
    """The job file's text, checked; FormFault where it is no job, or unsafe."""
    parts = tables["part"]
    told = {**tables, "part": parts[0] if len(parts) == 1 else parts}
    text = toml_text({key: value for key, value in told.items() if value != []})
    check_job(text)
    return text


def groups_of(tables: Tables, boxes: Sequence[Box]) -> tuple[RigGroup, ...]:
    """Every thing of the rig with its fields, in the order of a page."""
    found: list[RigGroup] = []
    for key, words, number, table, specs in _things(tables):
        answers = tuple(
            RigField(key=f"{key}.{spec.path}", spec=spec, value=_told(table, spec, number, boxes))
            for spec in specs
        )
        shape = str(table.get("shape", table.get("file", "")))
        found.append(RigGroup(key=key, words=words, number=number, shape=shape, fields=answers))
    return tuple(found)


def answers_of(tables: Tables, boxes: Sequence[Box]) -> dict[str, str]:
    """All answers by key."""
    return {one.key: one.value for group in groups_of(tables, boxes) for one in group.fields}


def places_of(tables: Tables, boxes: Sequence[Box]) -> dict[str, Vector]:
    """Where everything is that can be moved [m]: middles, and where contacts touch."""
    found = {
        f"{name}.{number}": point_of(table["near" if name == "contact" else "at"])
        for name in f.LISTS
        for number, table in enumerate(tables.get(name, ()))
    }
    for number, part in enumerate(tables["part"]):
        found[f"part.{number}"] = pose_of(part).middle(boxes[number])
    return found


def with_answers(tables: Tables, typed: Mapping[str, str], boxes: Sequence[Box]) -> Tables:
    """The tables with other answers; FormFault with a sentence for each that is wrong."""
    known = {one.key: one for group in groups_of(tables, boxes) for one in group.fields}
    changed = {
        key: typed[key].strip()
        for key, one in known.items()
        if key in typed and typed[key].strip() != one.value
    }
    faults = {
        key: said for key, answer in changed.items() if (said := fault_of(known[key].spec, answer))
    }
    if faults:
        raise FormFault(faults)
    edited = copy.deepcopy(tables)
    poses = {number: pose_of(part) for number, part in enumerate(tables["part"])}
    for key, answer in changed.items():
        _set(edited, key, known[key].spec, answer)
    for number, old in poses.items():
        _hang(edited, number, old, changed, boxes[number])
    return edited


def fault_of(spec: Spec, answer: str) -> str:
    """What is wrong with one answer, in a sentence; "" where nothing is."""
    if spec.kind is None:
        known = [value for value, _ in spec.choices]
        return (
            ""
            if answer in known
            else quoting("{answer!r} is not one of {known}", answer=answer, known=", ".join(known))
        )
    if not answer and spec.optional:
        return ""
    try:
        value = quantity(answer, spec.kind, where="")
    except BadInput as error:
        return error.message
    if not spec.signed and value <= 0:
        return quoting("{answer!r} must be above zero", answer=answer)
    return ""


def pose_of(part: Mapping[str, Any]) -> Pose:
    """How a [part] table hangs."""
    return Pose(at=point_of(part["at"]), rotate=_three(part.get("rotate", (0.0, 0.0, 0.0))))


def point_of(texts: Sequence[Any]) -> Vector:
    """A point as the file has it [m]."""
    return _three([quantity(text, Kind.LENGTH, where="") for text in texts])


def point_text(point: Sequence[float]) -> list[str]:
    """A point [m] as the file has it."""
    return [length_text(value) for value in point]


def length_text(value: float) -> str:
    """A length [m] in millimetres, to the thousandth."""
    return f"{round(in_unit(value, 'mm'), 3) + 0.0:.10g} mm"


def _things(tables: Tables) -> Iterator[tuple[str, str, int, Tables, Sequence[Spec]]]:
    """Key, words, number, table and fields of every thing."""
    for number, part in enumerate(tables["part"]):
        seed = part.get("seed", {})
        specs = f.MEASURED_PART if "readings" in seed else f.PART
        yield f"part.{number}", "Part", number + 1, part, specs
    for key, words in f.LISTS.items():
        for number, table in enumerate(tables.get(key, ())):
            specs = f.CONTACT if key == "contact" else f.SHAPES[table["shape"]]
            yield f"{key}.{number}", words, number + 1, table, specs
    tank = tables["tank"]
    corners = tuple(f.corners(len(tank.get("footprint", ()))))
    yield "tank", "Tank", 0, tank, (*f.TANKS[tank["shape"]], *corners)
    bath = tables["bath"]
    yield "bath", "Bath", 0, bath, [one for one in f.BATH if one.path in bath]
    yield "supply", "Supply", 0, tables["supply"], f.SUPPLY
    yield "goal", "Goal", 0, tables["goal"], f.GOAL


def _told(table: Tables, spec: Spec, number: int, boxes: Sequence[Box]) -> str:
    """The answer that a table gives to a field."""
    head, _, last = spec.path.partition(".")
    if head == "middle":
        return length_text(pose_of(table).middle(boxes[number - 1])[int(last)])
    if head in ("facing", "axis"):
        usual = (1.0, 0.0, 0.0) if head == "facing" else (0.0, 0.0, 1.0)
        angles = angles_of(_three(table.get(head, usual)))
        return _degrees(angles[0 if last == "turn" else 1])
    if head == "rotate":
        return _degrees(_three(table.get("rotate", (0.0, 0.0, 0.0)))[int(last)])
    if head == "surface":
        return "metal" if "surface" in table else "coat"
    if head == "insulated":
        return "yes" if table.get("insulated") else "no"
    if head == "measured_at":
        return str(table.get("measured_at", "mean"))
    found: Any = table
    for step in spec.path.split("."):
        if isinstance(found, dict):
            found = found.get(step, "")
        elif found != "":
            found = found[int(step)]
    return str(found)


def _set(tables: Tables, key: str, spec: Spec, answer: str) -> None:
    """Writes one changed answer into its table."""
    table = _table(tables, key.removesuffix(f".{spec.path}"))
    head, _, last = spec.path.partition(".")
    if head in ("middle", "seed"):
        if head == "seed" and "surface" not in table:
            table["seed"] = {"sheet_resistance": answer} if answer else {}
    elif head in ("facing", "axis"):
        usual = (1.0, 0.0, 0.0) if head == "facing" else (0.0, 0.0, 1.0)
        turn, tilt = angles_of(_three(table.get(head, usual)))
        new = in_unit(quantity(answer, Kind.ANGLE, where=""), "deg")
        turn, tilt = (new, tilt) if last == "turn" else (turn, new)
        table[head] = list(direction_of(turn, tilt))
    elif head == "rotate":
        angles = list(_three(table.get("rotate", (0.0, 0.0, 0.0))))
        angles[int(last)] = round(in_unit(quantity(answer, Kind.ANGLE, where=""), "deg"), 6)
        table["rotate"] = angles
    elif head == "surface":
        _resurface(table, answer)
    elif head == "insulated":
        table["insulated"] = answer == "yes"
    elif spec.optional and not answer:
        table.pop(head, None)
    else:
        _put(table, spec.path, answer)


def _put(table: Tables, path: str, answer: str) -> None:
    *steps, last = path.split(".")
    found: Any = table
    for step in steps:
        found = found[int(step)] if isinstance(found, list) else found[step]
    if isinstance(found, list):
        found[int(last)] = answer
    else:
        found[last] = answer


def _resurface(table: Tables, answer: str) -> None:
    if answer == "metal":
        table.pop("seed", None)
        table["surface"] = "metal"
    else:
        table.pop("surface", None)
        table.setdefault("seed", {"sheet_resistance": USUAL_COAT})


USUAL_COAT = "10 ohm"
"""Sheet resistance of a coat until the person says it: our guess."""


def _hang(
    tables: Tables,
    number: int,
    old: Pose,
    changed: Mapping[str, str],
    box: Box,
) -> None:
    """Hangs a part as answered, and takes its contacts along."""
    keys = [f"part.{number}.{what}.{k}" for what in ("middle", "rotate") for k in range(3)]
    if not any(key in changed for key in keys):
        return
    part = tables["part"][number]
    was = old.middle(box)
    middle = _three(
        [
            quantity(changed[key], Kind.LENGTH, where="") if key in changed else was[k]
            for k, key in enumerate(keys[:3])
        ]
    )
    new = replace(old, rotate=pose_of(part).rotate).with_middle(middle, box)
    part["at"] = point_text(new.at)
    for place, contact in enumerate(tables["contact"]):
        placed = any(f"contact.{place}.near.{k}" in changed for k in range(3))
        if contact.get("part", 1) != number + 1 or placed:
            continue
        contact["near"] = point_text(old.carried(point_of(contact["near"]), new))
        if "via" in contact:
            contact["via"] = [
                point_text(old.carried(point_of(point), new)) for point in contact["via"]
            ]


def _table(tables: Tables, key: str) -> Tables:
    name, _, number = key.partition(".")
    found: Tables = tables[name][int(number)] if number else tables[name]
    return found


def _degrees(value: float) -> str:
    return f"{round(value, 3) + 0.0:.10g} deg"


def _three(values: Sequence[float]) -> Vector:
    x, y, z = (float(value) for value in values)
    return (x, y, z)
