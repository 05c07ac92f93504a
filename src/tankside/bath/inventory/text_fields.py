"""Values of the ledger's text, read by the type of the field that they fill.

Each reader takes the key for its sentence, the JSON value, and where that stands.
"""

from collections.abc import Callable
from dataclasses import MISSING, fields
from typing import Any

from tankside.base.errors import BadInput, TanksideError, UnknownName
from tankside.base.intervals import Interval
from tankside.bath.analysis.finding import QUANTITIES, Finding
from tankside.bath.inventory import events as ev
from tankside.substances.products import Content, Form, Product

UNITS = {
    "at": "s", "mass": "kg", "volume": "m3", "level_volume": "m3", "duration": "s",
    "temperature": "K", "room_temperature": "K", "surface_area": "m2", "area": "m2",
    "anode_area": "m2", "charge": "C", "copper": "kg_m3", "sulfuric_acid": "kg_m3",
    "chloride": "kg_m3", "additive": "kg_m3", "relative_humidity": "ratio",
}  # fmt: skip
"""The unit in the name of each quantity of an event; `_std` of a quantity has its unit."""

_LABEL_UNITS = {
    "density": "kg_m3", "chloride": "kg_kg", "mass_fraction": "kg_kg", "package": "kg",
}  # fmt: skip
"""The same for what stands on a label."""

FINDING_UNITS = {"kg/m^3": "kg_m3", "S/m": "S_m", "1": "pH"}
"""How the unit of a finding stands in the names of its value."""


def named(kind: type[Any], name: str) -> str:
    """The key of a field: its name with its unit."""
    if kind is ev.Bottle and name == "additive":  # true or false there, not an amount
        return name
    units = _LABEL_UNITS if kind in (Product, Content) else UNITS
    unit = units.get(name.removesuffix("_std"))
    return f"{name}_{unit}" if unit else name


def value_of(kind: type[Any], row: Any, where: str) -> Any:
    """A dataclass from its mapping; BadInput for keys that lack, are strange, or hold the wrong
    thing."""
    if not isinstance(row, dict):
        raise BadInput("a {kind} is an object in braces", kind=kind.__name__.lower(), where=where)
    if kind is Finding:
        return _finding(row, where)
    known = {named(kind, one.name): one for one in fields(kind)}
    for key in row:
        if key not in known:
            raise UnknownName("key", key, known, where=where)
    for key, one in known.items():
        if key not in row and one.default is MISSING and one.default_factory is MISSING:
            raise BadInput("this line lacks {key!r}; add it", key=key, where=where)
    given = {
        known[key].name: _READERS[known[key].type](key, one, where) for key, one in row.items()
    }
    return _made(kind, given, where)


def _made(kind: type[Any], given: dict[str, Any], where: str) -> Any:
    try:
        return kind(**given)
    except TanksideError as error:
        raise BadInput(error.message, where=where) from error
    except ValueError as error:
        raise BadInput("{error}", error=error, where=where) from error


def _number(key: str, given: Any, where: str) -> float:
    if isinstance(given, bool) or not isinstance(given, int | float):
        raise BadInput("{key!r} is a number, not {given!r}", key=key, given=given, where=where)
    return float(given)


def _exactly(kind: type[Any]) -> Callable[[str, Any, str], Any]:
    words = {str: "text", int: "a whole number", bool: "true or false"}[kind]

    def reader(key: str, given: Any, where: str) -> Any:
        if type(given) is not kind:
            raise BadInput(
                "{key!r} is {words}, not {given!r}", key=key, words=words, given=given, where=where
            )
        return given

    return reader


def _interval(key: str, given: Any, where: str) -> Interval:
    if not (isinstance(given, list) and len(given) == 3):
        raise BadInput(
            "{key!r} is a list of low, best and high, not {given!r}",
            key=key,
            given=given,
            where=where,
        )
    low, best, high = (_number(key, one, where) for one in given)
    return _made(Interval, {"low": low, "best": best, "high": high}, where)  # type: ignore[no-any-return]


def _listed(kind: type[Any]) -> Callable[[str, Any, str], Any]:
    def reader(key: str, given: Any, where: str) -> tuple[Any, ...]:
        if not isinstance(given, list):
            raise BadInput("{key!r} is a list, not {given!r}", key=key, given=given, where=where)
        if kind is str:
            return tuple(_word(key, one, where) for one in given)
        return tuple(value_of(kind, one, where) for one in given)

    return reader


def _form(key: str, given: Any, where: str) -> Form:
    try:
        return Form(given)
    except ValueError as error:
        raise BadInput(
            "{key!r} is 'solid' or 'liquid', not {given!r}", key=key, given=given, where=where
        ) from error


def _finding(row: dict[str, Any], where: str) -> Finding:
    quantity = row.get("quantity")
    if quantity not in QUANTITIES:
        raise UnknownName("quantity of an analysis", str(quantity), QUANTITIES, where=where)
    unit = FINDING_UNITS[QUANTITIES[quantity]]
    value, std = f"value_{unit}", f"std_{unit}"
    known = {"quantity", value, std, "method", "notes", "sources", "temperature_K"}
    for key in row:
        if key not in known:
            raise UnknownName("key", key, known, where=where)
    for key in (value, std):
        if key not in row:
            raise BadInput("this line lacks {key!r}; add it", key=key, where=where)
    heat = row.get("temperature_K")
    texts = _listed(str)
    return _made(  # type: ignore[no-any-return]
        Finding,
        {
            "quantity": quantity,
            "value": _interval(value, row[value], where),
            "std": _number(std, row[std], where),
            "method": _word("method", row.get("method", ""), where),
            "notes": texts("notes", row.get("notes", []), where),
            "sources": texts("sources", row.get("sources", []), where),
            "temperature": None if heat is None else _number("temperature_K", heat, where),
        },
        where,
    )


def _product(key: str, given: Any, where: str) -> Product:
    return value_of(Product, given, where)  # type: ignore[no-any-return]


_word, _count, _switch = _exactly(str), _exactly(int), _exactly(bool)

_READERS: dict[Any, Callable[[str, Any, str], Any]] = {
    float: _number,
    float | None: _number,
    str: _word,
    int: _count,
    bool: _switch,
    Interval: _interval,
    Interval | None: _interval,
    Form: _form,
    Product: _product,
    tuple[ev.Portion, ...]: _listed(ev.Portion),
    tuple[Finding, ...]: _listed(Finding),
    tuple[Content, ...]: _listed(Content),
    tuple[str, ...]: _listed(str),
}
"""How a field of each type is read."""
