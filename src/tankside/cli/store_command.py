"""tankside store: where it is, what it holds, out of it and back, and into it from files."""

import argparse
import json
import sys
from contextlib import closing
from typing import TYPE_CHECKING, Any, Protocol

from tankside.base.errors import BadInput

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from tankside.app.ports import Tools
    from tankside.app.store_ports import Store
    from tankside.app.store_records import Kept


def add_actions(parser: argparse.ArgumentParser) -> None:
    """The actions and their options."""
    from pathlib import Path

    parser.add_argument(
        "--at", metavar="PLACE", help="a file, or postgresql://NAME@HOST/DATABASE of a shared shop"
    )
    parser.set_defaults(action="show", json=False)
    actions = parser.add_subparsers(dest="action", metavar="ACTION")
    made = {
        key: actions.add_parser(key, help=words, description=words)
        for key, words in (
            ("show", "Where it is and what it holds, as without an action."),
            ("check", "Read everything again and name every fault."),
            ("export", "Write everything into one archive of open formats."),
            ("import", "Fill an empty store from such an archive."),
            ("take-run", "Bring a run's folder into the store, or what is new of it."),
            ("take-bath", "Bring a bath's ledger file into the store, or what is new of it."),
            ("list", "List the things of one kind by name."),
            ("photo", "Keep a photo of a run, a part, an audit."),
            ("costs", "What was spent, by month, by part, and on what."),
            ("shelf", "Keep the products of a shelf's file."),
            ("tank", "Keep the tank of a job file."),
            ("supply", "Keep a bench supply: its limits, and where it is reached."),
            ("seed", "Keep what was measured of a stored part's seed coat."),
        )
    }
    made["show"].add_argument("--json", action="store_true", help="print one JSON object")
    for key in ("export", "import"):
        made[key].add_argument("file", type=Path, metavar="FILE.zip", help="the archive")
    made["take-run"].add_argument("folder", type=Path, metavar="FOLDER", help="the run's folder")
    made["take-bath"].add_argument("file", type=Path, metavar="LEDGER", help="the ledger's file")
    made["take-bath"].add_argument("--family", default="", help="such as 'acid sulfate', if new")
    made["list"].add_argument("kind", metavar="KIND", help="such as plan, run, part or bath")
    made["list"].add_argument("--all", action="store_true", help="those put away too")
    made["photo"].add_argument("file", type=Path, metavar="FILE", help="a JPEG or PNG")
    made["photo"].add_argument(
        "--of", action="append", default=[], metavar="KIND:NAME", help="such as 'run: finial'"
    )
    made["photo"].add_argument("--words", default="", help="what there is to see")
    made["shelf"].add_argument("file", type=Path, metavar="SHELF.toml", help="the shelf's file")
    for key in ("tank", "supply"):
        made[key].add_argument("thing", metavar="NAME", help="as you call it")
    made["tank"].add_argument("file", type=Path, metavar="JOB.toml", help="a job in that tank")
    made["supply"].add_argument("--current", required=True, help="its limit, such as '5 A'")
    made["supply"].add_argument("--voltage", required=True, help="its limit, such as '30 V'")
    made["supply"].add_argument("--address", default="", help="VISA's name; none: by hand")
    made["supply"].add_argument("--declaration", type=Path, metavar="FILE", help="of its driver")
    made["seed"].add_argument("thing", metavar="PART", help="the part's name in the store")
    made["seed"].add_argument("value", metavar="RANGE", help="such as '80-120 ohm'")
    made["seed"].add_argument("--place", default="", help="where on the part")
    made["seed"].add_argument("--method", default="", help="how, such as 'two needles'")
    for key in ("list", "costs"):
        made[key].add_argument("--json", action="store_true", help="print one JSON object")
    for key in ("take-run", "take-bath", "photo"):
        made[key].add_argument("--name", help="in the store (without it: as the file is called)")


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """One of the actions; without one, what the store holds."""
    action = {
        None: _show,
        "show": _show,
        "check": _check,
        "export": _export,
        "import": _import,
        "take-run": _take_run,
        "take-bath": _take_bath,
        "list": _list,
        "photo": _photo,
        "costs": _costs,
        "shelf": _shelf,
        "tank": _tank,
        "supply": _supply,
        "seed": _seed,
    }[options.action]
    with closing(tools.store(options.at)) as store:
        return action(options, tools, store)


def _show(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep_a_store import show_a_store

    return _told(show_a_store(store), options)


def _list(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep.list_things import list_things

    return _told(list_things(store, options.kind, archived=options.all), options)


def _costs(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep.keep_costs import sum_costs

    return _told(sum_costs(store), options)


def _photo(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep.keep_a_photo import keep_a_photo

    path: Path = options.file
    content = tools.files(path.parent).read(path.name, where="the photo")
    kept = keep_a_photo(
        store, path.name, content, of=options.of, words=options.words, name=options.name or ""
    )
    sys.stdout.write(f"The photo is in the store as {kept.name!r}\n")
    return 0


def _shelf(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep.keep_a_bench import keep_a_shelf

    content = tools.files(options.file.parent).read(options.file.name, where="the shelf")
    kept = keep_a_shelf(store, content, where=options.file.name)
    sys.stdout.write(f"Kept: {', '.join(one.name for one in kept)}\n")
    return 0


def _tank(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep.keep_a_bench import keep_a_tank
    from tankside.app.plan_a_job import text_of

    text = text_of(options.file.name, tools.files(options.file.parent), where="the job file")
    return _kept(keep_a_tank(store, options.thing, text, options.file.name))


def _supply(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep.keep_a_bench import SupplyToKeep, keep_a_supply
    from tankside.app.plan_a_job import text_of

    file: Path | None = options.declaration
    text = "" if file is None else text_of(file.name, tools.files(file.parent), where="the driver")
    supply = SupplyToKeep(
        current=options.current, voltage=options.voltage, address=options.address, declaration=text
    )
    return _kept(keep_a_supply(store, options.thing, supply))


def _seed(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep.keep_a_bench import keep_a_seed_reading

    kept = keep_a_seed_reading(
        store, options.thing, options.value, place=options.place, method=options.method
    )
    return _kept(kept)


def _kept(kept: "Kept[Any]") -> int:
    sys.stdout.write(f"{kept.name!r} is in the store, revision {kept.version}\n")
    return 0


class _Reply(Protocol):
    def as_json(self) -> "Mapping[str, Any]": ...
    def text(self) -> str: ...


def _told(reply: _Reply, options: argparse.Namespace) -> int:
    if options.json:
        json.dump(reply.as_json(), sys.stdout, indent=1)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(reply.text())
    return 0


def _check(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep_a_store import check_a_store

    faults = check_a_store(store)
    if faults:
        sys.stdout.write("".join(f"- {fault}\n" for fault in faults))
        count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        raise BadInput(
            "the store has {count}; restore an export into a new store",
            count=count,
            where=store.where,
        )
    sys.stdout.write(f"All is well in {store.where}\n")
    return 0


def _export(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep_a_store import export_a_store

    export_a_store(store, options.file)
    sys.stdout.write(f"Everything in {store.where} is in {options.file} too\n")
    return 0


def _import(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep_a_store import restore_a_store

    sys.stdout.write(restore_a_store(store, options.file).text())
    return 0


def _take_run(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep_a_store import take_a_run

    keeper = tools.runs().opened(options.folder)
    try:
        taken = take_a_run(store, options.name or options.folder.resolve().name, keeper)
    finally:
        keeper.close()
    sys.stdout.write(taken.text())
    return 0


def _take_bath(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep_a_store import take_a_bath

    if not options.file.is_file():
        raise BadInput("there is no file {file}", file=options.file, where="the ledger")
    ledger = tools.ledger(options.file)
    taken = take_a_bath(store, options.name or options.file.stem, options.family, ledger)
    sys.stdout.write(taken.text())
    return 0
