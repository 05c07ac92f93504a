"""What a sweep has done, on disk: one line a result, added as it comes, read again to go on.

A line that was cut short when the machine stopped is left out, and so is the case: it is done
again. A journal of another program's version is refused by its first line.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tankside.base.errors import BadInput

FORM = "tankside sweep 1"


class Journal:
    """Results by key in a file of JSON lines.

    encode    turns a value into what JSON holds, `decode` back again
    """

    def __init__(
        self,
        path: Path,
        *,
        encode: Callable[[Any], Any] = lambda value: value,
        decode: Callable[[Any], Any] = lambda value: value,
    ) -> None:
        self._path, self._encode = path, encode
        self._values = {key: decode(value) for key, value in _read(path).items()}

    def __len__(self) -> int:
        return len(self._values)

    def known(self, key: str) -> Any | None:
        """The value of a case that is done, else None."""
        return self._values.get(key)

    def keep(self, key: str, value: Any) -> None:
        """Adds a result, in the file before this returns. A power cut may lose the last ones, which
        are then done again."""
        line = json.dumps({"key": key, "value": self._encode(value)}, allow_nan=False)
        with self._path.open("a", encoding="utf-8") as stream:
            if stream.tell() == 0:
                stream.write(json.dumps({"form": FORM}) + "\n")
            stream.write(line + "\n")
        self._values[key] = value


def _read(path: Path) -> dict[str, Any]:
    """Key to encoded value; mends a last line that was cut short."""
    if not path.exists():
        return {}
    text = path.read_text("utf-8")
    lines = text.splitlines(keepends=True)
    if lines and not lines[-1].endswith("\n"):
        path.write_text("".join(lines[:-1]), "utf-8")
        lines = lines[:-1]
    if not lines:
        return {}
    try:
        head, *entries = [json.loads(line) for line in lines]
        if head != {"form": FORM}:
            raise BadInput(
                "is not a journal of this version ({form!r}); take another file name", form=FORM
            )
        return {entry["key"]: entry["value"] for entry in entries}
    except (json.JSONDecodeError, KeyError, TypeError) as error:
        raise BadInput("is not a journal of a sweep; take another file name") from error
    except BadInput as error:
        raise BadInput(error.message, where=path.name) from error
