"""The actions of tankside run and their options."""

import argparse
from pathlib import Path

from tankside.cli.store_options import what_it_is_for


def add_actions(parser: argparse.ArgumentParser) -> None:
    """Adds them."""
    actions = parser.add_subparsers(dest="action", metavar="ACTION", required=True)
    made = {
        key: actions.add_parser(key, help=words, description=words)
        for key, words in (
            ("begin", "Plan a job and make the place of its run."),
            ("go", "Carry it out on a supply, or go on with it."),
            ("hand", "Carry it out by hand, typing what the meters show."),
            ("log", "Take a data logger's file in as its samples."),
            ("show", "Where it stands."),
            ("audit", "Hold what came out against what went in."),
            ("cost", "What it cost, by the prices you give."),
            ("record", "Write its printable record, with audit and cost where given."),
            ("supplies", "List the supplies that hang on this machine."),
        )
    }
    for key in ("begin", "go", "hand", "log", "show", "audit", "cost", "record"):
        _place(made[key])
    made["begin"].add_argument("job", type=Path, metavar="JOB.toml", help="the job file")
    what_it_is_for(made["begin"])
    made["begin"].add_argument("--quiet", action="store_true", help="show no progress")
    made["go"].add_argument("--supply", required=True, help="VISA's name, or simulated")
    made["go"].add_argument("--hurry", type=float, default=1.0, help="of the simulated supply")
    made["go"].add_argument(
        "--fault", default="", metavar="NAME@TIME", help="of the simulated cell, to try alarms"
    )
    made["go"].add_argument("--yes", action="store_true", help="ask nothing: all is in place")
    made["go"].add_argument("--quiet", action="store_true", help="only alarms")
    made["go"].add_argument(
        "--thermometer", type=Path, metavar="FILE", help="that another program writes °C into"
    )
    made["hand"].add_argument("--bath", default="", help="its temperature, such as '24 degC'")
    made["hand"].add_argument("--level", default="", help="below its mark, such as '8 mm'")
    made["hand"].add_argument("--volts", help="one reading, such as '1.9 V', and leave")
    made["hand"].add_argument("--amps", help="of the same moment, such as '2 A'")
    made["log"].add_argument("file", type=Path, metavar="FILE.csv", help="that the logger wrote")
    for key in ("time", "volts", "amps"):
        made["log"].add_argument(f"--{key}", default="", metavar="HEAD", help="of its column")
    made["log"].add_argument(
        "--start", default="", help="of a log that counts from there, such as '2026-03-01 18:30'"
    )
    made["log"].add_argument("--ended", action="store_true", help="the run ended with it")
    made["log"].add_argument("--look", action="store_true", help="only say how it is understood")
    made["record"].add_argument("file", type=Path, metavar="FILE.pdf", help="to write")
    made["record"].add_argument("--paper", choices=("a4", "us-letter"), default="a4")
    for key in ("audit", "record"):
        _audit_options(made[key])
    for key in ("cost", "record"):
        _cost_options(made[key])
    for key in ("log", "show", "audit", "cost"):
        made[key].add_argument("--json", action="store_true", help="print one JSON object")


def _place(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "run_name", metavar="RUN", help="the run's folder; with --store its name in the store"
    )
    parser.add_argument(
        "--store",
        nargs="?",
        const="",
        metavar="PLACE",
        help="the run is in the store: the usual one, a file, or postgresql://NAME@HOST/DATABASE",
    )


def _audit_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--before", default="", help="the part dry before, such as '112.4 g'")
    parser.add_argument("--after", default="", help="the part dry afterwards")
    parser.add_argument(
        "--wires", default="", help="what wires and hooks gained that hang on it in both weights"
    )
    parser.add_argument(
        "--seen", action="append", default=[], metavar="WORDS", help="such as 'dull hollow'"
    )
    parser.add_argument("--scale", default="0.1 g", help="the scale's division")
    parser.add_argument(
        "--point",
        action="append",
        default=[],
        metavar="PLACE=THICKNESS[/PLANNED]",
        help="copper measured at a place, such as 'rim=130 um/120 um'",
    )
    parser.add_argument("--resolution", default="10 um", help="of the callipers")


def _cost_options(parser: argparse.ArgumentParser) -> None:
    for name, example in (
        ("copper", "'12 EUR/kg'"),
        ("electricity", "'0.32 EUR/kWh'"),
        ("coat", "'8 EUR/dm2'"),
        ("work", "'25 EUR/h'"),
    ):
        parser.add_argument(f"--{name}", default="", metavar="PRICE", help=f"such as {example}")
    for name, example in (
        ("heater", "'0.6 kWh' at the socket"),
        ("pump", "'0.1 kWh' at the socket"),
        ("painted", "'2 dm2' of seed coat"),
        ("hands-on", "'40 min' of work"),
    ):
        parser.add_argument(f"--{name}", default="", metavar="AMOUNT", help=f"such as {example}")
    parser.add_argument("--chemicals", type=float, default=None, help="cost of what was replaced")
    parser.add_argument("--scrap", type=float, default=None, help="cost of earlier tries")
