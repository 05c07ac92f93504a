"""A person's TOML file as tables: read as text, checked for tables that are not known."""

import tomllib
from collections.abc import Mapping
from typing import Any

from tankside.app.bath.entries import Entries
from tankside.base.errors import BadInput, UnknownName
from tankside.base.wording import quoting, term

TABLES = ("bath", "target", "shelf", "tool", "vessel", "room", "old_bath", "additive", "mixing")
"""What a bath's or a shelf's file may hold."""


def tables_of(content: bytes | str, *, where: str) -> Mapping[str, Any]:
    """The tables of a file; BadInput where it is no TOML, UnknownName for a strange table."""
    try:
        text = content.decode("utf-8-sig") if isinstance(content, bytes) else content
        held = tomllib.loads(text)
    except UnicodeDecodeError as error:
        raise BadInput("the file is not text in UTF-8", where=where) from error
    except tomllib.TOMLDecodeError as error:
        raise BadInput("not a TOML file: {error}", error=error, where=where) from error
    for name in held:
        if name not in TABLES:
            raise UnknownName("table", name, TABLES, where=where)
    return held


def one_table(tables: Mapping[str, Any], name: str, *, where: str) -> Entries | None:
    """The table [name], None where it lacks."""
    if name not in tables:
        return None
    given = tables[name]
    if not isinstance(given, dict):
        raise BadInput("write [{name}] as one table, in single brackets", name=name, where=where)
    return Entries(table=given, where=_table(where, f"[{name}]"))


def many_tables(tables: Mapping[str, Any], name: str, *, where: str) -> tuple[Entries, ...]:
    """The tables [[name]], counted from 1; none where they lack."""
    given = tables.get(name, [])
    if not isinstance(given, list) or not all(isinstance(one, dict) for one in given):
        raise BadInput(
            "write each {name} as a table [[{name}]], in double brackets", name=name, where=where
        )
    return tuple(
        Entries(table=one, where=_table(where, f"[{name} {number}]"))
        for number, one in enumerate(given, start=1)
    )


def _table(where: str, table: str) -> str:
    return quoting("{where}: {table}", where=term(where), table=table)
