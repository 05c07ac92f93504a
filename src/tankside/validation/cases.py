"""The validation cases: what the world published, against what Tankside computes.

A case is a row of data/*.toml: which quantity, for which inputs, what the source says, how far the
answer may lie from it and why that far. The quantity is a Python function registered by name in one
of this room's modules; it takes the row's `inputs` as keywords and returns one number. `tankside
check`, the tests and the docs page all run the same rows.
"""

import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module, resources
from typing import Any

from tankside.base.errors import MissingData
from tankside.base.provenance import source

Quantity = Callable[..., float]

_QUANTITIES: dict[str, Quantity] = {}


def quantity(name: str) -> Callable[[Quantity], Quantity]:
    """Registers a function as the computation behind the rows with `quantity = name`."""

    def registered(function: Quantity) -> Quantity:
        if name in _QUANTITIES:
            raise ValueError(f"two functions compute {name!r}")
        _QUANTITIES[name] = function
        return function

    return registered


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One row.

    id          unique, such as "disc.resistance"
    group       the data file it stands in
    what        what is compared, in words
    quantity    the registered function
    inputs      its keywords, SI, units in their names where not obvious
    expected    the published value, in `unit`
    limit       largest deviation allowed: relative, or in `unit` where `absolute`
    why         why the limit is what it is
    source      key of base/data/sources.toml
    locator     page, table or equation
    evidence    how the expected value came to us: "read", "exact", "computed by <library>",
                "from memory"
    slow        takes more than about five seconds
    """

    id: str
    group: str
    what: str
    quantity: str
    expected: float
    unit: str
    limit: float
    why: str
    source: str
    locator: str
    evidence: str
    absolute: bool = False
    slow: bool = False
    inputs: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """A case and what came of it; `deviation` is relative, or in the case's unit if absolute."""

    case: Case
    computed: float
    deviation: float

    @property
    def ok(self) -> bool:
        """True where the deviation is within the case's limit."""
        return abs(self.deviation) <= self.case.limit


def judged(case: Case) -> Verdict:
    """Computes one case and compares it."""
    _load_quantities()
    if case.quantity not in _QUANTITIES:
        raise MissingData(
            "case {case}: no function computes {quantity!r}", case=case.id, quantity=case.quantity
        )
    computed = float(_QUANTITIES[case.quantity](**case.inputs))
    deviation = computed - case.expected
    if not case.absolute:
        deviation /= abs(case.expected)
    return Verdict(case=case, computed=computed, deviation=deviation)


@cache
def cases() -> tuple[Case, ...]:
    """All rows of all data files, in order of file and row; ids are unique, sources resolve."""
    found = tuple(_rows())
    ids = [case.id for case in found]
    doubles = {name for name in ids if ids.count(name) > 1}
    if doubles:
        raise ValueError(f"validation cases share the ids {sorted(doubles)}")
    for case in found:
        source(case.source)
    return found


def _rows() -> Iterator[Case]:
    folder = resources.files("tankside.validation").joinpath("data")
    for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if file.name.endswith(".toml"):
            group = file.name.removesuffix(".toml")
            for row in tomllib.loads(file.read_text("utf-8")).get("case", ()):
                yield Case(group=group, **row)


@cache
def _load_quantities() -> None:
    """Imports every module of this room once, so that its functions register."""
    for file in resources.files("tankside.validation").iterdir():
        name = file.name.removesuffix(".py")
        if file.name.endswith(".py") and name not in ("__init__", "cases"):
            import_module(f"tankside.validation.{name}")
