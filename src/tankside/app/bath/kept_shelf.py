"""The shelf of one home folder: bottles, tools and the mixing vessel, each as it was typed.

It is kept as the tables of a shelf's file (shelf_file.py), so that every use case that reads such a
file reads it too, and it can be taken out as one. What cannot be read is refused before it is kept.
"""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tankside.app.bath.example_bath import example_files
from tankside.app.bath.shelf_file import Bench, additive_of, bench_of
from tankside.app.bath.tables import many_tables, tables_of
from tankside.app.work.kept_json import read_json, write_json
from tankside.base.errors import BadInput, UnknownName
from tankside.base.wording import term

FILE = "shelf.json"
WHERE = term("the shelf")
LISTED = ("shelf", "tool", "additive")
"""Tables of which there may be several, each by its name."""

Table = Mapping[str, str]


class KeptShelf:
    """Reads and changes it; every change is whole, or not made."""

    def __init__(self, home: Path) -> None:
        self._path = home / FILE

    def tables(self) -> dict[str, Any]:
        """As it is: lists of tables by name, and the vessel's table; empty where none was kept."""
        return read_json(self._path) if self._path.is_file() else {}

    def text(self) -> str:
        """The same as a shelf's file, in TOML."""
        return toml_of(self.tables())

    def bench(self) -> Bench:
        """Products, tools and vessel, read."""
        return bench_of(self.tables(), where=WHERE)

    def add(self, kind: str, table: Table) -> None:
        """One more bottle ("shelf"), tool or additive; BadInput where it cannot be read or its name
        is taken."""
        found = self._known(kind)
        name = table.get("name", "").strip()
        if not name:
            raise BadInput("give it a name, as you call it", where=WHERE)
        if any(one["name"].casefold() == name.casefold() for one in found.get(kind, ())):
            raise BadInput(
                "there is {name!r} already; give this one another name", name=name, where=WHERE
            )
        filled = {key: value.strip() for key, value in table.items() if value.strip()}
        self._keep({**found, kind: [*found.get(kind, ()), filled]})

    def remove(self, kind: str, name: str) -> None:
        """Takes one away; UnknownName where there is none of that name. Ledgers that name it keep
        their own copy of its label."""
        found = self._known(kind)
        names = [one["name"] for one in found.get(kind, ())]
        if name not in names:
            raise UnknownName("the thing on the shelf", name[:40], names)
        self._keep({**found, kind: [one for one in found[kind] if one["name"] != name]})

    def set_vessel(self, table: Table) -> None:
        """What baths are mixed in."""
        filled = {key: value.strip() for key, value in table.items() if value.strip()}
        self._keep({**self.tables(), "vessel": filled})

    def fill_with_the_example(self) -> None:
        """The bottles, tools and vessel of the example bench; BadInput where something is there."""
        if self.tables():
            raise BadInput("something stands on the shelf already", where=WHERE)
        self._keep(dict(tables_of(example_files()["shelf.toml"], where=WHERE)))

    def _known(self, kind: str) -> dict[str, Any]:
        if kind not in LISTED:
            raise UnknownName("the kind of thing", kind[:40], LISTED)
        return self.tables()

    def _keep(self, tables: dict[str, Any]) -> None:
        bench_of(tables, where=WHERE)
        for one in many_tables(tables, "additive", where=WHERE):
            additive_of(one)
        self._path.parent.mkdir(parents=True, exist_ok=True)
        write_json(self._path, tables)


def toml_of(tables: Mapping[str, Any]) -> str:
    """Tables of texts as TOML."""
    lines: list[str] = []
    for name, held in tables.items():
        for table in held if isinstance(held, list) else [held]:
            lines += ["", f"[[{name}]]" if isinstance(held, list) else f"[{name}]"]
            lines += [f"{key} = {json.dumps(value)}" for key, value in table.items()]
    return "\n".join(lines[1:]) + "\n"
