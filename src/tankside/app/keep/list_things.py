"""Use case: the things of one kind in the store, by name."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from tankside.app.keep.keep_a_photo import things
from tankside.app.store_ports import Store
from tankside.app.store_records import Kept


@dataclass(frozen=True, kw_only=True)
class ListReply:
    """Kind, and its things in use, oldest first; with those put away where they were asked for."""

    kind: str
    things: tuple[Kept[object], ...]

    def as_json(self) -> dict[str, Any]:
        """Moments in seconds since 1970, UTC."""
        return {
            "kind": self.kind,
            "things": [
                {
                    "name": one.name,
                    "id": one.id,
                    "version": one.version,
                    "archived": one.archived,
                    "created_s": one.created,
                    "changed_s": one.changed,
                }
                for one in self.things
            ],
        }

    def text(self) -> str:
        """A line each."""
        if not self.things:
            return f"The store holds no {self.kind} yet.\n"
        width = max(len(one.name) for one in self.things)
        lines = [
            f"{one.name:{width}}  {datetime.fromtimestamp(one.changed):%Y-%m-%d %H:%M}"
            + (f"  revision {one.version}" if one.version > 1 else "")
            + ("  put away" if one.archived else "")
            for one in self.things
        ]
        return "\n".join(lines) + "\n"


def list_things(store: Store, kind: str, *, archived: bool = False) -> ListReply:
    """The things of a kind by its word; UnknownName where there is no such kind."""
    return ListReply(kind=kind, things=things(store, kind).all(archived=archived))
