"""tankside plan JOB.toml: the plan as a summary or as JSON, and its files with --out."""

import argparse
import json
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tankside.base.errors import BadInput
from tankside.base.units import UNIT_SYSTEMS
from tankside.cli.progress_line import progress_done, progress_line

if TYPE_CHECKING:
    from tankside.app.plan_a_job import PlanReply
    from tankside.app.ports import Tools


def run(options: argparse.Namespace, tools: "Tools") -> int:
    """Reads the job file, plans it, and shows the plan."""
    job: Path = options.job
    files = tools.files(job.parent)
    text = files.read(job.name, where="the job file")
    try:
        decoded = text.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput("not a text file in UTF-8", where=job.name) from error
    return shown(decoded, job.name, job.parent, options, tools)


def shown(text: str, name: str, folder: Path, options: argparse.Namespace, tools: "Tools") -> int:
    """Plans the job in `text` and prints or writes what was asked for."""
    from tankside.app.plan_a_job import PlanRequest, plan_a_job

    quiet = options.quiet
    request = PlanRequest(job_text=text, job_name=name, files=tools.files(folder))
    reply = plan_a_job(request, progress_line(quiet=quiet))
    if options.out is not None:
        _write(reply, options, tools)
    progress_done(quiet=quiet)
    sheets = tools.sheets()
    if options.json:
        json.dump(sheets.reply(reply.plan, reply.seconds), sys.stdout, indent=1, allow_nan=False)
        sys.stdout.write("\n")
    else:
        sys.stdout.write(sheets.summary(reply.plan, UNIT_SYSTEMS[options.units]))
        if options.out is not None:
            sys.stdout.write(f"\nMap, panels and sheet are in {options.out}\n")
    return 0


def _write(reply: "PlanReply", options: argparse.Namespace, tools: "Tools") -> None:
    from tankside.app.ports import SheetRequest

    prepared = date.today().isoformat()
    request = SheetRequest(
        title=reply.title,
        prepared=prepared,
        paper=options.paper,
        units=UNIT_SYSTEMS[options.units],
    )
    tools.write(options.out, tools.sheets().files(reply.plan, request))
