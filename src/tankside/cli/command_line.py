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
from tankside.cli.interrupts import heard_outside_native_code
from tankside.cli.store_options import what_it_is_for, which_store

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
        with heard_outside_native_code():
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
        raise BadInput("{message}; 'tankside --help' lists the commands", message=message)


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


def _compare(add: AddParser, name: str) -> None:
    parser = _command(
        add, name, "compare_command", "Put plans beside each other: what each gains and loses."
    )
    parser.add_argument(
        "plans",
        nargs="+",
        metavar="PLAN",
        help="a file of plan --json, a job file (planned now), or a plan's name in the store",
    )
    for price, example in (
        ("copper", "12 EUR/kg"),
        ("electricity", "0.32 EUR/kWh"),
        ("coat", "8 EUR/m2"),
    ):
        parser.add_argument(f"--{price}", metavar="PRICE", help=f"such as '{example}'")
    parser.add_argument("--units", choices=("metric", "us"), default="metric", help="of the table")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    which_store(parser)
    parser.add_argument("--quiet", action="store_true", help="show no progress")


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
    parser.add_argument("--keep", metavar="NAME", help="keep the plan in the store under a name")
    what_it_is_for(parser)
    which_store(parser)
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
    from tankside.cli.rig_options import add_options

    words = "Find better rigs for a job: pose, wires, anodes, turns."
    add_options(_command(add, name, "rig_command", words))


def _run(add: AddParser, name: str) -> None:
    from tankside.cli.run.options import add_actions

    words = "Carry out a plan on a supply or by hand; audit what came out."
    add_actions(_command(add, name, "run_command", words))


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
    from tankside.cli.diagnose_options import add_options

    words = "Find what went wrong: likely causes, next check, remedy."
    add_options(_command(add, name, "diagnose_command", words))


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
    parser.add_argument(
        "--audits", action="store_true", help="learn from the audited runs in the store too"
    )
    parser.add_argument("--keep", metavar="NAME", help="keep the shop in the store under a name")
    which_store(parser)
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def _store(add: AddParser, name: str) -> None:
    from tankside.cli.store_command import add_actions

    words = "Keep everything in one place: what it holds, export, import, check."
    add_actions(_command(add, name, "store_command", words))


def _schema(add: AddParser, name: str) -> None:
    _command(add, name, "schema_command", "Print the job file's JSON Schema, for editors.")


_COMMANDS: dict[str, Callable[[AddParser, str], None]] = {
    "plan": _plan,
    "compare": _compare,
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
