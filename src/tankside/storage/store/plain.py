"""Frozen values as plain JSON values and back, by the types of their fields.

A field that is a quantity is written under a name that ends in its unit (`KEYS`). A key that no
field has comes from a newer program and is refused, never dropped.
"""

import types
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from enum import StrEnum
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

import numpy as np

from tankside.app.store_records import Document
from tankside.base.errors import BadInput, TanksideError
from tankside.base.intervals import Interval

KEYS: Mapping[tuple[str, str], str] = {
    ("Product", "density"): "density_kg_m3",
    ("Product", "chloride"): "chloride_kg_kg",
    ("Product", "package"): "package_kg",
    ("Content", "mass_fraction"): "mass_fraction_kg_kg",
    ("File", "size"): "size_bytes",
    ("SeedReading", "at"): "at_s",
    ("SeedReading", "sheet_resistance"): "sheet_resistance_ohm",
    ("SupplyRecord", "current_limit"): "current_limit_A",
    ("SupplyRecord", "voltage_limit"): "voltage_limit_V",
    ("PhotoRecord", "taken"): "taken_s",
}
"""Keys of fields with a unit, by class and field."""


def plain(value: Any) -> Any:
    """A value as JSON knows it; fields that hold None are left out."""
    if value is None or isinstance(value, bool | int | float | str):
        return value.value if isinstance(value, StrEnum) else value
    if isinstance(value, Interval):
        return [value.low, value.best, value.high]
    if isinstance(value, Document):
        return value.entries()
    if isinstance(value, np.ndarray):
        return value.tolist()
    if isinstance(value, tuple):
        return [plain(one) for one in value]
    if is_dataclass(value) and not isinstance(value, type):
        given = {_key(type(value), one): getattr(value, one.name) for one in fields(value)}
        return {key: plain(one) for key, one in given.items() if one is not None}
    raise TypeError(f"a {type(value).__name__} has no plain form")


def built(kind: Any, row: Any, where: str) -> Any:
    """A value of this type from its plain form; BadInput, placed at `where`, where it is none."""
    if kind is Interval:
        return _interval(row, where)
    if kind is Document:
        return Document.of(_mapping(row, where))
    if is_dataclass(kind):
        return _dataclass(kind, _mapping(row, where), where)
    origin, arguments = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        (inner,) = (one for one in arguments if one is not type(None))
        return None if row is None else built(inner, row, where)
    if origin is tuple:
        return tuple(built(arguments[0], one, where) for one in _list(row, where))
    if origin is np.ndarray:
        return _array(row, where)
    return _scalar(kind, row, where)


def _dataclass(kind: Any, row: Mapping[str, Any], where: str) -> Any:
    known = {_key(kind, one): one for one in fields(kind)}
    strange = sorted(set(row) - set(known))
    if strange:
        raise BadInput(
            "{kind} has no {strange!r}: a newer version of the program wrote it; use that one",
            kind=kind.__name__,
            strange=strange[0],
            where=where,
        )
    lacking = sorted(key for key, one in known.items() if key not in row and _needed(one))
    if lacking:
        raise BadInput(
            "{kind} lacks {lacking!r}", kind=kind.__name__, lacking=lacking[0], where=where
        )
    hints = _hints(kind)
    given = {
        known[key].name: built(hints[known[key].name], value, f"{where}.{key}")
        for key, value in row.items()
    }
    try:
        return kind(**given)
    except TanksideError as error:
        raise BadInput(error.message, where=error.where or where) from error
    except (TypeError, ValueError) as error:
        raise BadInput(str(error), where=where) from error


def _scalar(kind: Any, row: Any, where: str) -> Any:
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        if row in [one.value for one in kind]:
            return kind(row)
    elif kind is float:
        if isinstance(row, int | float) and not isinstance(row, bool):
            return float(row)
    elif type(row) is kind:
        return row
    raise BadInput("{row!r} stands where {kind} belongs", row=row, kind=kind.__name__, where=where)


def _interval(row: Any, where: str) -> Interval:
    ends = [built(float, one, where) for one in _list(row, where)]
    try:
        return Interval(*ends)
    except (TypeError, ValueError) as error:
        raise BadInput("{row!r} is no interval", row=row, where=where) from error


def _array(row: Any, where: str) -> Any:
    try:
        return np.array(_list(row, where), dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise BadInput("{row!r} is no array of numbers", row=row, where=where) from error


def _mapping(row: Any, where: str) -> Mapping[str, Any]:
    if not isinstance(row, dict):
        raise BadInput("{row!r} stands where an object in braces belongs", row=row, where=where)
    return row


def _list(row: Any, where: str) -> list[Any]:
    if not isinstance(row, list):
        raise BadInput("{row!r} stands where a list belongs", row=row, where=where)
    return row


def _key(kind: type[Any], one: "Field[Any]") -> str:
    return KEYS.get((kind.__name__, one.name), one.name)


def _needed(one: "Field[Any]") -> bool:
    return one.default is MISSING and one.default_factory is MISSING


@cache
def _hints(kind: type[Any]) -> dict[str, Any]:
    return get_type_hints(kind)
