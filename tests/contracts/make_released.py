"""Keeps a database of the newest schema for good, as a release leaves it on people's machines:

    python -m tests.contracts.make_released

writes released/SCHEMA.db with the scene of the tests in it, and released/SCHEMA.json with what it
holds. To be run once for each released schema; what is there already is never written again.
"""

import base64
import json
import sqlite3
import sys
import tempfile
from contextlib import closing
from pathlib import Path
from typing import Any

from alembic.script import ScriptDirectory

from tankside.storage.store.opening import opened_rows
from tankside.storage.store.sql.migrating import MIGRATIONS
from tests.contracts.scene import fill, kept, picture

RELEASED = Path(__file__).with_name("released")


def as_text(found: dict[str, Any]) -> str:
    """A picture of a store as JSON; bytes in base 64."""
    return json.dumps(found, indent=1, ensure_ascii=False, default=_encoded) + "\n"


def _encoded(value: object) -> str:
    if isinstance(value, bytes):
        return base64.b64encode(value).decode()
    raise TypeError(f"a {type(value).__name__} in a picture")


def make() -> int:
    """Writes both files."""
    schema = ScriptDirectory(str(MIGRATIONS)).get_current_head()
    database = RELEASED / f"{schema}.db"
    if database.exists():
        sys.stderr.write(f"{database.name} is kept already, and a released schema never changes\n")
        return 2
    with tempfile.TemporaryDirectory() as folder:
        rows = opened_rows(str(Path(folder) / "s.db"))
        fill(kept(rows))
        database.with_suffix(".json").write_text(as_text(picture(rows)), "utf-8")
        rows.close()
        with closing(sqlite3.connect(Path(folder) / "s.db")) as connection:
            connection.execute("PRAGMA journal_mode = DELETE")
            connection.execute("VACUUM INTO ?", [str(database)])
    return 0


if __name__ == "__main__":
    sys.exit(make())
