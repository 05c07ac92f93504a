"""The options of tankside rig."""

import argparse
from pathlib import Path


def add_options(parser: argparse.ArgumentParser) -> None:
    """Adds them."""
    parser.add_argument("job", type=Path, metavar="JOB.toml", help="the job file")
    parser.add_argument(
        "--goal", default="thinnest", help="thinnest, even, time, copper, burning, start or all"
    )
    parser.add_argument(
        "--allow",
        metavar="LIST",
        help="what may change, with commas: pose, contacts, anodes, auxiliary, shields, thieves, "
        "turn, current (without it: all but shields, thieves and current)",
    )
    parser.add_argument("--lean", type=float, default=180.0, help="most degrees a part may lean")
    parser.add_argument("--regions", type=Path, metavar="FILE", help="where wires may hold")
    parser.add_argument(
        "--wires",
        action="store_true",
        help="instead: the fewest wires, and where, with which a coated part starts",
    )
    parser.add_argument("--within", metavar="TIME", help="when the goal is wanted, such as '8 h'")
    parser.add_argument(
        "--start-within",
        metavar="TIME",
        help="when copper must cover the coat of every part (without it: a tenth of the job's "
        "time, half an hour at least)",
    )
    parser.add_argument("--minutes", type=float, default=5.0, help="how long it may take")
    parser.add_argument("--evaluations", type=int, default=300, help="rigs to try at most")
    parser.add_argument("--rigs", type=int, default=4, help="how many should come back")
    parser.add_argument("--seed", type=int, default=1, help="another one tries other rigs")
    parser.add_argument("--workers", type=int, help="processes (without it: one a core)")
    parser.add_argument("--cluster", metavar="ADDRESS", help="of a Dask scheduler")
    parser.add_argument("--resume", type=Path, metavar="FILE", help="journal to go on from")
    parser.add_argument(
        "--out", type=Path, metavar="DIR", help="write the rigs' job files and drawings there"
    )
    parser.add_argument(
        "--paper", choices=("a4", "us-letter"), default="a4", help="paper of the drawings"
    )
    parser.add_argument(
        "--units", choices=("metric", "us"), default="metric", help="of the drawings"
    )
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--quiet", action="store_true", help="show no progress")
