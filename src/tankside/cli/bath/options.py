"""The options of `tankside bath ACTION`. Builds parsers and imports nothing else."""

import argparse
from collections.abc import Callable
from pathlib import Path

from tankside.cli.bath import analysis_options
from tankside.cli.bath.analysis_options import at, sheet

Add = Callable[[argparse.ArgumentParser], None]

DESCRIPTION = "From bottles to a bath that stays in its window, and safely to its end."


def add_actions(parser: argparse.ArgumentParser) -> None:
    """All actions, each with its options."""
    actions = parser.add_subparsers(dest="action", metavar="ACTION", required=True)
    for name, (words, add) in ACTIONS.items():
        one = actions.add_parser(name, help=words, description=words)
        add(one)
        one.add_argument("--json", action="store_true", help="print one JSON object")


def _example(one: argparse.ArgumentParser) -> None:
    one.add_argument("folder", type=Path, metavar="DIR", help="that the files are written into")


def _check(one: argparse.ArgumentParser) -> None:
    one.add_argument("file", type=Path, metavar="FILE.toml", help="a job's or a bath's file")
    one.add_argument("--coldest", default="10 degC", help="the coldest night that it will meet")
    one.add_argument("--current-density", default="1 A/dm^2", help="that evenness is told for")


def _make(one: argparse.ArgumentParser) -> None:
    one.add_argument("file", type=Path, metavar="BATH.toml", help="target, shelf, tools, vessel")
    one.add_argument("--volume", default="", help="instead of the file's, such as '12 L'")
    one.add_argument("--units", choices=("metric", "us"), default="metric", help="of the answer")
    one.add_argument("--old", type=Path, metavar="LEDGER", help="put this ledger's bath right")
    one.add_argument("--note", type=Path, metavar="LEDGER", help="note it in this ledger")
    at(one)
    sheet(one)


def _note(one: argparse.ArgumentParser) -> None:
    _ledger(one)
    one.add_argument(
        "event",
        metavar="EVENT",
        help="make-up, take-over, addition, top-up, evaporation, drag-out, ampere-hours, idle, "
        "analysis, withdrawal, loss, carbon, bottle or retraction; with no numbers it tells how "
        "it is typed",
    )
    one.add_argument("entries", nargs="*", metavar="KEY=VALUE", help="its numbers, with units")
    one.add_argument("--shelf", type=Path, metavar="SHELF.toml", help="where products are named")


def _notes(one: argparse.ArgumentParser) -> None:
    _ledger(one)
    one.add_argument("list", type=Path, metavar="NOTES.txt", help="EVENT KEY=VALUE ..., one a line")
    one.add_argument("--shelf", type=Path, metavar="SHELF.toml", help="where products are named")


def _list(one: argparse.ArgumentParser) -> None:
    _ledger(one)
    one.add_argument("--mend", action="store_true", help="set a torn end aside, in its own file")
    one.add_argument("--last", type=int, default=0, metavar="N", help="only the last so many")


def _state(one: argparse.ArgumentParser) -> None:
    _ledger(one)
    _beside(one)
    one.add_argument("--at", default="", help="a later time; without it that of the last event")
    sheet(one)


def _forecast(one: argparse.ArgumentParser) -> None:
    _ledger(one)
    _beside(one)
    _week(one)
    one.add_argument("--weeks", type=int, default=52, help="how far ahead")
    one.add_argument("--hardness", default="", help="of the water as calcium carbonate")
    one.add_argument("--shelf", type=Path, metavar="SHELF.toml", help="where waters are named")


def _next(one: argparse.ArgumentParser) -> None:
    _ledger(one)
    _beside(one)
    _week(one)
    one.add_argument("--weeks", type=int, default=4, help="decide for then, with --per-week")


def _dose(one: argparse.ArgumentParser) -> None:
    _ledger(one)
    one.add_argument("shelf", type=Path, metavar="SHELF.toml", help="what is at hand")
    _beside(one)
    one.add_argument("--capacity", default="", help="of the tank; without it the file's vessel's")
    one.add_argument("--least", default="", help="volume that the tank must hold")
    one.add_argument("--probability", default="90 %", help="of being inside, that is asked for")
    one.add_argument("--panel", default="", help="what the test panel was: bright, dull, overdosed")
    sheet(one)


def _retire(one: argparse.ArgumentParser) -> None:
    one.add_argument("--volume", default="", help="of the bath, such as '10 ± 0.2 L'")
    one.add_argument("--copper", default="", help="that it holds")
    one.add_argument("--acid", default="", help="sulfuric, that it holds")
    one.add_argument("--ledger", type=Path, metavar="LEDGER", help="that knows all three")
    one.add_argument(
        "--base", default="soda-ash", help="soda-ash, bicarbonate, lime or sodium-hydroxide"
    )
    one.add_argument("--dissolved", action="store_true", help="the base goes in as a solution")
    one.add_argument("--vessel", default="", help="that it is done in, such as '60 L'")
    one.add_argument("--plate-out", default="", help="copper down to this first")
    one.add_argument("--cement", action="store_true", help="copper on steel wool first")
    one.add_argument("--complexed", action="store_true", help="citrate, ammonia or EDTA is in it")
    one.add_argument("--name", default="Retired copper bath", help="on the hand-over")
    one.add_argument("--containers", type=int, default=1, help="that it stands in")
    sheet(one)
    one.add_argument(
        "--hand-over", type=Path, metavar="FILE.pdf", help="what goes along with the canisters"
    )  # fmt: skip


def _rinse(one: argparse.ArgumentParser) -> None:
    one.add_argument("--area", required=True, help="wetted area of a part")
    one.add_argument("--copper", required=True, help="that the bath holds")
    one.add_argument("--acid", required=True, help="sulfuric, that the bath holds")
    one.add_argument("--film", default="vertical well drained", help="how the part drains")
    one.add_argument("--stages", type=int, default=2, help="running rinses against the flow")
    one.add_argument("--still", action="append", default=[], help="volume of a still rinse")
    one.add_argument("--parts", type=int, default=1, help="that go through them")
    one.add_argument("--goal", default="plated work", help="how thin the last must be")
    one.add_argument("--evaporated", default="", help="from the bath meanwhile")
    sheet(one)


def _label(one: argparse.ArgumentParser) -> None:
    one.add_argument("identifier", metavar="NAME", help="what is in the tank or bottle")
    one.add_argument("--copper-sulfate", default="", help="pentahydrate in a bath")
    one.add_argument("--acid", default="", help="sulfuric, in a bath")
    one.add_argument("--ledger", type=Path, metavar="LEDGER", help="of a bath")
    one.add_argument("--grade", default="", help="a common product")
    one.add_argument("--shelf", type=Path, metavar="SHELF.toml", help="a file of products")
    one.add_argument("--product", default="", help="of that file")
    one.add_argument("--copies", type=int, default=1, help="labels on the sheet, 1 or 2")
    sheet(one)


def _safe(one: argparse.ArgumentParser) -> None:
    one.add_argument("--anode", default="", help="may this be one?")
    one.add_argument("--base-metal", default="", help="may acid copper go on this?")
    one.add_argument("--bath", default="", help="may this be a bath here?")
    one.add_argument("--heater", default="", help="may this warm it?")
    one.add_argument(
        "--together", nargs="+", default=[], metavar="SUBSTANCE", help="may these meet?"
    )
    one.add_argument("--pour", default="", help="may this be poured ...")
    one.add_argument("--into", default="", help="... into that?")
    one.add_argument("--strength", default="", help="of what is poured into, such as '96 %%'")
    one.add_argument("--doing", default="", help="mixing, plating, titrating, neutralising, ...")
    one.add_argument(
        "--with",
        dest="handled",
        action="append",
        default=[],
        metavar="SUBSTANCE=STRENGTH",
        help="what is handled then",
    )
    one.add_argument("--temperature", default="20 degC", help="of the bath")
    one.add_argument("--air", action="store_true", help="air bubbles through it")
    one.add_argument("--coat", action="append", default=[], help="a paint or sealer")  # fmt: skip


def _shelf(one: argparse.ArgumentParser) -> None:
    one.add_argument("--label", nargs="+", default=[], metavar="KEY=VALUE", help="read a label")
    one.add_argument("--grade", default="", help="tell of one common product")
    one.add_argument("--file", type=Path, metavar="SHELF.toml", help="tell of a file's products")


def _ledger(one: argparse.ArgumentParser) -> None:
    one.add_argument("ledger", type=Path, metavar="LEDGER", help="the bath's ledger, a .jsonl file")


def _beside(one: argparse.ArgumentParser) -> None:
    one.add_argument("--family", default="", help="whose windows; without it the nearest's")
    one.add_argument("--target", type=Path, metavar="BATH.toml", help="a file with your own target")
    one.add_argument("--temperature", default="25 degC", help="that the bath is kept at")


def _week(one: argparse.ArgumentParser) -> None:
    one.add_argument("--per-week", nargs="+", action="extend", default=[], metavar="KEY=VALUE",
                     help="a usual week: charge, area, open, surface, temperature, room, "
                     "humidity, idle, anode_area, water (again, to compare waters)")  # fmt: skip


ACTIONS: dict[str, tuple[str, Add]] = {
    "example": ("Write the files of a theatre's prop workshop, to begin with.", _example),
    "check": ("Lay a bath beside its family's windows.", _check),
    "make": ("Make a bath up from your bottles, step by step.", _make),
    "note": ("Note in the ledger what happened to a bath.", _note),
    "notes": ("Note a list of events, all of them or none.", _notes),
    "ledger": ("List a ledger; mend its end after a crash.", _list),
    "state": ("What is in the bath by its ledger, and how sure.", _state),
    "forecast": ("When the bath will leave its window; what a water does.", _forecast),
    "next": ("Which measurement is worth most.", _next),
    "dose": ("What to add, or take out, to be inside the window.", _dose),
    "titrate": ("Work out a titration, or plan one.", analysis_options.titrate),
    "density": ("A hydrometer's reading, and what it can tell.", analysis_options.density),
    "ph": ("The pH of a weak-acid bath by a meter.", analysis_options.ph),
    "conductivity": ("A conductivity meter's reading.", analysis_options.conductivity),
    "retire": ("What it takes to retire a bath, and whom to hand it to.", _retire),
    "rinse": ("What a part carries out, and how rinses thin it.", _rinse),
    "label": ("What stands on the label of a tank or a bottle.", _label),
    "safe": ("May this be used, may these meet, what is to be minded?", _safe),
    "shelf": ("Common products, or what a label means.", _shelf),
}
"""Each action with what it does and how its options are built."""
