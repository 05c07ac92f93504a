"""The command line: words in, words out. It computes nothing; each command calls one use case.

Exit status: 0 done, 2 the input is wrong, 3 physically impossible or refused for safety, 1 our
fault, 130 stopped by the person. Errors are one sentence on standard error.
"""

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from tankside.base.errors import BadInput, Cancelled, Impossible, TanksideError

if TYPE_CHECKING:
    from tankside.app.ports import Tools

STATUS: tuple[tuple[type[BaseException], int], ...] = (
    (BadInput, 2),
    (Impossible, 3),
    (Cancelled, 130),
    (KeyboardInterrupt, 130),
)
"""Exit status by kind of error, first match; anything else is 1."""


def answer(arguments: list[str], tools: "Tools") -> int:
    """Runs one command; its exit status is returned, and every error becomes one sentence."""
    try:
        options = _parser().parse_args(arguments)
        if options.command is None:
            _parser().print_help()
            return 0
        return int(options.run(options, tools))
    except TanksideError as error:
        return _told(str(error), _status(error))
    except KeyboardInterrupt as error:
        return _told("stopped; nothing was written", _status(error))
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except (MemoryError, ArithmeticError, LookupError, TypeError, ValueError, OSError) as error:
        if "--traceback" in arguments:
            raise
        fault = f"{type(error).__name__}: {error}".splitlines()[0]
        return _told(f"this is our fault, not yours: {fault} (--traceback shows where)", 1)


def _status(error: BaseException) -> int:
    return next((status for kind, status in STATUS if isinstance(error, kind)), 1)


def _told(sentence: str, status: int) -> int:
    sys.stderr.write(f"tankside: {' '.join(sentence.split())}\n")
    return status


class _Parser(argparse.ArgumentParser):
    """Reports a wrong command line in one sentence."""

    def error(self, message: str) -> NoReturn:
        raise BadInput(f"{message}; 'tankside --help' lists the commands")


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="tankside",
        description="Plan copper plating of parts that do not conduct, and trust the plan.",
    )
    parser.add_argument("--version", action="version", version=_version())
    parser.set_defaults(command=None)
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)
    for name, build in _COMMANDS.items():
        build(commands.add_parser, name)
    return parser


def _version() -> str:
    from importlib.metadata import version

    return f"tankside {version('tankside')}"


AddParser = Callable[..., argparse.ArgumentParser]


def _command(add: AddParser, name: str, module: str, help_text: str) -> argparse.ArgumentParser:
    """A command whose module is imported only when the command runs."""

    def run(options: argparse.Namespace, tools: "Tools") -> int:
        from importlib import import_module

        return int(import_module(f"tankside.cli.{module}").run(options, tools))

    parser = add(name, help=help_text, description=help_text)
    parser.set_defaults(run=run)
    parser.add_argument("--traceback", action="store_true", help="show where an error arose")
    return parser


def _plan(add: AddParser, name: str) -> None:
    parser = _command(
        add, name, "plan_command", "Plan a job: current, hours, volts, thickness map."
    )
    parser.add_argument("job", type=Path, metavar="JOB.toml", help="the job file")
    _plan_outputs(parser)


def _demo(add: AddParser, name: str) -> None:
    parser = _command(
        add, name, "demo_command", "Plan the lantern finial of a theatre's prop workshop."
    )
    _plan_outputs(parser)


def _plan_outputs(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--out", type=Path, metavar="DIR", help="write map, panels and sheet there")
    parser.add_argument(
        "--paper", choices=("a4", "us-letter"), default="a4", help="paper of the sheet"
    )
    parser.add_argument(
        "--units", choices=("metric", "us"), default="metric", help="of summary and sheet"
    )
    parser.add_argument("--quiet", action="store_true", help="show no progress")


def _part(add: AddParser, name: str) -> None:
    parser = _command(add, name, "part_command", "Examine a part's file: is it whole, how big?")
    parser.add_argument("file", type=Path, metavar="FILE", help="stl, obj, ply, 3mf or glb")
    parser.add_argument("--unit", help="unit of the file's numbers, such as mm")
    parser.add_argument("--print-density", default="1.24 g/mL", help="of the print's material")
    parser.add_argument("--infill", type=float, default=1.0, help="filled share, 0 to 1")
    parser.add_argument("--wall", default="1.2 mm", help="dense wall of the print")
    parser.add_argument("--bath-density", default="1.16 g/mL", help="of the bath it hangs in")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def _rig(add: AddParser, name: str) -> None:
    parser = _command(
        add, name, "rig_command", "Find better rigs for a job: pose, wires, anodes, turns."
    )
    parser.add_argument("job", type=Path, metavar="JOB.toml", help="the job file")
    parser.add_argument(
        "--goal", default="thinnest", help="thinnest, even, time, copper, burning or all"
    )
    parser.add_argument(
        "--allow",
        metavar="LIST",
        help="what may change, with commas: pose, contacts, anodes, auxiliary, shields, thieves, "
        "turn, current (without it: all but shields, thieves and current)",
    )
    parser.add_argument("--lean", type=float, default=180.0, help="most degrees a part may lean")
    parser.add_argument("--regions", type=Path, metavar="FILE", help="where wires may hold")
    parser.add_argument("--within", metavar="TIME", help="when the goal is wanted, such as '8 h'")
    parser.add_argument("--minutes", type=float, default=5.0, help="how long it may take")
    parser.add_argument("--evaluations", type=int, default=300, help="rigs to try at most")
    parser.add_argument("--rigs", type=int, default=4, help="how many should come back")
    parser.add_argument("--seed", type=int, default=1, help="another one tries other rigs")
    parser.add_argument("--workers", type=int, help="processes (without it: one a core)")
    parser.add_argument("--cluster", metavar="ADDRESS", help="of a Dask scheduler")
    parser.add_argument("--resume", type=Path, metavar="FILE", help="journal to go on from")
    parser.add_argument("--out", type=Path, metavar="DIR", help="write the rigs' job files there")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--quiet", action="store_true", help="show no progress")


def _run(add: AddParser, name: str) -> None:
    parser = _command(
        add, name, "run_command", "Carry out a plan on a supply or by hand; audit what came out."
    )
    actions = parser.add_subparsers(dest="action", metavar="ACTION", required=True)
    made = {
        key: actions.add_parser(key, help=words, description=words)
        for key, words in (
            ("begin", "Plan a job and make the folder of its run."),
            ("go", "Carry it out on a supply, or go on with it."),
            ("hand", "Carry it out by hand, typing what the meters show."),
            ("show", "Where it stands."),
            ("audit", "Hold what came out against what went in."),
            ("cost", "What it cost, by the prices you give."),
            ("record", "Write its printable record, with audit and cost where given."),
            ("supplies", "List the supplies that hang on this machine."),
        )
    }
    for key in ("begin", "go", "hand", "show", "audit", "cost", "record"):
        made[key].add_argument("folder", type=Path, metavar="FOLDER", help="the run's folder")
    made["begin"].add_argument("job", type=Path, metavar="JOB.toml", help="the job file")
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
    made["record"].add_argument("file", type=Path, metavar="FILE.pdf", help="to write")
    made["record"].add_argument("--paper", choices=("a4", "us-letter"), default="a4")
    for key in ("audit", "record"):
        _audit_options(made[key])
    for key in ("cost", "record"):
        _cost_options(made[key])
    for key in ("show", "audit", "cost"):
        made[key].add_argument("--json", action="store_true", help="print one JSON object")


def _audit_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--before", default="", help="the part dry before, such as '112.4 g'")
    parser.add_argument("--after", default="", help="the part dry afterwards")
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
    parser.add_argument("--chemicals", type=float, default=0.0, help="cost of what was replaced")
    parser.add_argument("--scrap", type=float, default=0.0, help="cost of earlier tries")


def _bath(add: AddParser, name: str) -> None:
    from tankside.cli.bath.options import DESCRIPTION, add_actions

    add_actions(_command(add, name, "bath_command", DESCRIPTION))


def _check(add: AddParser, name: str) -> None:
    parser = _command(
        add, name, "check_command", "Compare Tankside with published values, case by case."
    )
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--fast", action="store_true", help="leave out the slow cases")
    parser.add_argument("only", nargs="*", metavar="ID", help="only cases whose id begins so")


def _diagnose(add: AddParser, name: str) -> None:
    parser = _command(
        add, name, "diagnose_command", "Find what went wrong: likely causes, next check, remedy."
    )
    parser.add_argument("--list", action="store_true", help="list the faults that are known")
    parser.add_argument(
        "--seen", action="append", default=[], metavar="FAULT[,FAULT]", help="faults seen, by id"
    )
    parser.add_argument(
        "--answer", action="append", default=[], metavar="ID=yes|slight|no", help="of a check"
    )
    parser.add_argument(
        "--value",
        action="append",
        default=[],
        metavar="NAME=TEXT",
        help="such as chloride=40-70 mg/L",
    )
    parser.add_argument("--family", default="conventional", help="of the bath, for its windows")
    parser.add_argument("--job", type=Path, metavar="JOB.toml", help="plan it, and let it speak")
    parser.add_argument("--at", metavar="PLACE", help='"x, y, z" or a name such as edges')
    parser.add_argument(
        "--record",
        type=Path,
        metavar="FILE",
        help="also write the record there; as PDF by its name",
    )
    parser.add_argument("--paper", default="a4", choices=("a4", "us-letter"), help="of the PDF")
    parser.add_argument("--title", default="", help="of the record, such as the part's name")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    _known(parser)
    _test_panel(parser)


def _known(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--ledger", type=Path, metavar="FILE", help="the bath's, and it speaks too")
    parser.add_argument(
        "--run",
        dest="run_folder",
        type=Path,
        metavar="FOLDER",
        help="of a run, and its log speaks too",
    )
    parser.add_argument(
        "--pictures", type=Path, metavar="DIR", help="write a picture of every fault there, and end"
    )


def _test_panel(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--panel",
        metavar="ZONES",
        help='of a slanted test panel, such as "burnt 0-1.2 cm, bright 1.2-7 cm"',
    )
    parser.add_argument("--panel-current", default="", metavar="AMPS", help='such as "2 A"')
    parser.add_argument("--panel-minutes", default="5", metavar="MINUTES", help="of plating")
    parser.add_argument("--panel-cell", default="267 mL", help="267 mL or 1000 mL")
    parser.add_argument(
        "--panel-before",
        action="append",
        default=[],
        metavar="ZONES",
        help="of an earlier panel of the same bath, cell and current",
    )
    parser.add_argument(
        "--panel-photo", type=Path, metavar="FILE", help="propose zones from a photo, and end"
    )
    parser.add_argument(
        "--panel-corners",
        default="",
        metavar='"X,Y X,Y X,Y X,Y"',
        help="in the photo, in pixels: high-current top, low-current top, then bottom",
    )


def _serve(add: AddParser, name: str) -> None:
    parser = _command(
        add, name, "serve_command", "Open the workbench page for a browser on this machine."
    )
    parser.add_argument("--port", type=int, default=8765, help="on which it listens")
    parser.add_argument(
        "--share", action="store_true", help="let phones on this network in, with a code"
    )
    parser.add_argument("--browse", action="store_true", help="open the browser on it")
    parser.add_argument("--home", type=Path, metavar="DIR", help="where its data lies")
    parser.add_argument(
        "--store", metavar="PLACE", help="a file, or postgresql://NAME@HOST/DATABASE, else in DIR"
    )


def _shop(add: AddParser, name: str) -> None:
    parser = _command(
        add, name, "shop_command", "What your own bench tests say of your bath and coat."
    )
    parser.add_argument("tests", type=Path, metavar="TESTS.toml", help="the tests, in order")
    parser.add_argument("job", type=Path, metavar="JOB.toml", help="a job with that bath")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def _store(add: AddParser, name: str) -> None:
    from tankside.cli.store_command import add_actions

    words = "Keep everything in one place: what it holds, export, import, check."
    add_actions(_command(add, name, "store_command", words))


def _schema(add: AddParser, name: str) -> None:
    _command(add, name, "schema_command", "Print the job file's JSON Schema, for editors.")


_COMMANDS: dict[str, Callable[[AddParser, str], None]] = {
    "plan": _plan,
    "part": _part,
    "rig": _rig,
    "run": _run,
    "shop": _shop,
    "bath": _bath,
    "store": _store,
    "check": _check,
    "diagnose": _diagnose,
    "serve": _serve,
    "demo": _demo,
    "schema": _schema,
}
