"""Writes a job file anew with another rig: the person's tables stay, what hangs is replaced.

Lengths are written in millimetres to the hundredth. Comments of the original are lost.
"""

import json
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from tankside.base.intervals import Interval
from tankside.base.units import in_unit
from tankside.cell.coating import SeedCoat
from tankside.cell.description import (
    Basket,
    CellDescription,
    ContactSpec,
    MeshShape,
    PlacedPart,
    Plate,
    Rod,
    Shape,
)


def job_text(
    original: str,
    description: CellDescription,
    *,
    goal: Mapping[str, Any] | None = None,
    head: tuple[str, ...] = (),
) -> str:
    """The text of a job file.

    original      the person's own job file, valid
    description   how everything hangs; meshes of anodes, shields and thieves are told by the
                  original's entries of the same number
    goal          keys of [goal] to set
    head          lines of a comment at the top
    """
    tables = tomllib.loads(original)
    parts = tables["part"] if isinstance(tables["part"], list) else [tables["part"]]
    placed = [
        {**table, **_part(part), **_coated(table, part.coat)}
        for table, part in zip(parts, description.parts, strict=True)
    ]
    tables["part"] = placed if isinstance(tables["part"], list) else placed[0]
    for key, shapes in (
        ("anode", description.anodes),
        ("shield", description.shields),
        ("thief", description.thieves),
    ):
        told = [
            _shape(shape, _entry(tables.get(key, ()), number))
            for number, shape in enumerate(shapes)
        ]
        tables.pop(key, None)
        if told:
            tables[key] = told
    tables["contact"] = [_contact(contact) for contact in description.contacts]
    if goal is not None:
        kept = {k: v for k, v in tables["goal"].items() if k not in ("current", "current_density")}
        tables["goal"] = {**kept, **goal}
    return "\n".join([*(f"# {line}".rstrip() for line in head), *_toml(tables)]) + "\n"


def toml_text(tables: Mapping[str, Any]) -> str:
    """Tables and lists of tables of a job's kinds as the text of a file."""
    return "\n".join(_toml(tables)).lstrip() + "\n"


def _entry(entries: Any, number: int) -> Mapping[str, Any]:
    return entries[number] if number < len(entries) else {}


def _part(part: PlacedPart) -> dict[str, Any]:
    return {"at": _lengths(part.at), "rotate": list(part.rotation)}


def _coated(table: Mapping[str, Any], coat: SeedCoat | None) -> dict[str, Any]:
    """The part's coat: what readings told of it, in their place, as they were taken in the old
    pose."""
    if coat is None:
        return {}
    seed = dict(table["seed"])
    if seed.pop("readings", None):
        seed["sheet_resistance"] = _sheet(coat.sheet_resistance)
    seed.pop("leads", None)
    if "region" in seed:
        regions = [dict(entry) for entry in seed["region"]]
        for entry, region in zip(regions, coat.regions, strict=True):
            if entry.pop("readings", None) and region.sheet_resistance is not None:
                entry["sheet_resistance"] = _sheet(region.sheet_resistance)
        seed["region"] = regions
    return {"seed": seed}


def _sheet(paint: Interval) -> str:
    return f"{paint.low:.3g}-{paint.high:.3g} ohm"


def _shape(shape: Shape, original: Mapping[str, Any]) -> dict[str, Any]:
    match shape:
        case Plate():
            return {
                "shape": "plate",
                "size": _lengths(shape.size),
                "thickness": _length(shape.thickness),
                "at": _lengths(shape.at),
                "facing": list(shape.facing),
            }
        case Basket():
            return {
                "shape": "basket",
                "size": _lengths(shape.size),
                "at": _lengths(shape.at),
                "facing": list(shape.facing),
            }
        case Rod():
            return {
                "shape": "rod",
                "diameter": _length(shape.diameter),
                "length": _length(shape.length),
                "at": _lengths(shape.at),
                "axis": list(shape.axis),
            }
        case MeshShape():
            return {**original, "at": _lengths(shape.at), "rotate": list(shape.rotation)}
    return dict(original)


def _contact(contact: ContactSpec) -> dict[str, Any]:
    told: dict[str, Any] = {"near": _lengths(contact.near), "wire": _length(contact.wire_diameter)}
    if contact.part not in (None, 1):
        told["part"] = contact.part
    if contact.via:
        told["via"] = [_lengths(point) for point in contact.via]
    if contact.insulated:
        told["insulated"] = True
    return told


def _lengths(values: tuple[float, ...]) -> list[str]:
    return [_length(value) for value in values]


def _length(value: float) -> str:
    return f"{in_unit(value, 'mm'):.2f}".rstrip("0").rstrip(".") + " mm"


def _toml(tables: Mapping[str, Any]) -> Iterator[str]:
    """Tables and lists of tables, one after the other; the values of the job file's kinds."""
    for name, table in tables.items():
        several = isinstance(table, list)
        for entry in table if several else [table]:
            yield ""
            yield f"[[{name}]]" if several else f"[{name}]"
            for key, value in entry.items():
                yield f"{key} = {_value(value)}"


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_value(v)}" for key, v in value.items()) + " }"
    return "[" + ", ".join(_value(entry) for entry in value) + "]"
