"""The folders in which runs are kept: how each is carried out, its order, events and samples.

A folder is opened only while no thread writes into it; who holds the runs sees to that.
"""

import re
import secrets
import time
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tankside.app.work.kept_json import read_json, write_json
from tankside.base.errors import UnknownName

if TYPE_CHECKING:
    from tankside.app.order_a_run import Order
    from tankside.app.ports import Tools
    from tankside.app.run_ports import RunKeeper

HOW = "how.json"
_ID = re.compile(r"^run-[0-9a-f]{12}$")


class RunFolders:
    """The runs under one folder, by their ids; orders are read once."""

    def __init__(self, root: Path, tools: "Tools") -> None:
        self._root, self._tools = root, tools
        self._orders: dict[str, Order] = {}

    def made(self, order: Mapping[str, Any], how: Mapping[str, Any]) -> str:
        """A new run's place; its id."""
        id = f"run-{secrets.token_hex(6)}"
        self._tools.runs().begun(self._root / id, dict(order)).close()
        write_json(self._root / id / HOW, {**how, "created": time.time()})
        return id

    def ids(self) -> tuple[str, ...]:
        """Of all runs, newest first."""
        if not self._root.is_dir():
            return ()
        found = [path for path in self._root.iterdir() if (path / HOW).is_file()]
        found.sort(key=lambda path: -float(read_json(path / HOW)["created"]))
        return tuple(path.name for path in found)

    def how(self, id: str) -> dict[str, Any]:
        """How it is carried out, as it was said when it was made; UnknownName where there is no
        such run."""
        path = self._root / id / HOW
        if not _ID.match(id) or not path.is_file():
            raise UnknownName("run", id[:40], ())
        return read_json(path)

    def folder(self, id: str) -> Path:
        """Where the run's files lie."""
        self.how(id)
        return self._root / id

    def opened(self, id: str) -> "tuple[RunKeeper, Order]":
        """The run's place, to be closed, and its order."""
        keeper = self._tools.runs().opened(self.folder(id))
        return keeper, self._read(id, keeper)

    def order(self, id: str) -> "Order":
        """What the run is to do."""
        if id not in self._orders:
            keeper, _ = self.opened(id)
            keeper.close()
        return self._orders[id]

    def _read(self, id: str, keeper: "RunKeeper") -> "Order":
        from tankside.app.order_a_run import from_json

        if id not in self._orders:
            self._orders[id] = from_json(keeper.order())
        return self._orders[id]
