"""The way of a run's folder into the shop's store: under its title first, by the same id after."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tankside.app.work.kept_json import write_json

if TYPE_CHECKING:
    from tankside.app.run_ports import RunKeeper
    from tankside.app.store_ports import Store


def taken_into(
    store: "Store", folder: Path, how: Mapping[str, Any], title: str, keeper: "RunKeeper"
) -> None:
    """Adds what is new of the run, and remembers in its how.json which run of the store it is."""
    from tankside.app.keep.naming import free_name
    from tankside.app.keep_a_store import take_a_run

    held = str(how.get("kept", ""))
    name = store.runs.find(held).name if held else free_name(store.runs, title)
    taken = take_a_run(store, name, keeper, plan=str(how.get("stored_plan", "")))
    if not held:
        write_json(folder / "how.json", {**how, "kept": store.runs.get(taken.name).id})
