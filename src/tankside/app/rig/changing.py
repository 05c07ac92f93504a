"""Use case: things are added to a rig, copied and taken away; the tank gets another shape.

A new thing stands where there is most likely room; the person then moves it.
"""

import copy
from collections.abc import Sequence

from tankside.app.rig.editing import Tables, length_text, point_text, pose_of
from tankside.app.rig.fields import LISTS
from tankside.app.rig.poses import Box
from tankside.base.errors import BadInput, UnknownName
from tankside.base.units import Kind, quantity
from tankside.cell.description import Vector

ADDED = {
    "anode-plate": "An anode plate",
    "anode-rod": "An anode rod",
    "contact": "A contact",
    "shield-plate": "A shield",
    "thief-rod": "A thief",
}
"""What may be added, with its words: a list and a shape."""

SHAPES = {"box": "A box", "cylinder": "A round tank", "prism": "Any floor with upright walls"}

_FROM_WALL = 0.02
"""A new thing hangs this far from the tank's side [m]."""


def changed(
    tables: Tables, act: str, boxes: Sequence[Box], spot: Vector | None = None, part: int = 1
) -> Tables:
    """The tables after an act.

    act     "add:" and what of ADDED; "copy:" or "remove:" and a thing's key such as "anode.1";
            "tank:" and a shape
    spot    where a new contact touches [m], on the part of this number; without it, the part's top
    """
    word, _, what = act.partition(":")
    tables = copy.deepcopy(tables)
    if word == "add":
        _add(tables, what, boxes, spot, part)
    elif word in ("copy", "remove"):
        _copy_or_remove(tables, word, what)
    elif word == "tank":
        _reshape(tables, what)
    else:
        raise UnknownName("the act", act[:40], ("add", "copy", "remove", "tank"))
    return tables


def _add(tables: Tables, what: str, boxes: Sequence[Box], spot: Vector | None, part: int) -> None:
    if what not in ADDED:
        raise UnknownName("what is added", what[:40], ADDED)
    name, _, shape = what.partition("-")
    entries = tables.setdefault(name, [])
    if name == "contact":
        entries.append(_contact(tables, boxes, spot, part))
    elif shape == "plate":
        entries.append(_plate(tables, name))
    else:
        entries.append(_rod(tables, name))


def _contact(tables: Tables, boxes: Sequence[Box], spot: Vector | None, part: int) -> Tables:
    if not 1 <= part <= len(tables["part"]):
        known = [str(number + 1) for number in range(len(tables["part"]))]
        raise UnknownName("part", str(part), known)
    place = pose_of(tables["part"][part - 1]).top(boxes[part - 1]) if spot is None else spot
    before = tables["contact"]
    wire = before[-1]["wire"] if before else "0.8 mm"
    told = {"near": point_text(place), "wire": wire}
    return told if part == 1 else {**told, "part": part}


def _plate(tables: Tables, name: str) -> Tables:
    """On the tank's side, facing its middle; a shield half way between."""
    _, half, depth = _room(tables)
    share = 1.0 if name == "anode" else 0.5
    size = ["10 cm", "15 cm"] if name == "anode" else ["6 cm", "6 cm"]
    high = quantity(size[1], Kind.LENGTH, where="")
    place = (0.0, -share * (half - _FROM_WALL), max(depth - 0.01 - high / 2, high / 2))
    told = {"shape": "plate", "size": size, "at": point_text(place), "facing": [0.0, 1.0, 0.0]}
    return told if name == "anode" else {**told, "thickness": "3 mm"}


def _rod(tables: Tables, name: str) -> Tables:
    """Upright, in the tank's corner."""
    along, half, depth = _room(tables)
    length = min(0.15, 0.8 * depth)
    place = (0.6 * along, 0.6 * half, depth - 0.01 - length / 2)
    return {
        "shape": "rod",
        "diameter": "10 mm" if name == "anode" else "3 mm",
        "length": length_text(length),
        "at": point_text(place),
        "axis": [0.0, 0.0, 1.0],
    }


def _copy_or_remove(tables: Tables, word: str, key: str) -> None:
    name, _, number = key.partition(".")
    entries = tables.get(name, []) if name in LISTS else []
    if not number.isdigit() or int(number) >= len(entries):
        known = [f"{one}.{k}" for one in LISTS for k in range(len(tables.get(one, [])))]
        raise UnknownName("the thing", key[:40], known)
    if word == "copy":
        entries.append(copy.deepcopy(entries[int(number)]))
        return
    if name in ("anode", "contact") and len(entries) == 1:
        raise BadInput(
            "the last {name} stays: without one nothing is plated; move it instead", name=name
        )
    del entries[int(number)]


def _reshape(tables: Tables, shape: str) -> None:
    """Another shape of tank, about as large as the one before."""
    if shape not in SHAPES:
        raise UnknownName("the tank's shape", shape[:40], SHAPES)
    tank = tables["tank"]
    if tank["shape"] == shape:
        return
    along, across, _ = _room(tables)
    height = tank["inside"][2] if tank["shape"] == "box" else tank["height"]
    told: Tables
    kept = {key: tank[key] for key in ("liquid_depth", "covered") if key in tank}
    if shape == "box":
        told = {"inside": [length_text(2 * along), length_text(2 * across), height]}
    elif shape == "cylinder":
        told = {"diameter": length_text(2 * min(along, across)), "height": height}
    else:
        loop = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
        floor = [[length_text(x * along), length_text(y * across)] for x, y in loop]
        told = {"footprint": floor, "height": height}
    tables["tank"] = {"shape": shape, **told, **kept}


def _room(tables: Tables) -> tuple[float, float, float]:
    """Half the tank along, half of it across, and its liquid's depth [m]."""
    tank = tables["tank"]

    def metres(text: str) -> float:
        return quantity(text, Kind.LENGTH, where="")

    depth = metres(tank["liquid_depth"])
    if tank["shape"] == "box":
        return metres(tank["inside"][0]) / 2, metres(tank["inside"][1]) / 2, depth
    if tank["shape"] == "cylinder":
        return metres(tank["diameter"]) / 2, metres(tank["diameter"]) / 2, depth
    xs, ys = zip(*[[metres(text) for text in corner] for corner in tank["footprint"]], strict=True)
    return max(map(abs, xs)), max(map(abs, ys)), depth
