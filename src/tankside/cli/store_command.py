"""tankside store: where it is, what it holds, out of it and back, and into it from files."""

import argparse
import json
import sys
from contextlib import closing
from typing import TYPE_CHECKING

from tankside.base.errors import BadInput

if TYPE_CHECKING:
    from tankside.app.ports import Tools
    from tankside.app.store_ports import Store


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
        )
    }
    made["show"].add_argument("--json", action="store_true", help="print one JSON object")
    for key in ("export", "import"):
        made[key].add_argument("file", type=Path, metavar="FILE.zip", help="the archive")
    made["take-run"].add_argument("folder", type=Path, metavar="FOLDER", help="the run's folder")
    made["take-bath"].add_argument("file", type=Path, metavar="LEDGER", help="the ledger's file")
    made["take-bath"].add_argument("--family", default="", help="such as 'acid sulfate', if new")
    for key in ("take-run", "take-bath"):
        made[key].add_argument("--name", help="in the store (without it: as the file is called)")


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """One of: show, check, export, import, take-run, take-bath."""
    action = {
        None: _show,
        "show": _show,
        "check": _check,
        "export": _export,
        "import": _import,
        "take-run": _take_run,
        "take-bath": _take_bath,
    }[options.action]
    with closing(tools.store(options.at)) as store:
        return action(options, tools, store)


def _show(options: argparse.Namespace, tools: "Tools", store: "Store") -> int:
    from tankside.app.keep_a_store import show_a_store

    reply = show_a_store(store)
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
            f"the store has {count}; restore an export into a new store", where=store.where
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
        raise BadInput(f"there is no file {options.file}", where="the ledger")
    ledger = tools.ledger(options.file)
    taken = take_a_bath(store, options.name or options.file.stem, options.family, ledger)
    sys.stdout.write(taken.text())
    return 0
