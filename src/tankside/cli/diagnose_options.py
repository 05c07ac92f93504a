"""The options of tankside diagnose."""

import argparse
from pathlib import Path


def add_options(parser: argparse.ArgumentParser) -> None:
    """Adds them."""
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
