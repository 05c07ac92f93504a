"""Where long work is kept on disk, so that reloads, restarts and power cuts lose nothing.

    <root>/<id>/order.json       what was asked for
                standing.json    how far it is, written anew at each turn
                cancel           there once the person wants it stopped
                given/           the person's files
                made/            result.json and what else came of it
    <root>/forgotten/<id>        the same, put away; gone for good after some weeks

Files appear whole: each is written aside and moved in place. A folder without a readable order is
one whose making was cut off; it is not work.
"""

import json
import os
import re
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from tankside.app.work.kept_json import read_json, write_json, write_whole
from tankside.app.work.work import Fault, Order, Standing, Work, WorkKind, WorkState, checked_id
from tankside.base.errors import BadInput, UnknownName
from tankside.base.message_parts import all_unpacked, packed, with_parts
from tankside.base.wording import Said

FORGOTTEN = "forgotten"
KEPT_FORGOTTEN_S = 30 * 86400.0
"""How long work that was put away can be brought back [s]."""
RESULT = "result.json"
SAID = "said.json"
"""The parts of the sentences in the result, by their text."""
VIEW = "view.bin"
"""What the part's picture on a page is drawn from."""
RUN_ORDER = "run-order.json"
"""What carrying a plan out needs of it."""
_PLAIN_NAME = re.compile(r"^[^\x00-\x1f/\\:*?\"<>|]{1,120}$")


class WorkFolder:
    """The folder of all work."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def add(self, order: Order, given: Mapping[str, bytes]) -> Work:
        """Keeps an order with the person's files; the order is written last."""
        folder = self.of(order.id)
        (folder / "given").mkdir(parents=True)
        for name, content in given.items():
            write_whole(folder / "given" / plain_name(name), content)
        standing = Standing()
        self.stand(order.id, standing)
        write_json(folder / "order.json", asdict(order))
        return Work(order=order, standing=standing)

    def all(self) -> Iterator[Work]:
        """All work, oldest first."""
        if not self.root.is_dir():
            return
        found = [self._read(path) for path in self.root.iterdir() if path.is_dir()]
        yield from sorted((w for w in found if w is not None), key=lambda w: w.order.created)

    def stand(self, id: str, standing: Standing) -> None:
        """Writes how far it is; beside the sentence of what stands against it, its parts."""
        kept = asdict(standing)
        if isinstance(standing.error, Said):
            kept["said"] = packed(standing.error)
        write_json(self.of(id) / "standing.json", kept)

    def ask_to_cancel(self, id: str) -> None:
        """Leaves the mark that the worker looks for."""
        (self.of(id) / "cancel").touch()

    def wants_cancel(self, id: str) -> bool:
        """Whether the mark is there."""
        return (self.of(id) / "cancel").exists()

    def given(self, id: str) -> "GivenFiles":
        """The person's files, as the use cases read them."""
        return GivenFiles(self.of(id) / "given")

    def keep(self, id: str, made: Mapping[str, bytes]) -> None:
        """Keeps what came of it."""
        folder = self.of(id) / "made"
        folder.mkdir(exist_ok=True)
        for name, content in made.items():
            write_whole(folder / plain_name(name), content)

    def made(self, id: str) -> dict[str, Path]:
        """What came of it, by file name."""
        folder = self.of(id) / "made"
        if not folder.is_dir():
            return {}
        return {path.name: path for path in sorted(folder.iterdir()) if path.suffix != ".aside"}

    def result(self, id: str) -> dict[str, Any]:
        """The result as JSON, its sentences with their parts; BadInput where there is none yet."""
        made = self.made(id)
        if RESULT not in made:
            raise BadInput("there is no result of {id} yet", id=id)
        result = read_json(made[RESULT])
        parts = read_json(made[SAID]) if SAID in made else {}
        return dict(with_parts(result, all_unpacked(parts)))

    def remove(self, id: str) -> None:
        """Puts it away, whole, in one step; it can be brought back for KEPT_FORGOTTEN_S."""
        away = self._forgotten(id)
        away.parent.mkdir(exist_ok=True)
        shutil.rmtree(away, ignore_errors=True)
        self.of(id).rename(away)
        os.utime(away)

    def bring_back(self, id: str) -> Work:
        """What was put away, as it was; UnknownName where it is not there any more."""
        found = self.forgotten(id)
        if found is None:
            raise UnknownName("forgotten work", id[:40], ())
        self._forgotten(id).rename(self.of(id))
        return found

    def forgotten(self, id: str) -> Work | None:
        """Work that was put away, or None where there is none of that id."""
        return self._read(self._forgotten(id))

    def forget_for_good(self, now: float) -> None:
        """Takes away what was put away long ago; `now` [s since 1970]."""
        away = self.root / FORGOTTEN
        for one in away.iterdir() if away.is_dir() else ():
            if now - one.stat().st_mtime > KEPT_FORGOTTEN_S:
                shutil.rmtree(one)

    def of(self, id: str) -> Path:
        """The folder of one piece of work; BadInput where the id cannot be one."""
        return self.root / checked_id(id)

    def _forgotten(self, id: str) -> Path:
        return self.root / FORGOTTEN / checked_id(id)

    def _read(self, folder: Path) -> Work | None:
        try:
            order = json.loads((folder / "order.json").read_text("utf-8"))
            standing = json.loads((folder / "standing.json").read_text("utf-8"))
            parts = all_unpacked({standing["error"]: standing.pop("said", {})})
            return Work(
                order=Order(**{**order, "kind": WorkKind(order["kind"])}),
                standing=Standing(
                    **{
                        **with_parts(standing, parts),
                        "state": WorkState(standing["state"]),
                        "fault": Fault(standing["fault"]),
                    }
                ),
            )
        except (OSError, ValueError, TypeError, KeyError):
            return None  # cut off while it was made: never was work


class GivenFiles:
    """The person's files of one piece of work; nothing outside them can be read."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def read(self, name: str, *, where: str) -> bytes:
        """A file by its plain name; BadInput where it was not handed in."""
        path = self._folder / plain_name(name)
        if not path.is_file():
            raise BadInput("the file {name!r} was not handed in; add it", name=name, where=where)
        return path.read_bytes()

    def names(self) -> tuple[str, ...]:
        """What was handed in."""
        if not self._folder.is_dir():
            return ()
        return tuple(sorted(path.name for path in self._folder.iterdir()))


def plain_name(name: str) -> str:
    """The name if it is a plain file name; BadInput where it could lead out of a folder."""
    if name in (".", "..") or name.startswith(".") or not _PLAIN_NAME.match(name):
        raise BadInput("{name!r} is not a plain file name; rename the file", name=name[:60])
    return name
