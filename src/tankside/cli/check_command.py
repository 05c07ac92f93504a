"""tankside check: the validation cases as a table or as JSON; status 1 where one fails."""

import argparse
import json
import sys
from typing import TYPE_CHECKING

from tankside.cli.progress_line import progress_done, progress_line

if TYPE_CHECKING:
    from tankside.app.check_against_published import CheckReply
    from tankside.app.ports import Tools


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Computes and prints the cases."""
    from tankside.app.check_against_published import CheckRequest, check_against_published

    request = CheckRequest(only=options.only, fast=options.fast)
    reply = check_against_published(request, progress_line(quiet=options.json))
    progress_done(quiet=options.json)
    if options.json:
        json.dump(reply.as_json(), sys.stdout, indent=1, allow_nan=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(_table(reply))
    return 1 if reply.failed else 0


def _table(reply: "CheckReply") -> str:
    lines = []
    for verdict in reply.verdicts:
        case = verdict.case
        if case.absolute:
            deviation, limit = f"{verdict.deviation:+.3g}", f"{case.limit:.3g}"
        else:
            deviation, limit = f"{100 * verdict.deviation:+.2f} %", f"{100 * case.limit:.2g} %"
        lines.append(
            f"{'ok  ' if verdict.ok else 'FAIL'} {case.id:<42} {case.expected:>11.5g} "
            f"{verdict.computed:>11.5g} {case.unit:<11} {deviation:>10} of {limit:<8} {case.source}"
        )
    head = f"     {'case':<42} {'expected':>11} {'computed':>11} {'unit':<11} {'deviation':>10}"
    tail = f"{len(reply.verdicts)} cases, {reply.failed} outside their limit"
    return "\n".join([head, *lines, tail]) + "\n"
