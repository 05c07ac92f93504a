"""Where a run is: in a folder of its own, or by its name in the store."""

import argparse
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.app.order_a_run import Order, from_json
from tankside.app.run_ports import RunKeeper

if TYPE_CHECKING:
    from tankside.app.keep.stored_run import StoredRun
    from tankside.app.ports import Tools
    from tankside.app.store_ports import Store


@dataclass(frozen=True, kw_only=True)
class Place:
    """An opened run: what keeps it, its order, its words for a person to type again; and the store
    with the run in it, or None where it is a folder."""

    keeper: RunKeeper
    order: Order
    words: str
    store: "Store | None" = None
    stored: "StoredRun | None" = None


@contextmanager
def opened(options: argparse.Namespace, tools: "Tools") -> Iterator[Place]:
    """The run that the command line names; closed at the end, so that all is on the disk."""
    name: str = options.run_name
    if options.store is None:
        folder = Path(name)
        keeper = tools.runs().opened(folder)
        with closing(keeper):
            order = from_json(keeper.order(), where=str(folder / "order.json"))
            yield Place(keeper=keeper, order=order, words=name)
        return
    from tankside.app.keep.stored_run import opened as opened_in

    with closing(tools.store(options.store or None)) as store:
        run = opened_in(store, name)
        with closing(run):
            order = from_json(run.order(), where=f"the run {name!r}")
            yield Place(keeper=run, order=order, words=words_of(options), store=store, stored=run)


def words_of(options: argparse.Namespace) -> str:
    """The run as a person types it again."""
    if options.store is None:
        return str(options.run_name)
    name = str(options.run_name)
    quoted = f"'{name}'" if " " in name else name
    return f"{quoted} --store" + (f" {options.store}" if options.store else "")
