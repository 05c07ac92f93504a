"""Small JSON files that appear whole: written aside, then moved in place."""

import json
import os
from pathlib import Path
from typing import Any


def write_json(path: Path, value: Any) -> None:
    """Writes a value; it is on the disk when this returns."""
    write_whole(path, json.dumps(value, ensure_ascii=False, allow_nan=False).encode())


def read_json(path: Path) -> dict[str, Any]:
    """Reads an object."""
    return dict(json.loads(path.read_text("utf-8")))


def write_whole(path: Path, content: bytes) -> None:
    """Writes bytes so that nobody ever sees half of them."""
    aside = path.with_name(path.name + ".aside")
    with aside.open("wb") as stream:
        stream.write(content)
        stream.flush()
        os.fsync(stream.fileno())
    os.replace(aside, path)
